"""Static and effective compression against textbooks and a second route.

Heywood is J. B. Heywood, Internal Combustion Engine Fundamentals (1988), ch. 2. Rows marked
computed were worked out from his equations apart from this code and have no outside witness.
"""

from __future__ import annotations

from math import cos, radians, sin, sqrt

import pytest

from rules.engine.compression import clearance_cc, piston_from_top_mm
from tests.engine.calls import call, inches, mm

# bore, stroke in; chamber cc; gasket thickness, bore in; deck in; dome cc; V_d; V_c; r. Computed.
STATIC = [
    (3.75, 4.0, 85.0, 0.030, 3.80, 0.010, 0.0, 723.95831, 92.38534, 8.83629),
    (3.875, 4.375, 85.0, 0.030, 3.90, 0.005, 5.0, 845.49784, 86.83903, 10.73638),
    (4.125, 4.625, 95.0, 0.040, 4.15, 0.0, -3.0, 1012.86292, 106.86640, 10.47784),
]


@pytest.mark.parametrize("row", STATIC)
def test_static_ratio_heywood_2_1(row: tuple[float, ...]) -> None:
    bore, stroke, chamber, gasket, gasket_bore, deck, dome, swept, clearance, ratio = row
    assert call("swept_cc", mm(bore), mm(stroke)) == pytest.approx(swept, abs=5e-6)
    assert clearance_cc(
        bore_mm=mm(bore),
        chamber_cc=chamber,
        gasket_thickness_mm=mm(gasket),
        gasket_bore_mm=mm(gasket_bore),
        deck_mm=mm(deck),
        dome_cc=dome,
    ) == pytest.approx(clearance, abs=5e-6)
    assert call(
        "compression_ratio",
        *(mm(bore), mm(stroke), chamber, mm(gasket), mm(gasket_bore), mm(deck), dome),
    ) == pytest.approx(ratio, abs=5e-6)


def test_static_ratio_of_a_published_exercise() -> None:
    # Published data (FOSSEE textbook companion, ex. 17.17): bore 60 mm, stroke 100 mm,
    # clearance 60 cc, gamma 1.4. The ratio and the air-standard efficiency are computed.
    ratio = call("compression_ratio", 60.0, 100.0, 60.0, 0.0, 60.0, 0.0, 0.0)
    assert ratio == pytest.approx(5.712389, abs=5e-7)
    assert 1 - ratio ** (1 - 1.4) == pytest.approx(0.501950, abs=5e-7)


@pytest.mark.parametrize(
    ("stroke", "bore", "ratio", "clearance"),
    [(3.40, 3.19, 10.0, 49.478), (2.80, 3.50, 8.8, 56.597), (2.76, 3.54, 11.5, 42.395)],
)
def test_clearance_from_published_ratios(
    stroke: float, bore: float, ratio: float, clearance: float
) -> None:
    # Bore, stroke and ratio published (UCI Automobile data set); the clearance is computed.
    assert call(
        "compression_ratio", mm(bore), mm(stroke), clearance, 0.0, mm(bore), 0.0, 0.0
    ) == pytest.approx(ratio, abs=2e-4)


# bore, stroke, rod in; intake closing; static r; piston from top in; volume cc; r_eff. Computed.
EFFECTIVE = [
    (3.75, 4.0, 7.5, 0.0, 9.5, 4.000000, 723.958311, 9.500000),
    (3.75, 4.0, 7.5, 40.0, 9.5, 3.643091, 659.361421, 8.741567),
    (3.875, 4.375, 7.667, 45.0, 10.0, 3.891948, 752.144800, 9.006293),
    (3.875, 4.375, 7.667, 60.0, 10.0, 3.518982, 680.066685, 8.239049),
    (4.125, 4.625, 7.667, 38.0, 10.5, 4.268122, 934.707677, 9.766954),
]


@pytest.mark.parametrize("row", EFFECTIVE)
def test_effective_ratio_heywood_2_5(row: tuple[float, ...]) -> None:
    bore, stroke, rod, closes, ratio, from_top, volume, effective = row
    travel = piston_from_top_mm(mm(stroke), mm(rod), 180 + closes)
    assert inches(travel) == pytest.approx(from_top, abs=5e-7)
    assert call("swept_cc", mm(bore), travel) == pytest.approx(volume, abs=5e-6)
    ours = call("effective_compression", ratio, mm(stroke), mm(rod), closes)
    assert ours == pytest.approx(effective, abs=5e-7)


def by_heywood_2_6(ratio: float, stroke: float, rod: float, closes: float) -> float:
    """The second route: volume over clearance volume, written with R = rod / throw."""
    angle, long = radians(180 + closes), 2 * rod / stroke
    return 1 + (ratio - 1) / 2 * (long + 1 - cos(angle) - sqrt(long**2 - sin(angle) ** 2))


@pytest.mark.parametrize("row", EFFECTIVE)
def test_effective_ratio_by_the_second_route(row: tuple[float, ...]) -> None:
    _, stroke, rod, closes, ratio, *_ = row
    assert call("effective_compression", ratio, mm(stroke), mm(rod), closes) == pytest.approx(
        by_heywood_2_6(ratio, stroke, rod, closes), rel=1e-12
    )


def test_the_crank_is_not_a_pure_sine() -> None:
    # Computed. At 90 deg the piston is past half the stroke because the rod leans.
    at_90 = inches(piston_from_top_mm(mm(4.0), mm(7.5), 90))
    assert at_90 == pytest.approx(2.271584, abs=5e-7)
    assert at_90 > 2.0


def test_a_longer_rod_gives_a_smaller_effective_ratio() -> None:
    # Computed. Past bottom dead centre it holds the piston higher, down to the pure sine.
    travels = [inches(piston_from_top_mm(mm(4.0), mm(rod), 220)) for rod in (6.5, 7.5, 8.5)]
    assert travels == pytest.approx([3.660488, 3.643091, 3.629869], abs=5e-7)
    pure_sine = 2 * (1 - cos(radians(220)))
    assert pure_sine == pytest.approx(3.532089, abs=5e-7)
    assert inches(piston_from_top_mm(mm(4.0), mm(1e6), 220)) == pytest.approx(pure_sine, abs=1e-5)


# Square engines: total L, cylinders, r, rod cm, rpm; bore cm, mean speed m/s, clearance cc,
# piston from top at 20 deg cm, volume there cc.
SQUARE = [
    pytest.param(
        (3.0, 6, 9.5, 16.6, 3600, 8.602540, 10.323048, 58.823529, 0.324713, 77.696646),
        id="from memory: Pulkrabek, Engineering Fundamentals of the ICE, ex. 2-1 (recomputed)",
    ),
    pytest.param(
        (3.1, 6, 9.0, 17.2, 3000, 8.697081, 8.697081, 64.583333, 0.326673, 83.989956),
        id="published problem text (3.1 L V6, r 9), results computed",
    ),
]


@pytest.mark.parametrize("row", SQUARE)
def test_square_engines_of_textbooks(row: tuple[float, ...]) -> None:
    litres, cylinders, ratio, rod_cm, rpm, bore_cm, speed, clearance, x_cm, volume = row
    bore = bore_cm * 10
    assert call("displacement_cc", bore, bore, int(cylinders)) == pytest.approx(
        litres * 1000, rel=1e-6
    )
    assert call("mean_piston_speed_m_s", bore, float(rpm)) == pytest.approx(speed, abs=1e-6)
    swept = call("swept_cc", bore, bore)
    assert swept / (ratio - 1) == pytest.approx(clearance, abs=1e-4)
    assert call("compression_ratio", bore, bore, clearance, 0.0, bore, 0.0, 0.0) == pytest.approx(
        ratio, abs=1e-5
    )
    travel = piston_from_top_mm(bore, rod_cm * 10, 20)
    assert travel / 10 == pytest.approx(x_cm, abs=5e-7)
    assert call("swept_cc", bore, travel) + clearance == pytest.approx(volume, abs=1e-4)


def test_the_rounded_figures_of_the_textbook() -> None:
    # From memory: Pulkrabek prints B = S = 8.60 cm, 10.32 m/s, 58.8 cm3, 0.32 cm, 77.7 cm3.
    assert call("mean_piston_speed_m_s", 86.0, 3600.0) == pytest.approx(10.32, abs=0.005)
    travel = piston_from_top_mm(86.0, 166.0, 20)
    assert travel / 10 == pytest.approx(0.32, abs=0.005)
    assert call("swept_cc", 86.0, travel) + 58.8 == pytest.approx(77.7, abs=0.05)
