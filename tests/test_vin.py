"""The reading of vehicle identification numbers: forms, faults, laws."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.faults import Fault
from rules.vin import (
    CHECK_POSITION,
    LENGTH,
    TRANSLITERATION,
    YEAR_CODES,
    VinReading,
    check_digit,
    check_vin,
    model_years,
    normalised,
)

GOOD = "9V9TW1A44A1RT0001"
LAST = 2027

laws = settings(derandomize=True, deadline=None, max_examples=300)
legal = st.sampled_from(sorted(TRANSLITERATION))
vins = st.lists(legal, min_size=LENGTH, max_size=LENGTH).map("".join)


def with_due_digit(vin: str) -> str:
    return vin[: CHECK_POSITION - 1] + check_digit(vin) + vin[CHECK_POSITION:]


def reading_of(text: str) -> VinReading:
    reading = check_vin(text, last_model_year=LAST)
    assert isinstance(reading, VinReading)
    return reading


def faults_of(text: str, last_model_year: int = LAST) -> tuple[Fault, ...]:
    faults = check_vin(text, last_model_year=last_model_year, where="/vehicle/vin")
    assert isinstance(faults, tuple)
    assert {fault.where for fault in faults} == {"/vehicle/vin"}
    return faults


def test_what_a_number_says() -> None:
    assert reading_of(GOOD) == VinReading(
        vin=GOOD,
        standard="49 CFR 565",
        manufacturer="9V9RT0",
        descriptor="TW1A4",
        plant="1",
        serial="RT0001",
        check_digit="4",
        check_digit_due="4",
        model_years=frozenset({1980, 2010}),
    )


@pytest.mark.parametrize(
    "text",
    [
        "9v9tw1a44a1rt0001",
        "  9V9TW1A44A1RT0001\n",
        "9V9 TW1A4 4 A1RT0001",
        "9V9-TW1A44-A1RT0001",
        "9V9\u2011TW1A44\u2013A1RT\u00a00001",
    ],
)
def test_lower_case_and_grouping_are_read(text: str) -> None:
    assert reading_of(text) == reading_of(GOOD)


def test_letters_beyond_ascii_are_not_folded_into_it() -> None:
    # str.upper would make an I of a dotless i and two letters of a sharp s.
    assert normalised("\u0131\u00df\uff11") == "\u0131\u00df\uff11"
    (fault,) = faults_of("9V9TW1A44A1RT000\uff11")
    assert "in position 17" in fault.problem


def test_every_forbidden_letter_is_named_with_its_position() -> None:
    problems = [fault.problem for fault in faults_of("IV9TW1A44A1RTOO0q")]
    assert problems == [
        f"{letter!r} in position {at} is not used in these numbers"
        for letter, at in [("I", 1), ("O", 14), ("O", 15), ("Q", 17)]
    ]


def test_a_forbidden_letter_says_what_it_may_be() -> None:
    assert "it may be 1" in faults_of("7M9VT2B10P1FIX001")[0].mend
    assert "it may be 0" in faults_of("7M9VT2B10P1FOX001")[0].mend
    assert "without I, O and Q" in faults_of("7M9VT2B10P1F*X001")[0].mend


def test_length_and_letters_are_told_together() -> None:
    short = faults_of("1M8GDM9AXKPO4278")
    assert [fault.problem for fault in short] == [
        "A vehicle identification number has 17 characters, this has 16",
        "'O' in position 12 is not used in these numbers",
    ]
    assert "Add the 1 missing" in short[0].mend
    assert "Take out the 2 that are too many" in faults_of(GOOD + "11")[0].mend
    assert "this has 0" in faults_of(" - ")[0].problem


def test_check_digit_and_year_are_told_together() -> None:
    first, second = (fault.problem for fault in faults_of("9V9TW1A44U1RT0001"))
    assert first.startswith("Check digit: position 9 has 4")
    assert second == "U in position 10 is no model year code"


def test_a_code_with_no_year_so_far() -> None:
    assert model_years("W", 2026) == {1998}
    assert model_years("W", 2028) == {1998, 2028}
    faults = faults_of(with_due_digit("9V9TW1A44W1RT0001"), last_model_year=1990)
    assert [f.problem for f in faults] == ["W in position 10 means no model year up to 1990"]


@pytest.mark.parametrize("code", ["", "U", "Z", "0", "AB", "a"])
def test_what_is_no_year_code(code: str) -> None:
    assert model_years(code, LAST) == frozenset()


def test_iso_numbers_keep_their_length_and_letters() -> None:
    faults = check_vin("ZZZ", last_model_year=LAST, standard="ISO 3779")
    assert isinstance(faults, tuple)
    assert isinstance(check_vin("Z" * 17, last_model_year=LAST, standard="ISO 3779"), VinReading)


@laws
@given(vins, st.integers(0, LENGTH - 1), legal)
def test_any_change_to_a_character_of_another_value_is_caught(
    vin: str, at: int, other: str
) -> None:
    # No weight but that of position 9 is a multiple of 11, and 11 is prime.
    good = with_due_digit(vin)
    changed = good[:at] + other + good[at + 1 :]
    differs = (
        other != good[at]
        if at == CHECK_POSITION - 1
        else (TRANSLITERATION[other] != TRANSLITERATION[good[at]])
    )
    assert (check_digit(changed) != changed[CHECK_POSITION - 1]) == differs


@laws
@given(vins)
def test_a_number_with_its_digit_and_a_year_code_is_read(vin: str) -> None:
    good = with_due_digit(vin)
    result = check_vin(good, last_model_year=2039)
    assert isinstance(result, VinReading) == (good[9] in YEAR_CODES)
    if isinstance(result, VinReading):
        assert result.model_years is not None
        assert len(result.model_years) == 2


@laws
@given(st.text(max_size=40))
def test_any_text_gives_a_reading_or_faults(text: str) -> None:
    result = check_vin(text, last_model_year=LAST)
    assert isinstance(result, VinReading) or (result and all(fault.mend for fault in result))


@laws
@given(st.sampled_from(YEAR_CODES), st.integers(1980, 2100))
def test_years_are_30_apart_and_none_is_later_than_the_last(code: str, last: int) -> None:
    years = sorted(model_years(code, last))
    assert all(1980 <= year <= last for year in years)
    assert all(b - a == 30 for a, b in pairwise(years))
    assert model_years(code, last) <= model_years(code, last + 1)
