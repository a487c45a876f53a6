"""Money: whole minor units inside, decimal strings outside, never floats."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation


def half_up(numerator: int, denominator: int) -> int:
    """Divide and round to the nearest whole, an exact half away from zero.

    Source: Streamlined Sales and Use Tax Agreement s. 324; Reg. (EC) 1103/97 art. 5.
    Raises ZeroDivisionError. ``denominator`` must be positive.
    """
    sign = -1 if numerator < 0 else 1
    return sign * ((2 * abs(numerator) + denominator) // (2 * denominator))


@dataclass(frozen=True, slots=True, order=True)
class Money:
    """``minor`` whole minor units (cents) of ``currency`` (ISO 4217), ``exponent`` digits."""

    minor: int
    currency: str
    exponent: int = 2

    @property
    def amount(self) -> str:
        """Decimal string with exactly ``exponent`` digits: ``19.90``, ``-0.05``."""
        return decimal_text(self.minor, self.exponent)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


def decimal_text(minor: int, exponent: int) -> str:
    """Whole minor units as a decimal string: (1990, 2) -> "19.90", (-5, 2) -> "-0.05"."""
    if exponent == 0:
        return str(minor)
    digits = str(abs(minor)).rjust(exponent + 1, "0")
    return f"{'-' if minor < 0 else ''}{digits[:-exponent]}.{digits[-exponent:]}"


def minor_units(text: str, exponent: int) -> int:
    """Read a decimal string exactly: ("19.9", 2) -> 1990. No exponent form, sign allowed.

    Raises ValueError when it is not a plain decimal or has more than ``exponent`` decimals.
    """
    stripped = text.strip()
    if not stripped or set(stripped.lstrip("-")) - set("0123456789."):
        raise ValueError(f"{text!r} is not a plain decimal amount")
    try:
        scaled = Decimal(stripped).scaleb(exponent)
    except InvalidOperation:
        raise ValueError(f"{text!r} is not a plain decimal amount") from None
    if scaled != scaled.to_integral_value():
        raise ValueError(f"{text!r} has more than {exponent} decimals")
    return int(scaled)
