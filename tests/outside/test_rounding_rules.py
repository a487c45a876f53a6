"""Rounding of tax against published rules.

Published rules: Streamlined Sales and Use Tax Agreement s. 324 (as enacted in N.D. Cent. Code
57-39.4-25: carry the tax to the third decimal, round up when it is above 4; item or invoice
basis), and Reg. (EC) 1103/97 art. 5 (nearest cent, an exact half up). Amounts marked computed
were made here by those rules. UK VAT Notice 700 lets a total be rounded down instead; that is
an allowance, not the rule taken here.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest

from rules.money import half_up, minor_units


def tax_minor(minor: int, rate_percent: str) -> int:
    """Tax in minor units: the rate in basis points, one rounding at the end."""
    return half_up(minor * minor_units(rate_percent, 2), 10_000)


def cents(text: str) -> int:
    """An exact decimal to whole cents."""
    exact = Fraction(text) * 100
    return half_up(exact.numerator, exact.denominator)


@pytest.mark.parametrize(
    ("amount", "rate_percent", "tax"),
    [
        pytest.param("19.99", "7.25", "1.45", id="computed: 1.449275"),
        pytest.param("100", "8.875", "8.88", id="computed: 8.875 exactly"),
        pytest.param("46.00", "7.25", "3.34", id="computed: 3.335 exactly"),
        pytest.param("0.50", "9", "0.05", id="computed: 0.045, half-even would give 0.04"),
        pytest.param("12.34", "7.25", "0.89", id="computed: 0.89465, rounded twice it is 0.90"),
    ],
)
def test_section_324(amount: str, rate_percent: str, tax: str) -> None:
    thousandths = minor_units(rate_percent, 3)
    assert half_up(minor_units(amount, 2) * thousandths, 100_000) == minor_units(tax, 2)
    if thousandths % 10 == 0:
        assert tax_minor(minor_units(amount, 2), rate_percent) == minor_units(tax, 2)


def test_the_rule_as_written_gives_the_same() -> None:
    """s. 324 word for word: the third decimal alone decides, what follows is cut off."""
    for amount in range(0, 20_000, 7):
        for basis_points in (500, 725, 887, 900, 1900):
            exact = amount * basis_points  # ten-thousandths of a cent
            kept, third = divmod(exact // 1000, 10)
            assert half_up(exact, 10_000) == kept + (third > 4)


def test_rounding_twice_is_a_trap() -> None:
    exact = minor_units("12.34", 2) * 725
    to_thousandths = half_up(exact, 1000)
    assert to_thousandths == 895
    assert half_up(to_thousandths, 10) == 90
    assert half_up(exact, 10_000) == 89


def test_item_and_invoice_basis_differ() -> None:
    # Computed: three items of 10.10 at 5 %.
    per_item = 3 * tax_minor(1010, "5")
    on_invoice = tax_minor(3 * 1010, "5")
    assert (per_item, on_invoice) == (153, 152)


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        pytest.param(Fraction("24.784"), 2478, id="published: 24.784"),
        pytest.param(Fraction("24.785"), 2479, id="published: 24.785"),
        pytest.param(Fraction(500) / Fraction("239.640"), 209, id="published: 500 SIT"),
        pytest.param(Fraction(1000) / Fraction("239.640"), 417, id="published: 1000 SIT"),
    ],
)
def test_regulation_1103_97(exact: Fraction, rounded: int) -> None:
    # Published examples: rounding rules of the euro changeover of Slovenia (evro.si).
    scaled = exact * 100
    assert half_up(scaled.numerator, scaled.denominator) == rounded


# Computed: exact decimal, half-even, half-up, and what float round() makes of it.
TABLE = [
    ("0.005", "0.00", "0.01", "0.01"),
    ("0.025", "0.02", "0.03", "0.03"),
    ("1.005", "1.00", "1.01", "1.0"),
    ("2.665", "2.66", "2.67", "2.67"),
    ("2.675", "2.68", "2.68", "2.67"),
    ("10.125", "10.12", "10.13", "10.12"),
    ("24.785", "24.78", "24.79", "24.79"),
    ("31.395", "31.40", "31.40", "31.39"),
    ("87.445", "87.44", "87.45", "87.44"),
    ("-2.675", "-2.68", "-2.68", "-2.67"),
]


@pytest.mark.parametrize(("exact", "half_even", "up", "by_float"), TABLE)
def test_why_neither_decimal_defaults_nor_floats(
    exact: str, half_even: str, up: str, by_float: str
) -> None:
    assert cents(exact) == minor_units(up, 2)
    assert Decimal(exact).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN) == Decimal(half_even)
    assert round(float(exact), 2) == float(by_float)


def test_a_published_core_deposit_example() -> None:
    # Published (text of a Californian tax annotation): battery 54.00 with a core charge of
    # 7.00 in it, 7 % tax on the whole, core allowance 7.00; the customer pays 50.78.
    price = minor_units("54.00", 2)
    assert tax_minor(price, "7") == minor_units("3.78", 2)
    assert price + tax_minor(price, "7") - minor_units("7.00", 2) == minor_units("50.78", 2)
