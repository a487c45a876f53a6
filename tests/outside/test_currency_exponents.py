"""Digits of currencies against ISO 4217 as the package iso4217 carries it.

A catalog names its currency and how many digits the minor unit has; here the numbers that the
documentation and the demo rely on are checked, and that amounts keep exactly that many.
"""

from __future__ import annotations

import pytest
from iso4217 import Currency

from rules.money import Money, minor_units

DIGITS = {
    **dict.fromkeys(["USD", "EUR", "GBP", "CAD", "AUD", "CHF", "MXN", "INR", "HUF"], 2),
    **dict.fromkeys(["JPY", "ISK", "CLP"], 0),
    **dict.fromkeys(["KWD", "BHD", "TND"], 3),
    **dict.fromkeys(["CLF", "UYW"], 4),
}


@pytest.mark.parametrize(("code", "digits"), DIGITS.items())
def test_amounts_have_the_digits_of_iso_4217(code: str, digits: int) -> None:
    published = Currency(code).exponent
    assert published == digits
    money = Money(123_456, code, published)
    assert len(money.amount.partition(".")[2]) == published
    assert minor_units(money.amount, published) == money.minor


def test_money_has_two_digits_unless_told_otherwise() -> None:
    usual = [code for code, digits in DIGITS.items() if digits == Money(0, code).exponent]
    assert {"EUR", "USD", "GBP"} <= set(usual)


def test_every_currency_that_has_digits_can_be_written_and_read() -> None:
    exponents = {c.exponent for c in Currency if c.exponent is not None}
    assert exponents == {0, 2, 3, 4}
    for exponent in exponents:
        assert minor_units(Money(-1, "EUR", exponent).amount, exponent) == -1
