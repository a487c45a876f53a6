"""Generated plans: our whole answer against HiGHS solving each of its plans from scratch.

An answer with n add-ons holds 1 + 2n optima: the plan, the plan with each add-on taken, and
each add-on alone on the machine as the plan leaves it. We find them in one answer, with the
tie-breaks and every line, reason and total. HiGHS gets a new 0-1 model of docs/model.md for
each, written by the test suite's own formulation, and minimises the cost alone.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from rules.answer import BuildList
from rules.build import build_list
from rules.compiled import CompiledCatalog, compile_catalog
from rules.request import BuildRequest
from tests.optimum.answers import TODAY, exact_cost
from tests.optimum.variations import later_visit, with_add_ons
from tests.reference.formulation import Formulation
from tests.reference.generator import MEDIUM, Generated, generate
from tests.reference.judge import cost_of
from tests.reference.problem import pose

from .figures import summary, timed
from .highs import MINOR, minimise

SHAPE = replace(MEDIUM, recommendations=26)
TAX_ROUNDING = 2
"""Minor units by which a difference of two totals may differ from the exact one (two tax
classes, each rounded in both totals)."""


@dataclass
class Clock:
    """Milliseconds that HiGHS's side took: writing the models, and solving them."""

    writing: float = 0.0
    solving: float = 0.0


def measure(count: int) -> dict[str, Any]:
    """Over ``count`` valid plans: times in ms and how many times as long HiGHS's side takes."""
    ours: list[float] = []
    clocks: list[Clock] = []
    add_ons: list[int] = []
    methods: Counter[str] = Counter()
    seed = 0
    while len(ours) < count:
        generated = _least_cost(generate(seed, SHAPE))
        seed += 1
        compiled = compile_catalog(generated.catalog)
        took, answer = timed(partial(_answer, compiled, generated.request))
        if answer.status != "valid" or answer.proof is None:
            continue
        clock = Clock()
        _each_from_scratch(generated, answer, clock)
        ours.append(took)
        clocks.append(clock)
        add_ons.append(len(answer.add_ons))
        methods[answer.proof.method] += 1
    whole = [clock.writing + clock.solving for clock in clocks]
    return {
        "size": f"{SHAPE.part_types} part types x up to {SHAPE.candidates} candidates, "
        f"{SHAPE.steps} steps, {SHAPE.kits} kits, {SHAPE.rules} rules",
        "plans": count,
        "optima": sum(1 + 2 * n for n in add_ons),
        "add_ons": summary([float(n) for n in add_ons]),
        "proof": dict(methods),
        "ours_ms": summary(ours),
        "highs_ms": summary(whole),
        "highs_solving_only_ms": summary([clock.solving for clock in clocks]),
        "ratio": summary([h / o for h, o in zip(whole, ours, strict=True)]),
        "ratio_solving_only": summary(
            [clock.solving / o for clock, o in zip(clocks, ours, strict=True)]
        ),
    }


def _answer(compiled: CompiledCatalog, request: BuildRequest) -> BuildList:
    return build_list(compiled, request, today=TODAY, edition="generated")


def _least_cost(generated: Generated) -> Generated:
    """At the least cost, tax on the whole document, nothing on hand: what HiGHS is given."""
    policy = replace(generated.catalog.policy, tax_basis="document")
    return replace(
        generated,
        catalog=replace(generated.catalog, policy=policy),
        request=replace(generated.request, aim="cost", parts_on_hand={}),
    )


def _each_from_scratch(generated: Generated, answer: BuildList, clock: Clock) -> None:
    """Solve every plan of the answer and compare the totals. Raises AssertionError."""
    asked = generated.request.add_ons
    base = _solved(generated, generated.request, clock)
    assert base == exact_cost(generated.catalog, answer), generated.seed
    for add_on in answer.add_ons:
        if add_on.taken:
            continue
        taking = with_add_ons(generated, [*asked, add_on.part_type])
        now = _solved(generated, taking, clock) - base
        later = _solved(generated, later_visit(generated, answer, add_on.part_type), clock)
        assert abs(now - MINOR * add_on.price_now.minor) <= TAX_ROUNDING * MINOR, generated.seed
        assert abs(later - MINOR * add_on.price_later.minor) <= TAX_ROUNDING * MINOR


def _solved(generated: Generated, request: BuildRequest, clock: Clock) -> int:
    """Exact least cost by HiGHS."""
    written, formulation = timed(lambda: Formulation(pose(generated, request)))
    solved, true = timed(lambda: minimise(formulation.program))
    clock.writing += written
    clock.solving += solved
    assert true is not None, generated.seed
    return cost_of(formulation.problem, formulation.plan(true))[0]
