"""Chains of causes: every line has one, every link holds, and some are read whole."""

from __future__ import annotations

from itertools import pairwise

import pytest

from rules.catalog import PartKey, Requirement
from rules.compiled import CompiledRule
from rules.expressions import Expression
from rules.faults import Faulty
from rules.listing.context import Context
from rules.why import Link, why
from rules.why.answer import ENDS
from rules.why.causes import Causes
from rules.why.chains import CHAINS_SHOWN, context_of, listed_lines, shortest
from tests.seed_data.demo import compiled_demo, demo_catalog
from tests.why.examples import GOLDEN, WHY, WHY_NOT, request_of, text_of

TOUR = [case.id for case in demo_catalog().cases if case.expect.get("status", "valid") == "valid"][
    ::2
]


def test_enough_of_the_tour_is_walked() -> None:
    assert len(TOUR) >= 20


@pytest.mark.parametrize("case", TOUR)
def test_every_line_follows_from_what_was_asked(case: str) -> None:
    context = context_of(compiled_demo(), request_of(case))
    causes = Causes(context)
    lines = listed_lines(context)
    assert lines
    for line in lines:
        chains = list(shortest(causes, line))
        assert chains, line
        for chain in chains:
            assert chain[0].kind in ENDS
            assert chain[0].kind != "machine", line
            assert (chain[-1].kind, chain[-1].ref) == (line.kind, line.ref)
            assert len(chain) == len(chains[0])
            for cause, effect in pairwise(chain):
                assert _holds(context, cause, effect), (case, cause, effect)


# -- links, judged by the rows of the catalog and the lines of the plan -----------------------


def _holds(context: Context, cause: Link, effect: Link) -> bool:
    known, plan = context.compiled, context.plan
    if cause.kind == "wanted":
        wanted = next(w for w in context.model.demand.wanted if str(w.asked) == cause.ref)
        bought = plan.target[effect.ref].key if effect.kind == "part" else _key(effect.ref)
        return bought in (*wanted.parts, *wanted.kits)
    if cause.kind == "step" and cause.ref in plan.steps:
        return _of_step(context, cause.ref, effect)
    if cause.kind == "rule":
        return _of_rule(known.rules[cause.ref], effect)
    if effect.kind == "rule":
        return _reads(known.rules[effect.ref], cause)
    return effect.ref in _rows(context, cause, effect)


def _rows(context: Context, cause: Link, effect: Link) -> tuple[str, ...]:
    """What the cause's row names of the kind of the effect."""
    known, plan = context.compiled, context.plan
    pair = (cause.kind, effect.kind)
    if cause.kind == "job":
        job = known.jobs[cause.ref]
        return job.renew if effect.kind == "part" else job.operations
    if pair == ("taken", "part"):
        return context.model.demand.add_ons
    if pair == ("part", "operation"):
        renewed_by = known.operation_of[cause.ref].id
        return (renewed_by,) if cause.ref in plan.target else ()
    if pair == ("part", "kit"):
        return (str(plan.kit_of[cause.ref]),)
    if pair == ("operation", "step"):
        ways = known.operations[cause.ref].ways
        return next(way.steps for way in ways if way.id == plan.ways[cause.ref])
    return ()


def _of_step(context: Context, name: str, effect: Link) -> bool:
    step = context.compiled.steps[name]
    if effect.kind == "rule":
        return name in _names(context.compiled.rules[effect.ref])
    if effect.kind == "tool":
        return effect.ref in step.tools and name not in context.plan.sent_out
    rows = {"step": step.needs, "part": step.spends, "consumable": tuple(step.consumables)}
    sent_out = effect.kind == "sent_out" and effect.ref in context.plan.sent_out
    return sent_out or effect.ref in rows.get(effect.kind, ())


def _of_rule(compiled: CompiledRule, effect: Link) -> bool:
    rule = compiled.rule
    if isinstance(rule, Requirement) and effect.ref in (rule.renew, rule.do):
        return True
    return effect.ref in _names(compiled)


def _reads(compiled: CompiledRule, cause: Link) -> bool:
    return cause.kind == "part" and cause.ref in _names(compiled)


def _names(compiled: CompiledRule) -> set[str]:
    rule = compiled.rule
    names = {rule.part_type or ""} if isinstance(rule, Requirement) else set()
    for expression in (compiled.when, *compiled.parts):
        if isinstance(expression, Expression):
            reads = expression.reads
            names |= {place for place, _ in reads.target}
            names |= reads.renewed | reads.present | reads.doing
    return names


def _key(text: str) -> PartKey:
    return next(key for key in compiled_demo().kits if str(key) == text)


# -- whole answers ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", [*WHY, *WHY_NOT])
def test_text_is_the_golden_one(name: str) -> None:
    assert text_of(name) == (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")


def test_chains_are_counted_where_they_are_many() -> None:
    answer = why(
        compiled_demo(),
        request_of("clutch_for_a_strong_engine"),
        "tool",
        "scissor_lift",
        edition="golden",
    )
    assert 1 <= len(answer.chains) <= CHAINS_SHOWN
    assert answer.more == (len(answer.chains) == CHAINS_SHOWN)


@pytest.mark.parametrize(
    ("kind", "ref", "where"),
    [
        ("part", "radiator", "/line/ref"),
        ("step", "tank_of", "/line/ref"),
        ("bolt", "camshaft", "/line/kind"),
        ("add_on", "camshaft", "/line/ref"),
    ],
)
def test_what_is_not_in_the_list_is_a_fault(kind: str, ref: str, where: str) -> None:
    with pytest.raises(Faulty) as refused:
        why(compiled_demo(), request_of("mild_cam_keeps_springs"), kind, ref, edition="golden")
    assert [fault.where for fault in refused.value.faults] == [where]


def test_a_request_without_a_list_is_a_fault() -> None:
    with pytest.raises(Faulty, match="no build list"):
        why(
            compiled_demo(),
            request_of("sport_cam_is_not_for_the_road"),
            "part",
            "camshaft",
            edition="golden",
        )
