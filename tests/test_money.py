"""Money: rounding, reading and writing amounts, ordering."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.money import Money, decimal_text, half_up, minor_units

laws = settings(derandomize=True, deadline=None, max_examples=300)
whole = st.integers(-(10**40), 10**40)
exponents = st.integers(0, 4)


@laws
@given(whole, st.integers(1, 10**12))
def test_half_up_is_the_nearest_whole_number_and_a_half_goes_away_from_zero(n: int, d: int) -> None:
    exact = Fraction(n, d)
    off = half_up(n, d) - exact
    assert abs(off) <= Fraction(1, 2)
    if abs(off) == Fraction(1, 2):
        assert abs(half_up(n, d)) > abs(exact)


@laws
@given(whole, st.integers(1, 10**12))
def test_a_refund_rounds_as_the_sale_did(n: int, d: int) -> None:
    assert half_up(-n, d) == -half_up(n, d)


@laws
@given(whole, st.integers(1, 10**6), st.integers(1, 10**6))
def test_half_up_does_not_depend_on_how_the_fraction_is_written(n: int, d: int, k: int) -> None:
    assert half_up(n * k, d * k) == half_up(n, d)


@laws
@given(whole, whole, st.integers(1, 10**6))
def test_half_up_keeps_order(a: int, b: int, d: int) -> None:
    low, high = sorted((a, b))
    assert half_up(low, d) <= half_up(high, d)


@laws
@given(st.integers(-(10**20), 10**20))
def test_half_up_agrees_with_decimal(thousandths: int) -> None:
    exact = Decimal(thousandths).scaleb(-3)
    cents = exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    assert half_up(thousandths, 10) == int(cents.scaleb(2))


def test_half_up_refuses_what_is_no_positive_denominator() -> None:
    with pytest.raises(ZeroDivisionError):
        half_up(1, 0)
    with pytest.raises(ValueError, match="must be positive"):
        half_up(1, -2)


@laws
@given(whole, exponents)
def test_an_amount_goes_out_and_comes_back(minor: int, exponent: int) -> None:
    text = decimal_text(minor, exponent)
    assert minor_units(text, exponent) == minor
    assert Decimal(text) * 10**exponent == minor or abs(minor) >= 10**28
    assert len(text.partition(".")[2]) == exponent


@laws
@given(whole, exponents, st.integers(0, 6))
def test_more_zeros_change_nothing(minor: int, exponent: int, zeros: int) -> None:
    text = decimal_text(minor, exponent)
    padded = text + ("" if exponent else ".0") + "0" * zeros
    assert minor_units(padded, exponent) == minor


@laws
@given(st.text(alphabet="0123456789.-+e_ ,", max_size=12), exponents)
def test_only_exact_amounts_are_read(text: str, exponent: int) -> None:
    try:
        minor = minor_units(text, exponent)
    except ValueError:
        return
    assert Fraction(text.strip()) * 10**exponent == minor


@pytest.mark.parametrize(
    ("text", "exponent", "minor"),
    [
        ("19.9", 2, 1990),
        ("19.90", 2, 1990),
        ("19.900", 2, 1990),
        (" 7 ", 2, 700),
        ("-0.05", 2, -5),
        ("-0", 2, 0),
        ("007.50", 2, 750),
        ("1.234", 3, 1234),
        ("500", 0, 500),
        ("500.0", 0, 500),
        # Beyond the 28 digits of a decimal context, which would round without a word.
        ("12345678901234567890123456789012.34", 2, 1234567890123456789012345678901234),
    ],
)
def test_amounts_that_are_read(text: str, exponent: int, minor: int) -> None:
    assert minor_units(text, exponent) == minor


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", ".", "-", "1.", ".5", "--5", "5-", "+5", "1e3", "1,50", "1 000", "0x1"),
        *("1_0", "nan", "inf", "\u0661", "\uff11", "1.5.2", "EUR 5", "5\n5"),
    ],
)
def test_texts_that_are_no_amount(text: str) -> None:
    with pytest.raises(ValueError, match="is not a plain decimal amount"):
        minor_units(text, 2)


@pytest.mark.parametrize(
    ("text", "exponent"),
    [("0.005", 2), ("19.901", 2), ("0.5", 0), ("1." + "0" * 30 + "1", 2)],
)
def test_more_decimals_than_the_currency_has(text: str, exponent: int) -> None:
    with pytest.raises(ValueError, match=f"has more than {exponent} decimals"):
        minor_units(text, exponent)


@pytest.mark.parametrize(
    ("minor", "exponent", "text"),
    [
        (1990, 2, "19.90"),
        (-5, 2, "-0.05"),
        (0, 2, "0.00"),
        (5, 0, "5"),
        (-5, 0, "-5"),
        (5, 3, "0.005"),
        (-12345, 4, "-1.2345"),
    ],
)
def test_how_amounts_are_written(minor: int, exponent: int, text: str) -> None:
    assert decimal_text(minor, exponent) == text
    assert Money(minor, "EUR", exponent).amount == text
    assert str(Money(minor, "EUR", exponent)) == f"{text} EUR"


def test_amounts_of_one_currency_are_ordered() -> None:
    five, seven = Money(5, "EUR"), Money(7, "EUR")
    assert five < seven
    assert seven >= five
    assert five <= Money(5, "EUR")
    assert max(five, seven) == seven


@pytest.mark.parametrize("other", [Money(7, "USD"), Money(7, "EUR", 3), 7])
def test_two_currencies_are_not_compared(other: object) -> None:
    five = Money(5, "EUR")
    assert five != other
    with pytest.raises(TypeError):
        assert five < other
