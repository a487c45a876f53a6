"""Add-ons: what they cost now and later is what planning again says (docs/model.md, section 7)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rules.answer import BuildList
from rules.catalog import Recommendation
from rules.request import BuildRequest
from tests.reference import cp_sat
from tests.reference.generator import SMALL, TINY, Generated, Shape, generate
from tests.reference.judge import world_of
from tests.reference.problem import pose

from .answers import answer_to, answered, exact_cost, plan_of
from .variations import later_visit, with_add_ons

LAWFUL = replace(SMALL, lawful=True, recommendations=6)


def _total(answer: BuildList) -> tuple[int, int]:
    assert answer.totals is not None
    return answer.totals.total.minor, answer.totals.labour_minutes


def _without(generated: Generated, place: str) -> BuildList:
    """The answer to the same wish less this add-on."""
    others = [one for one in generated.request.add_ons if one != place]
    return answer_to(generated.catalog, with_add_ons(generated, others))


def _taking(generated: Generated, place: str) -> BuildList:
    """The answer to the same wish with this add-on."""
    every = sorted({*generated.request.add_ons, place})
    return answer_to(generated.catalog, with_add_ons(generated, every))


@pytest.mark.parametrize(("shape", "least"), [(TINY, 10), (SMALL, 40)], ids=["tiny", "small"])
def test_now_and_later_are_what_planning_again_says(shape: Shape, least: int) -> None:
    checked = 0
    for seed in range(60):
        generated = generate(seed, shape)
        answer = answered(generated)
        for add_on in answer.add_ons:
            without = _without(generated, add_on.part_type)
            taking = _taking(generated, add_on.part_type)
            assert _total(answer) == _total(taking if add_on.taken else without)
            alone = later_visit(generated, without, add_on.part_type)
            (total, minutes), (base, before) = _total(taking), _total(without)
            assert (add_on.price_now.minor, add_on.minutes_now) == (total - base, minutes - before)
            later = _total(answer_to(generated.catalog, alone))
            assert (add_on.price_later.minor, add_on.minutes_later) == later, seed
            assert add_on.worth.minor == add_on.price_later.minor - add_on.price_now.minor
            checked += 1
    assert checked >= least


@pytest.mark.parametrize(("shape", "least"), [(TINY, 10), (SMALL, 40)], ids=["tiny", "small"])
def test_what_is_offered_is_what_is_recommended_kept_and_to_be_had(
    shape: Shape, least: int
) -> None:
    offered = 0
    for seed in range(60):
        generated = generate(seed, shape)
        answer = answered(generated)
        if answer.status == "valid":
            found = {one.part_type for one in answer.add_ons if not one.taken}
            assert found == _worth_offering(generated, answer), seed
            offered += len(found)
    assert offered >= least


def _worth_offering(generated: Generated, answer: BuildList) -> set[str]:
    problem = pose(generated)
    plan = plan_of(answer)
    parts = {part.key: part for part in generated.catalog.parts}
    target = {place: parts[key] for place, key in plan.target.items()}
    world = world_of(problem, target, plan.steps)
    recommended = {
        rule.renew
        for rule in generated.catalog.rules
        if isinstance(rule, Recommendation) and problem.holds(rule.when, world)
    }
    return {
        place
        for place in recommended - set(plan.target)
        if _possible(generated, with_add_ons(generated, [*generated.request.add_ons, place]))
        and _possible(generated, later_visit(generated, answer, place))
    }


def _possible(generated: Generated, request: BuildRequest) -> bool:
    problem = pose(replace(generated, request=request))
    return cp_sat.solve(problem, figures=1) is not None


def test_taking_any_one_add_on_is_valid_and_renews_it() -> None:
    taken = 0
    for seed in range(60):
        generated = generate(seed, SMALL)
        for add_on in answered(generated).add_ons:
            request = with_add_ons(
                generated, sorted({*generated.request.add_ons, add_on.part_type})
            )
            answer = answer_to(generated.catalog, request)
            assert answer.status == "valid", seed
            assert add_on.part_type in {line.part_type for line in answer.parts}
            taken += 1
    assert taken >= 30


def test_taking_all_add_ons_is_valid_wherever_the_reference_can() -> None:
    valid = 0
    for seed in range(60):
        generated = generate(seed, SMALL)
        every = [one.part_type for one in answered(generated).add_ons]
        if every:
            request = with_add_ons(generated, sorted({*generated.request.add_ons, *every}))
            best = cp_sat.solve(pose(replace(generated, request=request)))
            answer = answer_to(generated.catalog, request)
            assert answer.status == ("conflict" if best is None else "valid"), seed
            valid += best is not None
    assert valid >= 20


def test_now_is_never_dearer_than_later_where_the_law_says_so() -> None:
    """In ten-thousandths of a minor unit, so that no rounding of tax can blur it."""
    checked = dearer_alone = 0
    for seed in range(90):
        generated = generate(seed, LAWFUL)
        answer = answered(generated)
        for add_on in answer.add_ons:
            if add_on.taken:
                continue
            request = with_add_ons(generated, [*generated.request.add_ons, add_on.part_type])
            together = exact_cost(generated.catalog, answer_to(generated.catalog, request))
            alone = answer_to(generated.catalog, later_visit(generated, answer, add_on.part_type))
            later = exact_cost(generated.catalog, alone)
            now = together - exact_cost(generated.catalog, answer)
            assert now <= later, (seed, add_on.part_type)
            checked += 1
            dearer_alone += now < later
    assert checked >= 80
    assert dearer_alone >= 40
