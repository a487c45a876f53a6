"""What the demo catalog's answers say while facts are missing."""

from __future__ import annotations

from datetime import date

import pytest

from api.shapes.request import BuildListRequest
from rules import unknown
from rules.answer import BuildList
from rules.build import build_list
from rules.machine import Machine
from rules.text import render
from rules.unknown import readings, tree
from rules.unknown.machines import Inquiry, Told
from rules.unknown.readings import Reading
from tests.seed_data.demo import compiled_demo, demo_catalog


def _answer(case: str) -> BuildList:
    written = next(dict(one.request) for one in demo_catalog().cases if one.id == case)
    request = BuildListRequest.model_validate(written).to_request(2)
    return build_list(compiled_demo(), request, today=date(2026, 1, 1), edition="check")


def test_the_market_leaves_two_camshafts_open() -> None:
    build = _answer("market_decides_the_camshaft")
    assert [ask.fact for ask in build.asks] == ["vehicle.market"]
    always = {(line.kind, line.ref) for line in build.always}
    assert {("place", "camshaft"), ("step", "tank_off"), ("part", "oil_filter")} <= always
    depends = {(line.kind, line.ref) for line in build.depends}
    assert ("part", "camshaft") in depends
    question = build.next_question
    assert question is not None
    assert {one.says for one in question.answers} == {"closed_course", "road_basic", "road_strict"}
    assert build.total_from is not None
    assert build.total_to is not None
    assert build.total_from.minor < build.total_to.minor
    totals = [one.total_from for one in question.answers]
    assert {build.total_from, build.total_to} == set(totals)


def test_numbers_that_leave_the_same_are_one_answer() -> None:
    year = _answer("year_decides_the_tensioner").next_question
    assert year is not None
    assert [one.says for one in year.answers] == ["up to 2015", "2016 and up"]
    distance = _answer("distance_decides_the_pulley").next_question
    assert distance is not None
    assert [one.says for one in distance.answers] == ["up to 79999", "80000 and up"]


def test_a_number_that_cannot_be_listed_is_asked_for_with_bounds() -> None:
    """The spring's solid height enters arithmetic: bounds from the two readings."""
    build = _answer("unknown_spring_is_asked_for")
    assert [ask.fact for ask in build.asks] == ["fitted.valve_spring.solid_height_mm"]
    assert build.next_question is not None
    assert build.next_question.answers == ()
    assert build.total_from is not None
    assert build.total_to is not None
    assert build.totals is not None
    # Rounding tax for each class may shift a bound by a cent.
    assert 0 <= build.total_to.minor - build.totals.total.minor <= 1
    assert ("step", "swap_camshaft") in {(line.kind, line.ref) for line in build.always}
    assert ("part", "valve_spring") in {(line.kind, line.ref) for line in build.depends}


def test_a_settled_answer_says_nothing_of_cases() -> None:
    build = _answer("mild_cam_keeps_springs")
    assert build.status == "valid"
    assert (build.always, build.depends) == ((), ())
    assert (build.total_from, build.total_to, build.next_question) == (None, None, None)


def test_the_text_says_what_is_certain() -> None:
    text = render(_answer("cooling_decides_the_gaskets"))
    begin = text.index("WHAT IS CERTAIN ALREADY")
    assert text[begin:].startswith(EXPECTED)


EXPECTED = """\
WHAT IS CERTAIN ALREADY
----------------------------------------------------------------------------------------
 The total lies between 203.33 EUR and 374.88 EUR.
 Ask first: Is there a radiator with coolant hoses to the cylinder heads (liquid), or
   only an oil cooler (air_oil)?
    air_oil: 203.33 EUR
    liquid: 374.88 EUR
 In every case:
    Renewed, with one part or another: Rocker box gasket
    Parts: Fuel line seal (Torvane T377-1)
    Steps: Rocker boxes off and on; Seat off and on; Fuel tank off and on
 Only in some cases:
    Parts: Coolant, ready mixed, 1 litre (Kelphaven KH-CL1); Rocker box gasket,
      rubber-coated steel (Ostrel OS-330); Rocker box gasket, rubber-coated steel
      (Ostrel OS-331)
    Steps: Coolant drained, filled and vented; Coolant hoses at the heads off and on;
      Machine on the lift and strapped down
    Tools: Stourhand cooling pressure tester; Stourhand scissor lift
"""


# -- how much work it takes ---------------------------------------------------------------


def _readings(monkeypatch: pytest.MonkeyPatch, case: str) -> int:
    """How many machines are read for an answer."""
    count = 0

    def counted(inquiry: Inquiry, machine: Machine, told: Told) -> Reading:
        nonlocal count
        count += 1
        return readings.read(inquiry, machine, told)

    monkeypatch.setattr(unknown, "read", counted)
    monkeypatch.setattr(tree, "read", counted)
    _answer(case)
    return count


@pytest.mark.parametrize(
    ("case", "most"),
    [
        ("mild_cam_keeps_springs", 1),
        ("market_does_not_matter_for_brakes", 1),
        ("cooling_does_not_matter_for_the_belt", 1),
        ("market_decides_the_camshaft", 1 + 3),
        ("cooling_decides_the_gaskets", 1 + 2),
        ("unknown_spring_is_asked_for", 1),
    ],
)
def test_only_machines_that_matter_are_read(
    monkeypatch: pytest.MonkeyPatch, case: str, most: int
) -> None:
    assert _readings(monkeypatch, case) <= most


def test_the_limit_leaves_the_rest_to_be_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Past the limit nothing is tried: the facts are asked for, with the bounds of the readings."""
    monkeypatch.setattr(tree, "READING_LIMIT", 1)
    build = _answer("market_decides_the_camshaft")
    assert build.status == "needs_facts"
    assert [ask.fact for ask in build.asks] == ["vehicle.market"]
    assert build.next_question is not None
    assert build.next_question.answers == ()
