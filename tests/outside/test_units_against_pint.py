"""Exact conversions against pint (in fractions) and published rounded factors."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from rules.units import CUSTOMARY, UNITS, Unit, convert

# How pint spells each unit. Its traps: ounce alone is a mass, quart and fluid_ounce are the US
# ones, horsepower is the mechanical one.
PINT = {
    **{"mm": "mm", "m": "m", "km": "km", "in": "inch", "mile": "mile"},
    **{"cc": "cm**3", "ml": "milliliter", "L": "liter", "in³": "inch**3"},
    **{"US fl oz": "fluid_ounce", "US quart": "quart"},
    **{"N": "newton", "lbf": "force_pound", "N/mm": "newton/mm", "lbf/in": "force_pound/inch"},
    **{"L/s": "liter/second", "ft³/min": "foot**3/minute"},
    **{"kPa": "kilopascal", "MPa": "megapascal", "bar": "bar", "psi": "psi"},
    **{"N·m": "newton*meter", "lbf·ft": "force_pound*foot", "lbf·in": "force_pound*inch"},
    **{"kW": "kilowatt", "hp": "horsepower"},
    **{"m/s": "meter/second", "ft/min": "foot/minute", "km/h": "km/hour", "mph": "mile/hour"},
}


@pytest.fixture(name="registry", scope="module")
def _registry() -> pint.UnitRegistry[Fraction]:
    return pint.UnitRegistry(non_int_type=Fraction)


def pairs() -> list[tuple[str, str]]:
    def alike(a: Unit, b: Unit) -> bool:
        return a.quantity == b.quantity

    return [(a, b) for a in UNITS for b in UNITS if a != b and alike(UNITS[a], UNITS[b])]


def test_pint_knows_every_unit() -> None:
    assert PINT.keys() == UNITS.keys()


@pytest.mark.parametrize(("of", "into"), pairs())
def test_every_pair_is_exactly_what_pint_gives(
    registry: pint.UnitRegistry[Fraction], of: str, into: str
) -> None:
    theirs = registry.Quantity(Fraction(7), PINT[of]).to(PINT[into]).magnitude
    assert isinstance(theirs, Fraction)
    assert convert(7, of, into) == theirs


@pytest.mark.parametrize(
    ("of", "into", "factor"),
    [
        # Computed from the definitions: inch 25.4 mm, lb .45359237 kg, g 9.80665, gallon 231 in3.
        ("in", "mm", "127/5"),
        ("mile", "km", "25146/15625"),
        ("in³", "cc", "2048383/125000"),
        ("lbf", "N", "8896443230521/2000000000000"),
        ("lbf·ft", "N·m", "3389544870828501/2500000000000000"),
        ("lbf·in", "N·m", "0.1129848290276167"),
        ("US quart", "L", "473176473/500000000"),
        ("US fl oz", "ml", "29.5735295625"),
        ("psi", "kPa", "8896443230521/1290320000000"),
        ("ft³/min", "L/s", "0.4719474432"),
    ],
)
def test_exact_factors(of: str, into: str, factor: str) -> None:
    assert convert(1, of, into) == Fraction(factor)


@pytest.mark.parametrize(
    ("of", "into", "printed"),
    [
        # Published rounded factors: a naval facilities handbook, table of SI conversions.
        ("in³", "cc", "16.3871"),
        ("US fl oz", "ml", "29.5735"),
        ("lbf", "N", "4.44822"),
        ("lbf·in", "N·m", "0.112985"),
        ("mile", "km", "1.609344"),
        # From memory: NIST SP 811, appendix B.8, seven figures.
        ("psi", "kPa", "6.894757"),
        ("lbf·ft", "N·m", "1.355818"),
        ("hp", "kW", "0.7456999"),
        ("lbf/in", "N/mm", "0.1751268"),
    ],
)
def test_published_rounded_factors(of: str, into: str, printed: str) -> None:
    last_digit = Fraction(1, 10 ** len(printed.partition(".")[2]))
    assert abs(convert(1, of, into) - Fraction(printed)) <= last_digit / 2


@pytest.mark.parametrize(("metric", "customary"), CUSTOMARY.items())
def test_what_is_shown_side_by_side_is_the_same_quantity(metric: str, customary: str) -> None:
    assert convert(convert(3, metric, customary), customary, metric) == 3
