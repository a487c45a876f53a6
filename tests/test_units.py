"""Unit conversion: laws and refusals; the factors are checked in tests/outside."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.engine.functions import FUNCTIONS
from rules.units import UNITS, convert, convert_measured

laws = settings(derandomize=True, deadline=None, max_examples=200)
quantities = sorted({unit.quantity for unit in UNITS.values()})


@st.composite
def three_alike(draw: st.DrawFn) -> tuple[str, str, str]:
    quantity = draw(st.sampled_from(quantities))
    alike = st.sampled_from([name for name, unit in UNITS.items() if unit.quantity == quantity])
    return draw(alike), draw(alike), draw(alike)


@laws
@given(st.fractions(), three_alike())
def test_going_round_changes_nothing(value: Fraction, units: tuple[str, str, str]) -> None:
    a, b, c = units
    assert convert(convert(convert(value, a, b), b, c), c, a) == value
    assert convert(convert(value, a, b), b, c) == convert(value, a, c)


@laws
@given(st.floats(-1e6, 1e6), three_alike())
def test_a_measured_number_is_rounded_once(value: float, units: tuple[str, str, str]) -> None:
    a, b, _ = units
    assert convert_measured(value, a, b) == float(convert(Fraction(value), a, b))


def test_exact_inputs_stay_exact() -> None:
    assert convert(Decimal("0.1"), "in", "mm") == Fraction("2.54")
    assert convert(1, "L", "cc") == 1000
    assert convert(1, "cc", "ml") == 1


@pytest.mark.parametrize(
    ("of", "into", "says"),
    [
        ("mm", "cc", "mm is a length, cc is a volume"),
        ("furlong", "mm", "'furlong' is none of mm, m, km"),
        ("mm", "MM", "'MM' is none of"),
    ],
)
def test_what_cannot_be_converted(of: str, into: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        convert(1, of, into)


@pytest.mark.parametrize("value", [inf, -inf, nan, 1e308])
def test_a_measured_number_that_has_no_finite_result(value: float) -> None:
    with pytest.raises(ValueError):
        convert_measured(value, "km", "mm")


def test_every_quantity_has_at_least_two_units() -> None:
    for quantity in quantities:
        assert sum(unit.quantity == quantity for unit in UNITS.values()) >= 2


def test_results_of_engine_functions_can_be_shown_in_customary_units() -> None:
    # What has no customary partner is a pure number, an angle, turns, or a fuel mass flow.
    shown = {function.unit for function in FUNCTIONS.values()} - {None, "deg", "turns", "g/s"}
    assert shown <= UNITS.keys()
