"""The demo catalog's own questions, solved by CP-SAT from the written definition as well."""

from __future__ import annotations

import os
from random import Random

import pytest

from rules.catalog import Catalog, Vehicle
from rules.request import Aim, BuildRequest
from rules.values import Value
from tests.reference import cp_sat
from tests.reference.generator import TINY, Generated
from tests.reference.judge import cost_of, faults, judge
from tests.reference.problem import pose
from tests.reference.spoken import Spoken
from tests.seed_data.demo import demo_catalog

from .answers import answered, exact_cost, plan_of

TIMES = int(os.environ.get("ONCE_APART_MANY_CATALOGS", "1"))
BATCH = 10
SPOKEN = Spoken()


def _question(seed: int) -> BuildRequest:
    """A machine of which everything is told and one to three wishes, some of them awkward."""
    catalog, dice = demo_catalog(), Random(seed)
    vehicle = dice.choice(catalog.vehicles)
    aims: list[Aim] = ["cost", "cost", "hours", "life"]
    jobs = dice.sample([job.id for job in catalog.jobs], dice.choice([1, 1, 2, 3]))
    refused = dice.sample([part.key for part in catalog.parts], dice.choice([0, 0, 40]))
    return BuildRequest(
        vehicle_id=vehicle.id,
        facts=_told(catalog, vehicle, dice),
        jobs=tuple(jobs),
        parts_refused=tuple(refused),
        keep=tuple(dice.sample([one.id for one in catalog.part_types], dice.choice([0, 0, 3]))),
        tools_owned=None if dice.random() < 0.7 else (),
        aim=dice.choice(aims),
    )


def _told(catalog: Catalog, vehicle: Vehicle, dice: Random) -> dict[str, Value]:
    facts: dict[str, Value] = {
        "model_year": dice.randint(vehicle.model_year_from, vehicle.model_year_to),
        "odometer_km": dice.randint(1_000, 120_000),
    }
    for fact in catalog.facts:
        if fact.name not in vehicle.facts and fact.name not in facts and fact.values:
            facts[fact.name] = dice.choice(fact.values)
    return facts


@pytest.mark.parametrize("first", range(0, 60 * TIMES, BATCH))
def test_the_demo_answers_are_the_best_by_the_written_definition(first: int) -> None:
    valid = 0
    for seed in range(first, first + BATCH):
        asked = Generated(seed, TINY, demo_catalog(), _question(seed), SPOKEN)
        problem = pose(asked)
        best = cp_sat.solve(problem)
        answer = answered(asked)
        assert answer.status == ("conflict" if best is None else "valid"), asked.request
        if best is not None:
            plan = plan_of(answer)
            assert not faults(problem, plan), asked.request
            assert judge(problem, plan) == best.key, asked.request
            assert exact_cost(asked.catalog, answer) == cost_of(problem, plan)[0], asked.request
            valid += 1
    assert valid >= 2
