"""The budget's set of add-ons against every subset, each one planned on its own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import chain, combinations

import pytest

from rules.answer import AddOn, BuildList
from rules.build import build_list
from rules.request import BuildRequest
from tests.seed_data.demo import compiled_demo

TODAY = date(2026, 1, 5)
WISH = BuildRequest(
    vehicle_id="undertow_1478_2012",
    facts={"model_year": 2013, "odometer_km": 42000, "market": "road_basic"},
    jobs=("cam_upgrade",),
)


def plan(request: BuildRequest) -> BuildList:
    return build_list(compiled_demo(), request, today=TODAY, edition="1")


def total(answer: BuildList) -> int:
    assert answer.totals is not None
    return answer.totals.total.minor


def by_every_subset(offers: tuple[AddOn, ...], budget: int) -> tuple[int, int]:
    """Worth and total of the best subset, by planning each one."""
    base = total(plan(WISH))
    best = (0, base)
    names = [offer.part_type for offer in offers]
    later = {offer.part_type: offer.price_later.minor for offer in offers}
    subsets = chain.from_iterable(combinations(names, size) for size in range(len(names) + 1))
    for chosen in subsets:
        cost = total(plan(replace(WISH, add_ons=chosen)))
        worth = sum(later[name] for name in chosen) - (cost - base)
        if cost <= budget and worth > best[0]:
            best = (worth, cost)
    return best


@pytest.mark.parametrize("above", [0, 6000, 12500, 26000, 100000])
def test_no_subset_is_worth_more_within_the_budget(above: int) -> None:
    without = plan(WISH)
    assert len(without.add_ons) >= 4
    budget = total(without) + above
    answer = plan(replace(WISH, budget=budget))
    assert answer.budget is not None
    assert answer.budget.reached
    assert answer.budget.proven
    worth, cost = by_every_subset(without.add_ons, budget)
    assert answer.budget.worth.minor == worth
    assert answer.budget.total.minor <= budget
    if worth:
        assert (
            total(plan(replace(WISH, add_ons=answer.budget.add_ons))) == answer.budget.total.minor
        )
        assert answer.budget.total.minor - total(without) == cost - total(without)


def test_a_budget_below_the_plan_says_so_and_takes_nothing() -> None:
    answer = plan(replace(WISH, budget=100))
    assert answer.budget is not None
    assert not answer.budget.reached
    assert answer.budget.add_ons == ()
    assert answer.status == "valid"


def test_each_add_on_moves_the_total_by_exactly_what_it_says() -> None:
    without = plan(WISH)
    for offer in without.add_ons:
        taken = plan(replace(WISH, add_ons=(offer.part_type,)))
        assert total(taken) - total(without) == offer.price_now.minor
        assert taken.totals is not None
        assert without.totals is not None
        minutes = taken.totals.labour_minutes - without.totals.labour_minutes
        assert minutes == offer.minutes_now
        shown = next(a for a in taken.add_ons if a.part_type == offer.part_type)
        assert shown.taken
        assert shown.price_now == offer.price_now
