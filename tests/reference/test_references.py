"""The two references agree with each other, and what they agree on is worth agreeing on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest

from rules.catalog import Catalog, Exclusion, Limit, Requirement

from . import brute_force, cp_sat
from .generator import SMALL, TINY, Generated, Shape, generate
from .judge import faults, judge, quantities, world_of
from .problem import Problem, pose

CROSS_CHECKED = 300
SAMPLED = 60


@pytest.mark.parametrize("first", range(0, CROSS_CHECKED, 50))
def test_enumeration_and_cp_sat_find_the_same_least_key(first: int) -> None:
    for seed in range(first, first + 50):
        problem = pose(generate(seed, TINY))
        literal, model = brute_force.solve(problem), cp_sat.solve(problem)
        assert (literal and literal.key) == (model and model.key), seed
        for best in (literal, model):
            if best is not None:
                assert not faults(problem, best.plan), seed
                assert judge(problem, best.plan) == best.key, seed


def test_the_same_seed_gives_the_same_catalog() -> None:
    assert _same(generate(7, SMALL), generate(7, SMALL))
    assert generate(7, SMALL).catalog != generate(8, SMALL).catalog


def _same(one: Generated, two: Generated) -> bool:
    """Terms hold functions, so only their texts can be compared."""
    return (
        one.catalog == two.catalog
        and one.request == two.request
        and list(one.terms) == list(two.terms)
    )


# Each change takes one mechanism out of the catalog.
WITHOUT: dict[str, Callable[[Catalog], Catalog]] = {
    "kits": lambda old: replace(
        old,
        kits=tuple(
            replace(kit, contents=tuple(replace(row, quantity=0) for row in kit.contents))
            for kit in old.kits
        ),
    ),
    "choice of way": lambda old: replace(
        old, operations=tuple(replace(one, ways=one.ways[:1]) for one in old.operations)
    ),
    "spent parts": lambda old: replace(
        old, steps=tuple(replace(one, spends=()) for one in old.steps)
    ),
    "access": lambda old: replace(old, steps=tuple(replace(one, needs=()) for one in old.steps)),
    "send-out": lambda old: replace(
        old, steps=tuple(replace(one, send_out=None) for one in old.steps)
    ),
    "tools": lambda old: replace(old, steps=tuple(replace(one, tools=()) for one in old.steps)),
    "limits": lambda old: replace(
        old, rules=tuple(one for one in old.rules if not isinstance(one, Limit))
    ),
    "requirements": lambda old: replace(
        old, rules=tuple(one for one in old.rules if not isinstance(one, Requirement))
    ),
    "exclusions": lambda old: replace(
        old, rules=tuple(one for one in old.rules if not isinstance(one, Exclusion))
    ),
    "raised quantities": lambda old: replace(
        old,
        rules=tuple(
            replace(one, quantity=None) if isinstance(one, Requirement) else one
            for one in old.rules
        ),
    ),
}
# In at least this share of the sampled catalogs the best key is another one without it.
MATTERS = {
    TINY: {
        "kits": 0.02,
        "choice of way": 0.1,
        "spent parts": 0.1,
        "access": 0.2,
        "send-out": 0.1,
        "tools": 0.2,
        "limits": 0.1,
        "requirements": 0.1,
        "exclusions": 0.02,
        "raised quantities": 0.01,
    },
}
MATTERS[SMALL] = MATTERS[TINY]


@pytest.mark.parametrize("shape", [TINY, SMALL], ids=["tiny", "small"])
def test_every_mechanism_of_the_generated_catalogs_matters(shape: Shape) -> None:
    differs: Counter[str] = Counter()
    for seed in range(SAMPLED):
        generated = generate(seed, shape)
        best = cp_sat.solve(pose(generated), figures=2)
        for name, change in WITHOUT.items():
            other = replace(generated, catalog=change(generated.catalog))
            without = cp_sat.solve(pose(other), figures=2)
            differs[name] += (best and best.key[:2]) != (without and without.key[:2])
    shares = {name: differs[name] / SAMPLED for name in WITHOUT}
    assert all(shares[name] >= least for name, least in MATTERS[shape].items()), shares


@pytest.mark.parametrize("shape", [TINY, SMALL], ids=["tiny", "small"])
def test_the_answers_of_the_generated_catalogs_are_mixed(shape: Shape) -> None:
    seen: Counter[str] = Counter()
    for seed in range(SAMPLED):
        problem = pose(generate(seed, shape))
        best = cp_sat.solve(problem, figures=2)
        seen.update(_features(problem, best))
    assert 0.1 <= seen["conflict"] / SAMPLED <= 0.5, seen
    valid = SAMPLED - seen["conflict"]
    least = {
        "kit": 0.05,
        "hired": 0.1,
        "bought": 0.03,
        "sent out": 0.1,
        "raised": 0.01,
        "spent": 0.2,
    }
    assert all(seen[name] >= share * valid for name, share in least.items()), seen


def _features(problem: Problem, best: brute_force.Best | None) -> set[str]:
    if best is None:
        return {"conflict"}
    plan = best.plan
    tools = {tool for one in plan.steps - plan.sent_out for tool in problem.works[one].tools}
    offers = {tool.id: tool for tool in problem.catalog.tools}
    listed = {part.key: part for part in problem.catalog.parts}
    target = {place: listed[key] for place, key in plan.target.items()}
    needed = quantities(problem, world_of(problem, target, plan.steps))
    spent = {place for one in plan.steps for place in problem.works[one].spends}
    marks = {
        "kit": bool(plan.kits),
        "hired": any(problem.tool_price[one] == offers[one].hire_price for one in tools),
        "bought": any(problem.tool_price[one] not in (0, offers[one].hire_price) for one in tools),
        "sent out": bool(plan.sent_out),
        "raised": any(needed[place] > problem.quantity[place] for place in needed),
        "spent": bool(spent & (set(plan.target) - problem.demands.renew)),
    }
    return {name for name, is_so in marks.items() if is_so}
