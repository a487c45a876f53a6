"""Searching for a configuration: an answer only narrows, and the best question comes first."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.catalog import Vehicle
from rules.values import Value
from rules.vehicle_search import (
    Difference,
    Known,
    agreed,
    checked_facts,
    contradictions,
    differences,
    matching,
)
from tests.seed_data.demo import compiled_demo

DEMO = compiled_demo()
VEHICLES = tuple(DEMO.vehicles.values())


@st.composite
def knowledge(draw: st.DrawFn) -> Known:
    """Some of what is true of some configuration; sometimes years that a number could mean."""
    vehicle = draw(st.sampled_from(VEHICLES))
    names = draw(st.sets(st.sampled_from(sorted(vehicle.facts)), max_size=3))
    facts: dict[str, Value] = {name: vehicle.facts[name] for name in sorted(names)}
    year = draw(st.integers(vehicle.model_year_from, vehicle.model_year_to))
    given_year = draw(st.sampled_from(["not", "said", "by number"]))
    if given_year == "said":
        facts["model_year"] = year
    words = draw(st.sampled_from([(), (str(vehicle.facts["model"])[:4],), (str(year),)]))
    return Known(facts, {year - 30, year} if given_year == "by number" else None, words)


def _asked(known: Known) -> tuple[tuple[Vehicle, ...], tuple[Difference, ...]]:
    left = matching(DEMO, known)
    return left, differences(left, known, DEMO.facts.values())


@given(knowledge())
def test_an_answer_narrows_and_contradicts_nothing_said(known: Known) -> None:
    left, questions = _asked(known)
    assert left and contradictions(DEMO, known) == []
    for question in questions:
        assert question.fact.name not in known.facts
        for answer in question.answers:
            more = {**known.facts, question.fact.name: answer.value}
            told = Known(more, known.model_years, known.words)
            assert contradictions(DEMO, told) == []
            after = matching(DEMO, told)
            assert set(map(id, after)) <= set(map(id, left))
            assert len(after) == answer.left
            assert after, "an answer that is offered is possible"
            assert agreed(after, told).items() >= agreed(left, known).items()


@given(knowledge())
def test_every_configuration_left_is_left_by_some_answer(known: Known) -> None:
    left, questions = _asked(known)
    for question in questions:
        reached = {
            vehicle.id
            for answer in question.answers
            for vehicle in matching(
                DEMO,
                Known(
                    {**known.facts, question.fact.name: answer.value},
                    known.model_years,
                    known.words,
                ),
            )
        }
        assert reached == {vehicle.id for vehicle in left}


@settings(max_examples=25)
@given(knowledge())
def test_the_first_question_leaves_fewest_on_average(known: Known) -> None:
    """Worked out anew: a configuration by lot, then one of the answers that it allows by lot."""
    left, questions = _asked(known)
    for question in questions:
        name = question.fact.name
        expected = Fraction(0)
        for vehicle in left:
            own = [
                a for a in question.answers
                if vehicle in matching(DEMO, Known({name: a.value}))
            ]  # fmt: skip
            expected += Fraction(sum(a.left for a in own), len(own) * len(left))
        assert question.expected_left == expected < len(left)
    assert [q.expected_left for q in questions] == sorted(q.expected_left for q in questions)


def test_one_configuration_leaves_nothing_to_ask_but_what_it_leaves_open() -> None:
    left, questions = _asked(Known({"model": "Longshore", "model_year": 2014}))
    assert [vehicle.id for vehicle in left] == ["longshore_1478_2013"]
    assert questions == ()


def test_words_are_any_part_of_make_model_figure_and_year() -> None:
    by_words = matching(DEMO, Known({}, None, ("torv", "SHORE", "1478", "2014")))
    assert [vehicle.id for vehicle in by_words] == ["longshore_1478_2013"]


def test_a_year_that_the_number_cannot_mean_is_a_contradiction() -> None:
    (fault,) = contradictions(DEMO, Known({"model_year": 2014}, {1985, 2015}))
    assert (fault.where, "1985 or 2015" in fault.problem) == ("/facts/model_year", True)


def test_a_word_that_nothing_answers_to_is_said_with_what_is_near() -> None:
    (fault,) = contradictions(DEMO, Known({}, None, ("longshore", "whimbrl")))
    assert (fault.where, fault.mend) == ("/words", "Did you mean whimbrel?")


@pytest.mark.parametrize(
    ("given_facts", "where"),
    [
        ({"wheels": 2}, ["/facts/wheels"]),
        ({"a/b": 2}, ["/facts/a~1b"]),
        ({"cooling": "steam", "sidecar": 1}, ["/facts/cooling", "/facts/sidecar"]),
    ],
)
def test_facts_are_checked_all_at_once(given_facts: dict[str, Value], where: list[str]) -> None:
    facts, faults = checked_facts(DEMO, given_facts)
    assert facts == {}
    assert [fault.where for fault in faults] == where
