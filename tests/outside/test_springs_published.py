"""Valve springs against published figures; lengths in inches and loads in lbf as printed there."""

from __future__ import annotations

import pytest

from rules.units import convert_measured
from tests.engine.calls import call, inches, mm


def newtons(lbf: float) -> float:
    return convert_measured(lbf, "lbf", "N")


def lbf(n: float) -> float:
    return convert_measured(n, "N", "lbf")


def rate(lbf_per_inch: float) -> float:
    return convert_measured(lbf_per_inch, "lbf/in", "N/mm")


# seat, rate, installed, lift, solid; open load, open height, to bind, most lift at .060 margin.
SPRINGS = [
    pytest.param(
        (100, 300, 1.750, 0.500, 1.100, 250.0, 1.2500, 0.1500, 0.5900),
        id="published: seat, rate, lift and .500 x 300 = 150 (Engine Builder, July 2017)",
    ),
    pytest.param((180, 390, 1.800, 0.585, 1.130, 408.150, 1.2150, 0.0850, 0.6100), id="computed"),
    pytest.param((165, 400, 1.750, 0.650, 1.060, 425.0, 1.1000, 0.0400, 0.6300), id="computed 2"),
]


@pytest.mark.parametrize("row", SPRINGS)
def test_open_spring(row: tuple[float, ...]) -> None:
    seat, k, installed, lift, solid, load, height, margin, most_lift = row
    open_load = call("spring_open_load_n", newtons(seat), rate(k), mm(lift))
    assert lbf(open_load) == pytest.approx(load, abs=1e-9)
    open_height = call("spring_open_height_mm", mm(installed), mm(lift))
    assert inches(open_height) == pytest.approx(height, abs=1e-9)
    to_bind = call("coil_bind_margin_mm", mm(installed), mm(lift), mm(solid))
    assert inches(to_bind) == pytest.approx(margin, abs=1e-9)
    # Common practice: .060 in is kept before coil bind. It is a rule's number, not a formula's.
    at_most = call("coil_bind_margin_mm", mm(installed), mm(most_lift), mm(solid))
    assert inches(at_most) == pytest.approx(0.060, abs=1e-9)


def test_the_third_spring_keeps_too_little() -> None:
    # Computed; the .060 in are common practice.
    assert inches(call("coil_bind_margin_mm", mm(1.750), mm(0.650), mm(1.060))) < 0.060


def test_a_shim_adds_load_and_takes_travel() -> None:
    # Computed: .030 in under the spring at 390 lbf/in adds 11.70 lbf and takes .030 from bind.
    added = call("spring_open_load_n", 0.0, rate(390), mm(0.030))
    assert lbf(added) == pytest.approx(11.70, abs=1e-9)
    without = call("coil_bind_margin_mm", mm(1.800), mm(0.585), mm(1.130))
    with_shim = call("coil_bind_margin_mm", mm(1.770), mm(0.585), mm(1.130))
    assert inches(without - with_shim) == pytest.approx(0.030, abs=1e-9)


@pytest.mark.parametrize(
    ("wire", "diameter", "coils", "k"),
    [(0.162, 1.0, 5.0, 198.0149), (0.187, 1.1, 4.5, 293.4835)],
)
def test_rate_of_a_round_wire_spring(wire: float, diameter: float, coils: float, k: float) -> None:
    # Formula from memory (Shigley eq. 10-9), values computed with G = 11.5e6 psi.
    modulus = convert_measured(11.5e6, "psi", "MPa")
    ours = call("spring_rate_n_per_mm", modulus, mm(wire), mm(diameter), coils)
    assert convert_measured(ours, "N/mm", "lbf/in") == pytest.approx(k, abs=5e-5)
