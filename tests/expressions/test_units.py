"""Units: what may be added and compared, what products give, how they are written."""

from __future__ import annotations

import pytest

from rules.engine.functions import FUNCTIONS
from rules.expressions.units import parse_unit, product, show_unit
from tests.expressions.bike import compiled, faults, value


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("N/mm", "n_per_mm"), ("g/s", "g_s"), ("L/s", "l_s"), ("m/s", "m_s"), ("kW", "kw"),
        ("N·m", "nm"), ("MPa", "N/mm²"), ("mm2", "mm²"), ("mm^3", "mm·mm·mm"),
        ("g/kWh", "g_per_kwh"), (" mm ", "MM"), ("km/h", "km_h"),
    ],
)  # fmt: skip
def test_spellings_of_one_unit(one: str, other: str) -> None:
    assert parse_unit(one) == parse_unit(other)


@pytest.mark.parametrize(
    ("one", "other"), [("mm", "cc"), ("mm", "mm2"), ("N", "N/mm"), ("km", "m"), ("N·m", "mm")]
)
def test_different_units(one: str, other: str) -> None:
    assert parse_unit(one) != parse_unit(other)


def test_no_unit_is_not_a_pure_number() -> None:
    assert parse_unit(None) is None
    assert parse_unit("") is None
    assert parse_unit("1") == ()


@pytest.mark.parametrize("unit", sorted({f.unit for f in FUNCTIONS.values() if f.unit is not None}))
def test_units_of_engine_functions_are_written_back_the_same(unit: str) -> None:
    assert show_unit(parse_unit(unit)) == unit


def test_products() -> None:
    rate, mm = parse_unit("N/mm"), parse_unit("mm")
    assert product(rate, mm) == parse_unit("N")
    assert product(mm, mm, -1) == ()
    assert product(None, mm) == mm
    assert product(None, mm, -1) == parse_unit("1/mm")
    assert product(None, None) is None
    assert show_unit(product(None, mm, -1)) == "1/mm"


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("vehicle.bore_mm", "mm"),
        ("vehicle.bore_mm + 1.0", "mm"),
        ("1.0 + vehicle.bore_mm", "mm"),
        ("vehicle.bore_mm * vehicle.bore_mm", "mm2"),
        ("vehicle.bore_mm / vehicle.stroke_mm", None),
        ("1.0 / vehicle.bore_mm", "1/mm"),
        ("valve_spring.seat_load_n + valve_spring.rate_n_per_mm * camshaft.valve_lift_mm", "N"),
        ("valve_spring.rate_n_per_mm", "N/mm"),
        ("-vehicle.bore_mm", "mm"),
        ("abs(vehicle.bore_mm)", "mm"),
        ("min(vehicle.bore_mm, 90.0)", "mm"),
        ("max(90.0, vehicle.bore_mm)", "mm"),
        ("double(vehicle.odometer_km)", "km"),
        ("int(vehicle.bore_mm)", "mm"),
        ("bare(vehicle.bore_mm)", None),
        ("vehicle.abs ? vehicle.bore_mm : 1.0", "mm"),
        ("vehicle.odometer_km % 1000", "km"),
        ("swept_cc(vehicle.bore_mm, vehicle.stroke_mm)", "cc"),
        ("vehicle.ratio * 2.0", None),
        ("vehicle.cooling", None),
    ],
)
def test_the_unit_of_the_result(text: str, unit: str | None) -> None:
    assert compiled(text).unit == unit


@pytest.mark.parametrize(
    "text",
    [
        "vehicle.bore_mm + 1.0 > 2.0",
        "vehicle.bore_mm * vehicle.ratio <= vehicle.stroke_mm",
        "vehicle.bore_mm / vehicle.stroke_mm < 1.05",
        "vehicle.bore_mm / vehicle.stroke_mm < vehicle.ratio",
        "spring_open_load_n(valve_spring.seat_load_n, valve_spring.rate_n_per_mm, "
        "camshaft.valve_lift_mm) < 900.0",
        "swept_cc(96.0, 100.0) < vehicle.displacement_cc",
        "bare(vehicle.fork_travel_in) * 25.4 <= vehicle.stroke_mm",
        "mean_piston_speed_m_s(vehicle.stroke_mm, 6000.0) <= 20.0",
    ],
)
def test_units_that_agree(text: str) -> None:
    assert faults(text) == []


MEND = "Use values of one unit, or convert with bare(x) and a factor."


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "vehicle.bore_mm < camshaft.duration_deg",
            f"at character 17: the two sides of < have different units, mm and deg. {MEND}",
        ),
        (
            "vehicle.bore_mm + vehicle.displacement_cc > 1.0",
            f"at character 17: the two sides of + have different units, mm and cc. {MEND}",
        ),
        (
            "vehicle.bore_mm * vehicle.bore_mm > vehicle.bore_mm",
            f"at character 35: the two sides of > have different units, mm2 and mm. {MEND}",
        ),
        (
            "vehicle.bore_mm / vehicle.stroke_mm > vehicle.bore_mm",
            "at character 37: the two sides of > have different units, a pure number and mm. "
            + MEND,
        ),
        (
            "vehicle.fork_travel_in * 25.4 <= vehicle.stroke_mm",
            f"at character 31: the two sides of <= have different units, in and mm. {MEND}",
        ),
        (
            "max(vehicle.bore_mm, camshaft.duration_deg) > 1.0",
            f"at character 1: the two arguments of max have different units, mm and deg. {MEND}",
        ),
        (
            "(vehicle.abs ? vehicle.bore_mm : camshaft.duration_deg) > 1.0",
            "at character 14: the two values of ? : have different units, mm and deg. " + MEND,
        ),
        (
            "swept_cc(camshaft.duration_deg, 100.0) > 1.0",
            "at character 10: bore_mm of swept_cc is in mm, but this is in deg. "
            "Give a value in mm.",
        ),
        (
            "spring_open_load_n(valve_spring.rate_n_per_mm, 50.0, 10.0) > 1.0",
            "at character 20: seat_load_n of spring_open_load_n is in N, but this is in N/mm. "
            "Give a value in N.",
        ),
    ],
)
def test_units_that_do_not_agree(text: str, expected: str) -> None:
    assert faults(text) == [expected]


def test_nothing_is_converted() -> None:
    """bare() takes the unit away; the factor is the keeper's (1 in = 25.4 mm, NIST SP 811)."""
    text = "bare(vehicle.fork_travel_in) * 25.4"
    assert value(text, {"vehicle.fork_travel_in": 2.0}) == 50.8
