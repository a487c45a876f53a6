"""Exact conversions between metric and customary units, for display.

Inside everything is metric. Factors are exact fractions built from the international
definitions: inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s2, US gallon
231 in3 (NIST SP 811). Rounding is left to whoever prints.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

Quantity = Literal[
    "length",
    "volume",
    "force",
    "stiffness",
    "volume flow",
    "pressure",
    "torque",
    "power",
    "speed",
]


class Unit(NamedTuple):
    """One of it is ``factor`` of the coherent SI unit: ``in`` is 127/5000 of a metre."""

    quantity: Quantity
    factor: Fraction


_INCH_M: Final = Fraction(254, 10_000)
_FOOT_M: Final = 12 * _INCH_M
_MILE_M: Final = 5280 * _FOOT_M
_INCH3_M3: Final = _INCH_M**3
_GALLON_M3: Final = 231 * _INCH3_M3
_LBF_N: Final = Fraction(45_359_237, 100_000_000) * Fraction(980_665, 100_000)

UNITS: Final[Mapping[str, Unit]] = MappingProxyType(
    {
        "mm": Unit("length", Fraction(1, 1000)),
        "m": Unit("length", Fraction(1)),
        "km": Unit("length", Fraction(1000)),
        "in": Unit("length", _INCH_M),
        "mile": Unit("length", _MILE_M),
        "cc": Unit("volume", Fraction(1, 10**6)),
        "ml": Unit("volume", Fraction(1, 10**6)),
        "L": Unit("volume", Fraction(1, 1000)),
        "in³": Unit("volume", _INCH3_M3),
        "US fl oz": Unit("volume", _GALLON_M3 / 128),
        "US quart": Unit("volume", _GALLON_M3 / 4),
        "N": Unit("force", Fraction(1)),
        "lbf": Unit("force", _LBF_N),
        "N/mm": Unit("stiffness", Fraction(1000)),
        "lbf/in": Unit("stiffness", _LBF_N / _INCH_M),
        "L/s": Unit("volume flow", Fraction(1, 1000)),
        "ft³/min": Unit("volume flow", _FOOT_M**3 / 60),
        "kPa": Unit("pressure", Fraction(1000)),
        "MPa": Unit("pressure", Fraction(10**6)),
        "bar": Unit("pressure", Fraction(10**5)),
        "psi": Unit("pressure", _LBF_N / _INCH_M**2),
        "N·m": Unit("torque", Fraction(1)),
        "lbf·ft": Unit("torque", _LBF_N * _FOOT_M),
        "lbf·in": Unit("torque", _LBF_N * _INCH_M),
        "kW": Unit("power", Fraction(1000)),
        "hp": Unit("power", 550 * _FOOT_M * _LBF_N),
        "m/s": Unit("speed", Fraction(1)),
        "ft/min": Unit("speed", _FOOT_M / 60),
        "km/h": Unit("speed", Fraction(1000, 3600)),
        "mph": Unit("speed", _MILE_M / 3600),
    }
)
"""Every unit as it is written. ``hp`` is the mechanical one, 550 ft·lbf/s; ml and cc are one
volume under two names."""

CUSTOMARY: Final[Mapping[str, str]] = MappingProxyType(
    {
        "mm": "in",
        "km": "mile",
        "cc": "in³",
        "ml": "US fl oz",
        "L": "US quart",
        "N": "lbf",
        "N/mm": "lbf/in",
        "L/s": "ft³/min",
        "kPa": "psi",
        "N·m": "lbf·ft",
        "kW": "hp",
        "m/s": "ft/min",
        "km/h": "mph",
    }
)
"""The customary unit beside which a metric one is shown."""


def convert(value: int | Decimal | Fraction, of: str, into: str) -> Fraction:
    """``value`` of one unit in another of the same quantity, exact.

    >>> convert(1, "in", "mm")
    Fraction(127, 5)

    Raises ValueError for a unit that is not in ``UNITS`` or two units of different quantities.
    """
    return Fraction(value) * _ratio(of, into)


def convert_measured(value: float, of: str, into: str) -> float:
    """As ``convert`` for a measured number: the factor is exact, the result a double.

    Raises ValueError as ``convert`` does, and for a value that is not finite.
    """
    try:
        return float(Fraction(value) * _ratio(of, into))
    except OverflowError:
        raise ValueError(f"{value!r} {of} cannot be shown in {into}") from None


def _ratio(of: str, into: str) -> Fraction:
    source, target = _unit(of), _unit(into)
    if source.quantity != target.quantity:
        raise ValueError(f"{of} is a {source.quantity}, {into} is a {target.quantity}")
    return source.factor / target.factor


def _unit(name: str) -> Unit:
    try:
        return UNITS[name]
    except KeyError:
        raise ValueError(f"{name!r} is none of {', '.join(UNITS)}") from None
