"""Vehicle identification numbers against 49 CFR part 565 and published numbers.

Tables III, IV, VI and VII of 49 CFR 565.15 are published; "published" in an id says where a
number was seen, "computed" that it was made here by the rule. Sums are those of the rule's
products; they are asserted so that two errors cannot cancel in the remainder.
"""

from __future__ import annotations

import pytest

from rules.faults import Fault
from rules.vin import (
    CHECK_POSITION,
    TRANSLITERATION,
    WEIGHTS,
    YEAR_CODES,
    VinReading,
    check_digit,
    check_vin,
    manufacturer_identifier,
    model_years,
)

LAST = 2039
SAMPLE = "1G4AH59H45G118341"  # the worked sample of 49 CFR 565.15(c)


def read(vin: str) -> VinReading | tuple[Fault, ...]:
    return check_vin(vin, last_model_year=LAST)


def weighted_sum(vin: str) -> int:
    return sum(TRANSLITERATION[c] * w for c, w in zip(vin, WEIGHTS, strict=True))


def test_the_published_transliteration_and_weights() -> None:
    # Published: 49 CFR 565.15(c), tables III and IV.
    table = "A1 B2 C3 D4 E5 F6 G7 H8 J1 K2 L3 M4 N5 P7 R9 S2 T3 U4 V5 W6 X7 Y8 Z9"
    letters = {pair[0]: int(pair[1]) for pair in table.split()}
    digits = {str(digit): digit for digit in range(10)}
    assert dict(TRANSLITERATION) == letters | digits
    weights = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
    assert weights == WEIGHTS


def test_the_published_worked_sample() -> None:
    # Published: products and sum printed in 49 CFR 565.15(c), table VI.
    products = [TRANSLITERATION[c] * w for c, w in zip(SAMPLE, WEIGHTS, strict=True)]
    assert products == [8, 49, 24, 5, 32, 15, 18, 80, 0, 45, 56, 7, 6, 40, 12, 12, 2]
    assert sum(products) == 411
    assert check_digit(SAMPLE) == "4"


GOOD = [
    pytest.param(SAMPLE, 411, id="published: 49 CFR 565.15 sample"),
    pytest.param("1M8GDM9AXKP042788", 351, id="published: encyclopaedia example"),
    pytest.param("11111111111111111", 89, id="published: all ones"),
    pytest.param("WDBEA30D3HA391172", 355, id="published: R package vindecodr, manual"),
    pytest.param("1FACP45EXLF192944", 373, id="published with its sum: datacleaner wiki"),
    pytest.param("1HGCM82633A004352", 311, id="published: public test suites"),
    pytest.param("1GYFK63878R248711", 502, id="published: vin-parser readme"),
    pytest.param("1GNEC233X9R191831", 428, id="published: vindicator manual"),
    pytest.param("99999999999999999", 801, id="computed: all nines"),
    pytest.param("AAAAAAAA1AAAAAAAA", 89, id="computed: all A"),
    pytest.param("XXXXXXXX6X1234567", 490, id="computed: X"),
    pytest.param("9V9TW1A44A1RT0001", 345, id="computed: year code A"),
    pytest.param("9V9TW1A44Y1RT0042", 422, id="computed: year code Y"),
    pytest.param("7M9VT2B12P1FXX001", 387, id="computed: six-character maker"),
    pytest.param("5ZZVT1078L1000010", 305, id="computed: digit in position 7"),
    pytest.param("ZZZZZZZZ3AZZZZZZZ", 729, id="computed: all Z"),
]


@pytest.mark.parametrize(("vin", "total"), GOOD)
def test_good_numbers(vin: str, total: int) -> None:
    assert weighted_sum(vin) == total
    reading = read(vin)
    assert isinstance(reading, VinReading)
    assert reading.vin == vin
    assert reading.check_digit == reading.check_digit_due == "0123456789X"[total % 11]
    assert reading.check_digit_agrees


BAD = [
    pytest.param("WP0ZZZ99ZTS392124", 459, "8", id="published as invalid: vin_parser manual"),
    pytest.param("1G4AH59H45G118331", 408, "1", id="published corruption of the sample"),
    pytest.param("1G4AH59H55G118341", 411, "4", id="published: position 9 changed"),
    pytest.param("1M8GDM9AXKP042778", 348, "7", id="computed: one digit off"),
    pytest.param("1M8GDM9AXKP04278B", 339, "9", id="computed: letter in the last place"),
    pytest.param("1M8GDM9A0KP042788", 351, "X", id="computed: 0 where X is due"),
    pytest.param("1G4AH59H45G118314", 408, "1", id="computed: neighbours swapped at the end"),
    pytest.param("1G4HA59H45G118341", 418, "0", id="computed: neighbours swapped in front"),
]


@pytest.mark.parametrize(("vin", "total", "due"), BAD)
def test_wrong_check_digits(vin: str, total: int, due: str) -> None:
    assert weighted_sum(vin) == total
    faults = read(vin)
    assert isinstance(faults, tuple)
    (fault,) = faults
    found = vin[CHECK_POSITION - 1]
    assert f"position 9 has {found}, the other characters call for {due}" in fault.problem


def test_a_market_without_check_digits() -> None:
    # Published as invalid for North America; sold where position 9 may hold any character.
    reading = check_vin("WP0ZZZ99ZTS392124", last_model_year=LAST, standard="ISO 3779")
    assert isinstance(reading, VinReading)
    assert (reading.check_digit, reading.check_digit_due) == ("Z", "8")
    assert reading.model_years is None


def test_zeros_agree_in_arithmetic_but_have_no_year() -> None:
    # Computed: sum 0, digit 0; 0 is no code of table VII.
    zeros = "0" * 17
    assert check_digit(zeros) == "0"
    faults = read(zeros)
    assert isinstance(faults, tuple)
    assert [f.problem for f in faults] == ["0 in position 10 is no model year code"]


@pytest.mark.parametrize(
    "vin",
    [
        pytest.param("JG4AH59H45G118341", id="computed: 1 read as J, the same value"),
        pytest.param("1G4AH59H45GJ18341", id="computed: 1 read as J further on"),
        pytest.param("GG4AH59H451118341", id="computed: positions 1 and 11 swapped, one weight"),
    ],
)
def test_errors_that_no_check_digit_can_catch(vin: str) -> None:
    assert vin != SAMPLE
    assert weighted_sum(vin) == 411
    assert isinstance(read(vin), VinReading)


def test_which_positions_can_be_swapped_unseen() -> None:
    # Computed from table IV: 1 and 11 up to 7 and 17.
    pairs = {
        (i + 1, j + 1) for i in range(17) for j in range(i + 1, 17) if WEIGHTS[i] == WEIGHTS[j]
    }
    assert pairs == {(i, i + 10) for i in range(1, 8)}


def test_published_year_codes() -> None:
    # Published: 49 CFR 565.15(d)(1), table VII; 2020 to 2039 by the 30-year cycle (computed).
    assert YEAR_CODES == "ABCDEFGHJKLMNPRSTVWXY123456789"
    named = {"A": 1980, "H": 1987, "J": 1988, "N": 1992, "P": 1993, "R": 1994, "T": 1996}
    named |= {"V": 1997, "Y": 2000, "1": 2001, "9": 2009}
    for code, year in named.items():
        assert model_years(code, LAST) == {year, year + 30}


def test_published_year_tables_that_are_wrong() -> None:
    # Traps: stored tables that give 0 for 2000 and L for 1993.
    assert model_years("0", LAST) == frozenset()
    assert 1993 not in model_years("L", LAST)
    assert model_years("L", LAST) == {1990, 2020}


@pytest.mark.parametrize(
    ("vin", "years"),
    [
        ("9V9TW1A44A1RT0001", {1980, 2010}),
        ("9V9TW1A44Y1RT0042", {2000, 2030}),
        # Digit in position 7: for a car that would mean 1990; for a motorcycle it says nothing
        # (565.15(b) and (d)(1) speak of passenger cars and light trucks only).
        ("5ZZVT1078L1000010", {1990, 2020}),
    ],
)
def test_a_motorcycle_stays_ambiguous(vin: str, years: set[int]) -> None:
    reading = read(vin)
    assert isinstance(reading, VinReading)
    assert reading.model_years is not None
    assert set(reading.model_years) == years


def test_a_maker_of_few_vehicles_has_six_characters() -> None:
    # Published: 565.15(a); the number is synthetic.
    assert manufacturer_identifier("7M9VT2B12P1FXX001") == "7M9FXX"
    assert manufacturer_identifier(SAMPLE) == "1G4"
