"""Piston speed, air flow, injector need and power against published figures."""

from __future__ import annotations

from math import pi

import pytest

from rules.units import convert_measured
from tests.engine.calls import call, mm


@pytest.mark.parametrize(
    ("stroke", "rpm", "ft_min", "m_s"),
    [
        (4.0, 5500.0, 3666.6667, 18.62667),
        (4.375, 5800.0, 4229.1667, 21.48417),
        (4.625, 5600.0, 4316.6667, 21.92867),
    ],
)
def test_mean_piston_speed(stroke: float, rpm: float, ft_min: float, m_s: float) -> None:
    # Published formulas (Heywood eq. 2.9; ft/min = stroke in inches x rpm / 6, a published tip
    # sheet), values computed.
    ours = call("mean_piston_speed_m_s", mm(stroke), rpm)
    assert ours == pytest.approx(m_s, abs=5e-6)
    assert convert_measured(ours, "m/s", "ft/min") == pytest.approx(ft_min, abs=5e-5)
    assert convert_measured(ours, "m/s", "ft/min") == pytest.approx(stroke * rpm / 6, rel=1e-12)


@pytest.mark.parametrize(
    ("in3", "rpm", "efficiency", "cfm"),
    [
        (88.3573, 5500.0, 0.85, 119.52268),
        (96.0, 5500.0, 0.85, 129.86111),
        (117.0, 5800.0, 0.95, 186.53646),
    ],
)
def test_air_flow(in3: float, rpm: float, efficiency: float, cfm: float) -> None:
    # Published formula (cfm = in3 x rpm / 3456 x VE; Heywood eq. 2.27), values computed.
    ours = call("air_flow_l_s", convert_measured(in3, "in³", "cc"), rpm, efficiency)
    assert convert_measured(ours, "L/s", "ft³/min") == pytest.approx(cfm, abs=1e-5)
    assert convert_measured(ours, "L/s", "ft³/min") == pytest.approx(
        in3 * rpm / 3456 * efficiency, rel=1e-12
    )


def test_air_flow_in_litres() -> None:
    # Computed.
    assert call("air_flow_l_s", convert_measured(117, "in³", "cc"), 5800.0, 0.95) == pytest.approx(
        88.03540, abs=5e-6
    )


LB_PER_H_IN_G_PER_S = 453.59237 / 3600


@pytest.mark.parametrize(
    ("hp", "bsfc", "injectors", "duty", "lb_per_h"),
    [
        (100, 0.50, 2, 0.80, 31.250000),
        (130, 0.45, 2, 0.85, 34.411765),
        (500, 0.60, 8, 0.80, 46.875000),
    ],
)
def test_injector_need(
    hp: float, bsfc: float, injectors: int, duty: float, lb_per_h: float
) -> None:
    # Formula from memory (Heywood eq. 2.22 defines the specific consumption), values computed.
    kilowatts = convert_measured(hp, "hp", "kW")
    g_per_kwh = bsfc * 453.59237 / convert_measured(1, "hp", "kW")
    ours = call("injector_need_g_s", kilowatts, g_per_kwh, injectors, duty)
    assert ours / LB_PER_H_IN_G_PER_S == pytest.approx(lb_per_h, abs=5e-7)


def test_injector_need_in_grams() -> None:
    # Computed: 31.25 lb/h.
    kilowatts = convert_measured(100, "hp", "kW")
    g_per_kwh = 0.50 * 453.59237 / convert_measured(1, "hp", "kW")
    assert call("injector_need_g_s", kilowatts, g_per_kwh, 2, 0.80) == pytest.approx(
        3.9374, abs=5e-5
    )


def test_why_mass_and_not_volume() -> None:
    # A trap, computed: the customary "lb/h x 10.5 = cc/min" hides a fuel of 0.71998789 g/cc.
    hidden_g_per_cc = 453.59237 / 60 / 10.5
    assert hidden_g_per_cc == pytest.approx(0.71998789, abs=5e-9)
    at_720 = 31.25 * 453.59237 / 60 / 0.72
    assert at_720 == pytest.approx(328.1195, abs=1e-3)
    assert pytest.approx(328.1250) == 31.25 * 10.5


@pytest.mark.parametrize(
    ("lbf_ft", "rpm", "hp", "tolerance"),
    [
        pytest.param(150, 2000.0, 57.1, 0.05, id="published 57.1 (scienceforum topic 37102)"),
        pytest.param(100, 2000.0, 38.1, 0.05, id="published 38.1 (emtbforums topic 2349)"),
        pytest.param(150, 2000.0, 57.119866, 5e-7, id="computed 150"),
        pytest.param(100, 2000.0, 38.0799, 5e-5, id="computed 100"),
        pytest.param(95, 3500.0, 63.307852, 5e-7, id="computed 95"),
        pytest.param(110, 5500.0, 115.191731, 5e-7, id="computed 110"),
    ],
)
def test_power_from_torque(lbf_ft: float, rpm: float, hp: float, tolerance: float) -> None:
    kilowatts = call("power_kw", convert_measured(lbf_ft, "lbf·ft", "N·m"), rpm)
    assert convert_measured(kilowatts, "kW", "hp") == pytest.approx(hp, abs=tolerance)


def test_power_in_kilowatts() -> None:
    # Computed; Heywood eq. 2.13b prints the divisor 9549.3 (seen in reading notes).
    torque = convert_measured(100, "lbf·ft", "N·m")
    assert call("power_kw", torque, 5500.0) == pytest.approx(78.089508, abs=5e-7)
    assert call("power_kw", torque, 5500.0) == pytest.approx(torque * 5500 / 9549.3, rel=1e-6)


def test_no_rounded_constant_is_used() -> None:
    # Published: 5252.11 (autosport forum topic 60616); exact by definition, computed here.
    one = convert_measured(call("power_kw", convert_measured(1, "lbf·ft", "N·m"), 1.0), "kW", "hp")
    assert 1 / one == pytest.approx(33000 / (2 * pi), rel=1e-12)
    assert 1 / one == pytest.approx(5252.113122032546, rel=1e-12)
    assert 1 / one == pytest.approx(5252.11, abs=0.005)
    # The customary 5252 is off by 2.2e-5.
    assert 1 / one / 5252 - 1 == pytest.approx(2.15e-5, abs=1e-7)
