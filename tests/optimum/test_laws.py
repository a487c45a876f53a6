"""Laws of the answer: what more choice, fewer rules or another order may and may not do."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from rules.answer import BuildList
from rules.catalog import Catalog, TaxBasis
from tests.reference.generator import Shape, generate
from tests.reference.problem import sold_as

from .answers import amounts, answer_to, answered, exact_cost, tax_of
from .variations import (
    asked_in_another_order,
    catalogs,
    for_least_cost,
    one_more_part,
    shuffled,
    without_rule,
)

LAW = settings(derandomize=True, deadline=None, max_examples=60)
seeds = st.integers(0, 999)


def least(catalog: Catalog, answer: BuildList) -> float:
    """The exact cost; a conflict costs more than anything."""
    assert answer.status in ("valid", "conflict")
    return exact_cost(catalog, answer) if answer.status == "valid" else float("inf")


@LAW
@given(catalogs, seeds)
def test_one_more_candidate_never_costs_more(which: tuple[int, Shape], seed: int) -> None:
    generated = for_least_cost(generate(*which))
    before = least(generated.catalog, answered(generated))
    more = one_more_part(generated.catalog, seed)
    assert least(more, answer_to(more, generated.request)) <= before


@LAW
@given(catalogs, seeds)
def test_one_rule_less_never_costs_more(which: tuple[int, Shape], seed: int) -> None:
    generated = for_least_cost(generate(*which))
    before = least(generated.catalog, answered(generated))
    rules = generated.catalog.rules
    fewer = without_rule(generated, rules[seed % len(rules)].id)
    assert least(fewer.catalog, answered(fewer)) <= before


@LAW
@given(catalogs, seeds)
def test_the_order_of_the_catalog_never_changes_the_answer(
    which: tuple[int, Shape], seed: int
) -> None:
    generated = generate(*which)
    one, two = answered(shuffled(generated, seed)), answered(generated)
    assert _without_effort(one) == _without_effort(two)


def _without_effort(answer: BuildList) -> BuildList:
    """All but the count of nodes: how long HiGHS looked depends on the order of its rows."""
    return replace(answer, proof=answer.proof and replace(answer.proof, nodes=0))


@LAW
@given(catalogs, seeds)
def test_the_order_of_the_wishes_never_changes_the_plan(
    which: tuple[int, Shape], seed: int
) -> None:
    generated = generate(*which)
    one, two = answered(asked_in_another_order(generated, seed)), answered(generated)
    assert (one.status, one.parts, one.kits, one.steps, one.tools, one.totals) == (
        two.status,
        two.parts,
        two.kits,
        two.steps,
        two.tools,
        two.totals,
    )
    assert one.add_ons == two.add_ons
    assert one.conflicts == two.conflicts


@LAW
@given(catalogs)
def test_the_same_question_has_the_same_answer(which: tuple[int, Shape]) -> None:
    generated = generate(*which)
    assert repr(answered(generated)) == repr(answered(generated))


@LAW
@given(catalogs)
def test_refused_parts_and_kept_places_are_left_alone(which: tuple[int, Shape]) -> None:
    generated = generate(*which)
    answer = answered(generated)
    refused = {
        key
        for asked in generated.request.parts_refused
        for key in (asked, *sold_as(generated.catalog, asked))
    }
    assert not refused & {line.part for line in answer.parts}
    assert not refused & {line.kit for line in answer.kits}
    assert not set(generated.request.keep) & {line.part_type for line in answer.parts}


@LAW
@given(catalogs)
def test_lines_and_tax_make_the_total_on_both_bases(which: tuple[int, Shape]) -> None:
    generated = generate(*which)
    bases: tuple[TaxBasis, TaxBasis] = ("document", "line")
    plans = []
    for basis in bases:
        policy = replace(generated.catalog.policy, tax_basis=basis)
        catalog = replace(generated.catalog, policy=policy)
        answer = answer_to(catalog, generated.request)
        plans.append((answer.parts, answer.kits, answer.steps))
        if (totals := answer.totals) is None:
            continue
        before_tax = sum(amount for _, amount in amounts(answer))
        assert totals.before_tax.minor == before_tax
        assert totals.tax.minor == tax_of(catalog, answer)
        assert totals.tax.minor == sum(line.tax.minor for line in totals.taxes)
        assert sum(line.taxed.minor for line in totals.taxes) == before_tax
        assert totals.total.minor == before_tax + totals.tax.minor
        deposits = sum(line.amount.minor for line in answer.deposits)
        assert totals.deposits.minor == deposits
        assert totals.total_with_deposits.minor == totals.total.minor + deposits
    assert plans[0] == plans[1]


@LAW
@given(catalogs)
def test_overlap_is_the_sum_less_the_union(which: tuple[int, Shape]) -> None:
    generated = generate(*which)
    answer = answered(generated)
    if answer.totals is None:
        return
    minutes = {line.step: line.minutes for line in answer.steps}
    closures = {
        line.operation: _alone(generated.catalog, line.operation, line.way, minutes)
        for line in answer.operations
    }
    for line in answer.operations:
        assert line.minutes_alone == sum(minutes[step] for step in closures[line.operation])
    one_by_one = sum(line.minutes_alone for line in answer.operations)
    union = sum(minutes[step] for step in frozenset().union(*closures.values()))
    assert answer.totals.saved_minutes_by_overlap == one_by_one - union >= 0
    for step in answer.steps:
        users = {name for name, steps in closures.items() if step.step in steps}
        assert set(step.shared_by) == users


def _alone(catalog: Catalog, operation: str, way: str, minutes: dict[str, int]) -> frozenset[str]:
    """The steps of a way and all that they need, as far as they are something here."""
    steps = {step.id: step for step in catalog.steps}
    ways = next(one.ways for one in catalog.operations if one.id == operation)
    open_steps = [step for one in ways if one.id == way for step in one.steps]
    seen: set[str] = set()
    while open_steps:
        step = open_steps.pop()
        if step in minutes and step not in seen:
            seen.add(step)
            open_steps.extend(steps[step].needs)
    return frozenset(seen)
