"""Numbers, units and titles as people say them."""

from __future__ import annotations

from math import floor, log10
from typing import Final

_UNITS: Final = {
    "n": "N",
    "n_per_mm": "N/mm",
    "g_s": "g/s",
    "l_s": "L/s",
    "m_s": "m/s",
    "kw": "kW",
    "nm": "N·m",
    "kpa": "kPa",
    "mpa": "MPa",
    "deg": "°",
    "w": "W",
    "a": "A",
    "v": "V",
}
_MOST_DECIMALS: Final = 3
_GRAIN: Final = 1e-5
"""Of a last digit: a margin that ends there is not cut for what doubles lose."""


def spoken_unit(unit: str | None) -> str:
    """A unit as people write it: ``n_per_mm`` is N/mm."""
    return "" if unit is None else _UNITS.get(unit, unit)


def in_a_sentence(title: str) -> str:
    """A title within a sentence: ``Camshaft`` -> ``camshaft``, but ``ABS module`` as it is."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def stopped(sentence: str) -> str:
    """With a full stop."""
    sentence = sentence.rstrip()
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."


def measured(value: float, decimals: int, unit: str | None) -> str:
    """``834 N``; no decimals that say nothing."""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{'0' if text == '-0' else text} {spoken_unit(unit)}".strip()


def spared(margin: float, unit: str | None) -> str:
    """A margin with two digits, cut off rather than rounded up: never more than there is."""
    decimals = decimals_of(margin, digits=2)
    return measured(floor(margin * 10**decimals + _GRAIN) / 10**decimals, decimals, unit)


def decimals_of(value: float, digits: int) -> int:
    """How many decimals show at least so many digits of a value, three at most."""
    if value == 0:
        return _MOST_DECIMALS
    return min(max(digits - 1 - floor(log10(abs(value))), 0), _MOST_DECIMALS)
