"""Identifying a machine: what is left, and the question that narrows it best."""

from __future__ import annotations

from typing import Any

import pytest

from rules.compiled import compile_catalog
from rules.vehicle_search import Known, differences, matching
from tests.api.harness import Client
from tests.api.small_catalog import CATALOG
from tests.api.test_hostile_input import assert_problem

PATH = "/v1/vehicles/identify"
VIN = "1M8GDM9AXKP042788"
"""A published example with check digit X (see tests/outside). K in position 10: 1989, 2019."""


def left(answer: dict[str, Any]) -> set[str]:
    return {vehicle["id"] for vehicle in answer["vehicles"]}


def test_nothing_known_leaves_everything_and_asks(web: Client) -> None:
    answer = web.post(PATH, json={}).json()
    assert left(answer) == {vehicle.id for vehicle in CATALOG.vehicles}
    assert {d["fact"] for d in answer["differs"]} == {"model_year", "cooling", "displacement_cc"}


def test_facts_narrow_and_are_asked_no_more(web: Client) -> None:
    facts = {"cooling": "liquid", "displacement_cc": 980}
    answer = web.post(PATH, json={"facts": facts}).json()
    assert left(answer) == {v.id for v in CATALOG.vehicles if v.facts == facts}
    assert [d["fact"] for d in answer["differs"]] == ["model_year"]


def test_the_question_that_leaves_fewest_on_average_comes_first() -> None:
    compiled = compile_catalog(CATALOG)
    everything = matching(compiled, Known({}))
    found = differences(everything, Known({}), CATALOG.facts)
    assert [d.expected_left for d in found] == sorted(d.expected_left for d in found)
    for difference in found:
        for answer in difference.answers:
            told = Known({difference.fact.name: answer.value})
            assert len(matching(compiled, told)) == answer.left


def test_the_next_question_is_the_first_and_its_answers_come_true(web: Client) -> None:
    asked: dict[str, Any] = {"facts": {"cooling": "air"}}
    answer = web.post(PATH, json=asked).json()
    question = answer["next_question"]
    assert question == answer["differs"][0]
    assert answer["agreed"] == {"cooling": "air"}
    for reply in question["answers"]:
        facts = {**asked["facts"], question["fact"]: reply["value"]}
        told = web.post(PATH, json={"facts": facts}).json()
        assert len(told["vehicles"]) == reply["left"]
        assert left(told) <= left(answer)


def test_words_narrow_by_name_figure_and_year(web: Client) -> None:
    answer = web.post(PATH, json={"words": "kestrel LIQ 1180 1992"}).json()
    assert left(answer) == {
        v.id
        for v in CATALOG.vehicles
        if v.facts == {"cooling": "liquid", "displacement_cc": 1180}
        and v.model_year_from <= 1992 <= v.model_year_to
    }


def test_the_years_of_a_number_bound_the_question(web: Client) -> None:
    asked = {"vin": VIN, "vin_standard": "49 CFR 565"}
    answer = web.post(PATH, json=asked).json()
    years = [d["values"] for d in answer["differs"] if d["fact"] == "model_year"]
    assert all(set(values) <= {1989, 2019} for values in years)


def test_a_number_gives_every_year_it_can_mean(web: Client) -> None:
    asked = {"vin": "1m8gdm9a-xkp042788", "vin_standard": "49 CFR 565"}
    answer = web.post(PATH, json=asked).json()
    assert answer["vin"]["model_years"] == [1989, 2019]
    assert answer["vin"]["check_digit_agrees"] is True
    covering = {
        v.id
        for v in CATALOG.vehicles
        if any(v.model_year_from <= year <= v.model_year_to for year in (1989, 2019))
    }
    assert left(answer) == covering


def test_under_the_other_standard_a_number_gives_no_year(web: Client) -> None:
    answer = web.post(PATH, json={"vin": VIN}).json()
    assert (answer["vin"]["model_years"], answer["vin"]["check_digit_agrees"]) == (None, None)
    assert len(answer["vehicles"]) == len(CATALOG.vehicles)


@pytest.mark.parametrize(
    ("asked", "pointers"),
    [
        ({"vin": "1M8GDM9A0KP042788", "vin_standard": "49 CFR 565"}, ["/vin"]),
        ({"vin": "SHRT"}, ["/vin"]),
        ({"facts": {"wheels": 2}}, ["/facts/wheels"]),
        ({"facts": {"a/b": 2}}, ["/facts/a~1b"]),
        ({"facts": {"cooling": "steam", "sidecar": 1}}, ["/facts/cooling", "/facts/sidecar"]),
        ({"words": "kestrel zeppelin"}, ["/words"]),
        (
            {"vin": VIN, "vin_standard": "49 CFR 565", "facts": {"model_year": 1990}},
            ["/facts/model_year"],
        ),
        ({"vin": "SHRT", "facts": {"cooling": 1}}, ["/vin", "/facts/cooling"]),
    ],
)
def test_every_fault_is_named(web: Client, asked: dict[str, Any], pointers: list[str]) -> None:
    problem = assert_problem(web.post(PATH, json=asked), 422, "refused-by-catalog")
    assert [error["pointer"] for error in problem["errors"]] == pointers
