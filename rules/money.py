"""Money: whole minor units inside, decimal strings outside, never floats."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import total_ordering
from typing import Final

_PLAIN_DECIMAL: Final = re.compile(r"(-?[0-9]+)(?:\.([0-9]+))?")


def half_up(numerator: int, denominator: int) -> int:
    """Divide and round to the nearest whole, an exact half away from zero.

    Away from zero, so that a refund rounds as the sale did. Source: Streamlined Sales and Use
    Tax Agreement s. 324; Reg. (EC) 1103/97 art. 5. Raises ZeroDivisionError, and ValueError
    when ``denominator`` is negative.
    """
    if denominator < 0:
        raise ValueError(f"the denominator must be positive, not {denominator}")
    sign = -1 if numerator < 0 else 1
    return sign * ((2 * abs(numerator) + denominator) // (2 * denominator))


@total_ordering
@dataclass(frozen=True, slots=True)
class Money:
    """``minor`` whole minor units (cents) of ``currency`` (ISO 4217), ``exponent`` digits.

    Amounts of one currency are ordered; comparing two currencies raises TypeError.
    """

    minor: int
    currency: str
    exponent: int = 2

    @property
    def amount(self) -> str:
        """Decimal string with exactly ``exponent`` digits: ``19.90``, ``-0.05``."""
        return decimal_text(self.minor, self.exponent)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, Money) or self._denomination != other._denomination:
            return NotImplemented
        return self.minor < other.minor

    @property
    def _denomination(self) -> tuple[str, int]:
        return self.currency, self.exponent


def decimal_text(minor: int, exponent: int) -> str:
    """Whole minor units as a decimal string: (1990, 2) -> "19.90", (-5, 2) -> "-0.05"."""
    if exponent == 0:
        return str(minor)
    digits = str(abs(minor)).rjust(exponent + 1, "0")
    return f"{'-' if minor < 0 else ''}{digits[:-exponent]}.{digits[-exponent:]}"


def minor_units(text: str, exponent: int) -> int:
    """Read a decimal string exactly: ("19.9", 2) -> 1990.

    ASCII digits with at most one dot between them, a minus sign allowed, white space around it
    trimmed; no exponent form, no grouping. Zeros at the end do not count as decimals. Raises
    ValueError when it is not such a text or has more than ``exponent`` decimals.
    """
    match = _PLAIN_DECIMAL.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"{text!r} is not a plain decimal amount")
    decimals = (match[2] or "").rstrip("0")
    if len(decimals) > exponent:
        raise ValueError(f"{text!r} has more than {exponent} decimals")
    # Put together as text: a decimal context would round beyond its precision.
    return int(match[1] + decimals.ljust(exponent, "0"))
