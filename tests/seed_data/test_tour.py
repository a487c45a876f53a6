"""The keeper's cases come out as written, and the tour in the README shows just such cases."""

from __future__ import annotations

import json
import re
from datetime import date

import pytest

from api.cases import run_case
from rules.build import build_list
from rules.catalog import Case
from rules.request import BuildRequest
from tests.seed_data.demo import FOLDER, compiled_demo, demo_catalog

CASES = {case.id: case for case in demo_catalog().cases}
ANY_DAY = date(2025, 11, 25)

_REQUEST = re.compile(r"\(`(?P<case>[a-z0-9_]+)`\)\n\n?```json\n(?P<request>.*?)\n```", re.DOTALL)


@pytest.mark.parametrize("case", CASES.values(), ids=lambda case: case.id)
def test_the_keepers_cases_come_out(case: Case) -> None:
    assert [str(fault) for fault in run_case(case, compiled_demo(), build_list, ANY_DAY)] == []


def test_the_tour_asks_what_the_cases_ask() -> None:
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    stops = {found["case"]: json.loads(found["request"]) for found in _REQUEST.finditer(readme)}
    assert len(stops) >= 25
    assert stops == {name: CASES[name].request for name in stops}


def test_a_job_with_conditions_on_two_places_meets_both() -> None:
    """``exhaust_upgrade`` wants header pipes and silencers of another make than the factory's."""
    request = BuildRequest(
        vehicle_id="passage_l_1690_2017_strict",
        facts={"model_year": 2018, "odometer_km": 62_000},
        jobs=("exhaust_upgrade",),
    )
    answer = build_list(compiled_demo(), request, today=ANY_DAY, edition="check")
    makes = {line.part_type: line.part.brand for line in answer.parts}
    assert makes["header_pipe"] == "Marrowcliff"
    assert makes["silencer"] == "Marrowcliff"
