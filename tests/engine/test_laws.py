"""What must hold of the arithmetic whatever the numbers; values are checked in tests/outside."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rules.engine.compression import piston_from_top_mm
from tests.engine.calls import call, refusal

laws = settings(derandomize=True, deadline=None, max_examples=150)
length = st.floats(20, 200)
angle = st.floats(-60, 120)
ratio = st.floats(6, 16)


@laws
@given(length, length, st.integers(1, 12))
def test_displacement_grows_with_the_square_of_the_bore(
    bore: float, stroke: float, cylinders: int
) -> None:
    cc = call("displacement_cc", bore, stroke, cylinders)
    assert cc == pytest.approx(cylinders * call("swept_cc", bore, stroke))
    assert call("displacement_cc", 2 * bore, stroke, cylinders) == pytest.approx(4 * cc)
    assert call("displacement_cc", bore, 2 * stroke, cylinders) == pytest.approx(2 * cc)


@laws
@given(length, length, ratio)
def test_a_chamber_made_for_a_ratio_gives_it(bore: float, stroke: float, r: float) -> None:
    chamber = call("swept_cc", bore, stroke) / (r - 1)
    assert call("compression_ratio", bore, stroke, chamber, 0.0, bore, 0.0, 0.0) == pytest.approx(r)


@laws
@given(length, length, st.floats(30, 150), st.floats(0, 3), st.floats(-0.3, 1))
def test_every_part_of_the_clearance_lowers_the_ratio(
    bore: float, stroke: float, chamber: float, gasket: float, deck: float
) -> None:
    def at(chamber: float, gasket: float, deck: float, dome: float) -> float:
        return call("compression_ratio", bore, stroke, chamber, gasket, bore, deck, dome)

    assume(chamber - 10 - 0.3 * pi / 4 * bore**2 / 1000 > 1)
    base = at(chamber, gasket, deck, 0.0)
    assert at(chamber + 1, gasket, deck, 0.0) < base
    assert at(chamber, gasket + 0.1, deck, 0.0) < base
    assert at(chamber, gasket, deck + 0.1, 0.0) < base
    assert at(chamber, gasket, deck, -5.0) < base < at(chamber, gasket, deck, 5.0)
    # A deck is worth what the same height of a gasket of bore size is worth.
    assert at(chamber, gasket + 0.1, deck, 0.0) == pytest.approx(
        at(chamber, gasket, deck + 0.1, 0.0)
    )


def test_no_clearance_is_refused_with_the_volume_there_is() -> None:
    reason = refusal("compression_ratio", 100.0, 100.0, 20.0, 0.0, 100.0, 0.0, 20.0)
    assert "dome_cc 20 leaves 0 cc above the piston; it must be less than" in reason
    assert "(20 cc)" in reason


@laws
@given(ratio, length, st.floats(1.2, 3), st.floats(0, 179))
def test_effective_ratio_falls_from_static_towards_one(
    r: float, stroke: float, rod_ratio: float, closes: float
) -> None:
    rod = stroke * rod_ratio
    at_bottom = call("effective_compression", r, stroke, rod, 0.0)
    assert at_bottom == pytest.approx(r)
    here = call("effective_compression", r, stroke, rod, closes)
    later = call("effective_compression", r, stroke, rod, closes + 0.5)
    assert 1 <= later < here <= at_bottom * (1 + 1e-12)
    # Before the dead centre by as much: the piston stands at the same height.
    assert call("effective_compression", r, stroke, rod, -closes) == pytest.approx(here)


@laws
@given(length, st.floats(0.6, 3), st.floats(-720, 720))
def test_the_piston_stays_between_its_dead_centres(
    stroke: float, rod_ratio: float, crank: float
) -> None:
    travel = piston_from_top_mm(stroke, stroke * rod_ratio, crank)
    assert -1e-9 <= travel <= stroke + 1e-9
    assert travel == pytest.approx(
        piston_from_top_mm(stroke, stroke * rod_ratio, crank + 360), abs=1e-6
    )


def test_a_rod_too_short_to_turn_is_refused() -> None:
    for rod in (50.0, 49.0):
        assert "rod_mm" in refusal("effective_compression", 10.0, 100.0, rod, 40.0)
    assert call("effective_compression", 10.0, 100.0, 50.001, 40.0) < 10


@laws
@given(angle, angle, angle, angle)
def test_centres_lie_in_the_middle_of_their_lobes(
    io: float, ic: float, eo: float, ec: float
) -> None:
    # Opening, centre and closing on one scale: degrees after top dead centre.
    assert call("lobe_centre_intake_deg", io, ic) == pytest.approx((-io + 180 + ic) / 2)
    assert call("lobe_centre_exhaust_deg", eo, ec) == pytest.approx((180 + eo - ec) / 2)
    assert call("lobe_separation_deg", io, ic, eo, ec) == pytest.approx(
        (call("lobe_centre_intake_deg", io, ic) + call("lobe_centre_exhaust_deg", eo, ec)) / 2
    )


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("duration_deg", (-100.0, -80.0)),
        ("lobe_centre_intake_deg", (-100.0, -90.0)),
        ("lobe_centre_exhaust_deg", (-90.0, -100.0)),
        ("lobe_separation_deg", (-100.0, -90.0, 40.0, 10.0)),
        ("lobe_separation_deg", (10.0, 40.0, -90.0, -100.0)),
    ],
)
def test_a_valve_that_would_close_before_it_opens(name: str, arguments: tuple[float, ...]) -> None:
    assert "would close before it opens" in refusal(name, *arguments)


@laws
@given(st.floats(5, 12), st.floats(1, 2), st.floats(0, 1))
def test_lash_comes_off_at_the_valve(lobe: float, rocker: float, lash: float) -> None:
    without = call("valve_lift_mm", lobe, rocker, 0.0)
    assert call("valve_lift_mm", lobe, rocker, lash) == pytest.approx(without - lash)


def test_a_lash_that_takes_all_the_lift_is_refused() -> None:
    assert "lash_mm 10 must be less than" in refusal("valve_lift_mm", 5.0, 2.0, 10.0)


@laws
@given(st.floats(35, 60), st.floats(0, 20), st.floats(15, 34))
def test_margin_is_open_height_above_solid(height: float, lift: float, solid: float) -> None:
    open_height = call("spring_open_height_mm", height, lift)
    margin = call("coil_bind_margin_mm", height, lift, solid)
    assert margin == pytest.approx(open_height - solid)


def test_coil_bind_is_a_number_and_no_height_is_a_failure() -> None:
    assert call("coil_bind_margin_mm", 40.0, 15.0, 27.0) == -2
    assert "valve_lift_mm 40 must be less than" in refusal("spring_open_height_mm", 40.0, 40.0)


@laws
@given(st.floats(0, 2000), st.floats(10, 150), st.floats(0, 20))
def test_load_grows_by_the_rate(seat: float, rate: float, lift: float) -> None:
    load = call("spring_open_load_n", seat, rate, lift)
    assert load >= seat
    assert call("spring_open_load_n", seat, rate, lift + 1) == pytest.approx(load + rate)


@laws
@given(st.floats(2, 6), st.floats(15, 40), st.floats(3, 10))
def test_rate_of_a_spring_scales(wire: float, diameter: float, coils: float) -> None:
    def rate(wire: float, diameter: float, coils: float) -> float:
        return call("spring_rate_n_per_mm", 79_300.0, wire, diameter, coils)

    base = rate(wire, diameter, coils)
    assert rate(2 * wire, 2 * diameter, coils) == pytest.approx(2 * base)
    assert rate(wire, 2 * diameter, coils) == pytest.approx(base / 8)
    assert rate(wire, diameter, 2 * coils) == pytest.approx(base / 2)


def test_wire_thicker_than_its_coil_is_refused() -> None:
    assert "wire_mm 20 must be less than" in refusal(
        "spring_rate_n_per_mm", 79_300.0, 20.0, 20.0, 5.0
    )


@laws
@given(st.floats(500, 3000), st.floats(500, 9000), st.floats(0.5, 1.2), length)
def test_flow_speed_and_power_grow_with_rpm(
    cc: float, rpm: float, efficiency: float, stroke: float
) -> None:
    for name, arguments in (
        ("air_flow_l_s", lambda n: (cc, n, efficiency)),
        ("mean_piston_speed_m_s", lambda n: (stroke, n)),
        ("power_kw", lambda n: (130.0, n)),
    ):
        assert call(name, *arguments(2 * rpm)) == pytest.approx(2 * call(name, *arguments(rpm)))
        assert call(name, *arguments(0.0)) == 0


@laws
@given(st.floats(10, 200), st.floats(200, 500), st.integers(1, 8), st.floats(0.3, 1))
def test_all_injectors_together_pass_the_fuel_of_the_hour(
    power: float, bsfc: float, injectors: int, duty: float
) -> None:
    each = call("injector_need_g_s", power, bsfc, injectors, duty)
    assert each * injectors * duty * 3600 == pytest.approx(power * bsfc)
