"""Overlap: the time of several jobs is the sum over the union of their steps.

The worked example is our own (no statute or standard gives one): three jobs in tenths of an
hour that share the drain and refill and the airbox. Worked by hand: 3.0 + 1.6 + 1.6 = 6.2 h
one by one; drain and refill are shared by cam and clutch (0.4), the airbox by cam and
pushrods (0.3), nothing by all three: 6.2 - 0.4 - 0.3 = 5.5 h together. That a shop charges
book time once for steps that operations share is common practice.
"""

from __future__ import annotations

from datetime import date
from itertools import combinations, permutations

import pytest

from rules.answer import BuildList, Totals
from rules.build import build_list
from rules.catalog import (
    Catalog,
    FieldDefinition,
    Job,
    Layer,
    Operation,
    PartType,
    PricePolicy,
    Step,
    TaxClass,
    Vehicle,
    Way,
)
from rules.compiled import compile_catalog
from rules.request import BuildRequest

TENTHS = {
    "cam": {"drain": 2, "airbox": 3, "exhaust": 5, "cover": 6, "cam": 12, "refill": 2},
    "clutch": {"drain": 2, "primary": 5, "clutch": 7, "refill": 2},
    "pushrods": {"airbox": 3, "rocker": 8, "push": 5},
}
MINUTES = {step: 6 * tenths for job in TENTHS.values() for step, tenths in job.items()}


def _catalog() -> Catalog:
    kinds = ("part", "kit", "consumable", "labour", "tool", "sent_out", "core_deposit")
    return Catalog(
        name="Overlap",
        shop="Kettle Row Workshop",
        currency="EUR",
        currency_exponent=2,
        policy=PricePolicy(
            labour_rate_per_hour=9_600,
            labour_basis="book time",
            time_table="Harbour Workshop times, edition 3",
            tax_basis="document",
            tax_of=dict.fromkeys(kinds, "goods"),
            prices_from="Kettle Row Spares, 1 March",
        ),
        facts=(FieldDefinition(name="model_year", kind="whole", label="Model year"),),
        layers=(Layer(id="engine", label="Engine", depth=0),),
        part_types=(PartType(id="plug", label="Plug", layer="engine"),),
        tax_classes=(TaxClass(id="goods", label="Goods", basis_points=1_900),),
        vehicles=(
            Vehicle(
                id="machine",
                label="Machine",
                model_year_from=2004,
                model_year_to=2004,
                facts={},
            ),
        ),
        steps=tuple(
            Step(id=name, title=name, layer="engine", minutes=minutes)
            for name, minutes in MINUTES.items()
        ),
        operations=(
            *(_operation(job, tuple(steps)) for job, steps in TENTHS.items()),
            _operation("plug", ("drain",), renews=("plug",)),
        ),
        jobs=tuple(
            Job(id=job, title=job, wish=f"Have the {job} seen to", operations=(job,))
            for job in TENTHS
        ),
    )


def _operation(name: str, steps: tuple[str, ...], renews: tuple[str, ...] = ()) -> Operation:
    return Operation(
        id=name, title=name, ways=(Way(id="usual", title="Usual", steps=steps),), renews=renews
    )


def _answer(jobs: tuple[str, ...]) -> BuildList:
    request = BuildRequest(vehicle_id="machine", jobs=jobs)
    return build_list(compile_catalog(_catalog()), request, today=date(2031, 3, 4), edition="1")


def _totals(jobs: tuple[str, ...]) -> Totals:
    answer = _answer(jobs)
    assert answer.status == "valid"
    assert answer.totals is not None
    return answer.totals


@pytest.mark.parametrize(("job", "minutes"), [("cam", 180), ("clutch", 96), ("pushrods", 96)])
def test_each_job_alone_takes_its_own_time(job: str, minutes: int) -> None:
    totals = _totals((job,))
    assert totals.labour_minutes == minutes
    assert totals.saved_minutes_by_overlap == 0
    assert totals.saved_by_overlap.minor == 0


@pytest.mark.parametrize("jobs", list(permutations(TENTHS)))
def test_together_they_take_five_and_a_half_hours_in_any_order(jobs: tuple[str, ...]) -> None:
    answer = _answer(jobs)
    totals = answer.totals
    assert totals is not None
    assert sum(line.minutes_alone for line in answer.operations) == 372
    assert totals.labour_minutes == 330
    assert totals.saved_minutes_by_overlap == 42
    assert totals.labour.amount == "528.00"
    assert totals.saved_by_overlap.amount == "67.20"
    assert {line.step for line in answer.steps if len(line.shared_by) > 1} == {
        "drain",
        "airbox",
        "refill",
    }


def test_inclusion_and_exclusion_gives_the_same_time() -> None:
    """|A ∪ B ∪ C| = Σ|A| − Σ|A ∩ B| + |A ∩ B ∩ C|, with |A ∩ B| = |A| + |B| − |A ∪ B|."""
    time = {
        jobs: _totals(jobs).labour_minutes
        for size in (1, 2, 3)
        for jobs in combinations(TENTHS, size)
    }
    shared = sum(
        time[(one,)] + time[(two,)] - time[(one, two)] for one, two in combinations(TENTHS, 2)
    )
    in_all_three = sum(
        MINUTES[step] for step in MINUTES if all(step in steps for steps in TENTHS.values())
    )
    alone = sum(time[(job,)] for job in TENTHS)
    assert time[tuple(TENTHS)] == alone - shared + in_all_three == 330


def test_more_jobs_never_take_less_and_never_more_than_one_by_one() -> None:
    for jobs in combinations(TENTHS, 2):
        together = _totals(jobs).labour_minutes
        alone = [_totals((job,)).labour_minutes for job in jobs]
        assert max(alone) <= together <= sum(alone)
