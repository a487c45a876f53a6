"""Threads: preload turns, stress areas and proof loads against published tables.

These are generic preload checks. Nothing here is, or may be used as, a service torque.
"""

from __future__ import annotations

import pytest

from rules.engine import threads
from rules.units import convert_measured
from rules.values import Failure
from tests.engine.calls import call, mm


def number(result: float | Failure) -> float:
    assert not isinstance(result, Failure), result
    return result


@pytest.mark.parametrize(
    ("threads_per_inch", "per_turn", "per_flat", "turns", "flats"),
    [
        (20, 0.050000, 0.008333, 2.0, 12.0),
        (24, 0.041667, 0.006944, 2.4, 14.4),
        (28, 0.035714, 0.005952, 2.8, 16.8),
        (32, 0.031250, 0.005208, 3.2, 19.2),
        (36, 0.027778, 0.004630, 3.6, 21.6),
        (40, 0.025000, 0.004167, 4.0, 24.0),
    ],
)
def test_preload_by_pitch(
    threads_per_inch: int, per_turn: float, per_flat: float, *, turns: float, flats: float
) -> None:
    # Computed from the definition of a pitch; .100 in of preload.
    pitch = threads.pitch_mm_from_threads_per_inch(threads_per_inch)
    assert convert_measured(pitch, "mm", "in") == pytest.approx(per_turn, abs=5e-7)
    assert convert_measured(pitch, "mm", "in") / 6 == pytest.approx(per_flat, abs=5e-7)
    ours = call("preload_turns", mm(0.100), pitch)
    assert ours == pytest.approx(turns)
    assert ours * 6 == pytest.approx(flats)


def test_a_published_angle_of_an_adjuster() -> None:
    # Published (forum topic 274125): .008 in on M6 x 1.0 is 73.15 deg.
    assert call("preload_turns", mm(0.008), 1.0) * 360 == pytest.approx(73.15, abs=0.005)


def test_a_published_angle_that_is_wrong() -> None:
    # Trap: the same page prints 52.36 deg for 5/16-18, having rounded 1/18 in to .055.
    pitch = threads.pitch_mm_from_threads_per_inch(18)
    assert call("preload_turns", mm(0.008), pitch) * 360 == pytest.approx(51.84, abs=1e-9)
    assert call("preload_turns", mm(0.008), mm(0.055)) * 360 == pytest.approx(52.36, abs=0.005)


# diameter in, threads per inch, At computed, At in the table, proof load lbf of grades 5 and 8,
# torque lbf.ft at K 0.20 and 75 % of proof (computed).
INCH = [
    (1 / 4, 20, 0.03182, 0.0318, 2705, 3819, 8.45, 11.93),
    (1 / 4, 28, 0.03637, 0.0364, 3092, 4365, 9.66, 13.64),
    (5 / 16, 18, 0.05243, 0.0524, 4457, 6292, 17.41, 24.58),
    (5 / 16, 24, 0.05807, 0.0580, 4936, 6968, 19.28, 27.22),
    (3 / 8, 16, 0.07749, 0.0775, 6587, 9299, 30.87, 43.59),
    (3 / 8, 24, 0.08783, 0.0878, 7465, 10539, 34.99, 49.40),
    (7 / 16, 14, 0.10631, 0.1063, 9036, 12757, 49.42, 69.76),
    (7 / 16, 20, 0.11872, 0.1187, 10091, 14246, 55.18, 77.91),
    (1 / 2, 13, 0.14190, 0.1419, 12061, 17028, 75.38, 106.42),
    (1 / 2, 20, 0.15995, 0.1599, 13596, 19194, 84.97, 119.96),
    (5 / 8, 11, 0.22600, 0.226, 19210, 27120, 150.08, 211.88),
    (3 / 4, 10, 0.33446, 0.334, 28429, 40135, 266.52, 376.27),
]


@pytest.mark.parametrize("row", INCH)
def test_inch_threads(row: tuple[float, ...]) -> None:
    # At published: UNC and UNF tables after ASME B1.1, which sometimes cut instead of round;
    # strengths published: SAE grades after Shigley and Mischke. The formula is from memory.
    diameter, per_inch, area, table, *_ = row
    pitch = threads.pitch_mm_from_threads_per_inch(per_inch)
    ours = number(threads.stress_area_mm2(mm(diameter), pitch, "inch")) / 25.4**2
    assert ours == pytest.approx(area, abs=5e-6)
    assert ours == pytest.approx(table, abs=1e-3 if diameter >= 3 / 4 else 1e-4)


@pytest.mark.parametrize("row", INCH)
@pytest.mark.parametrize(("grade", "column"), [("SAE 5", 4), ("SAE 8", 5)])
def test_inch_proof_loads(row: tuple[float, ...], grade: str, column: int) -> None:
    # Computed: published strength times computed area; torque by T = K d F is a check only.
    pitch = threads.pitch_mm_from_threads_per_inch(row[1])
    proof = number(threads.proof_load_n(grade, mm(row[0]), pitch, "inch"))
    assert convert_measured(proof, "N", "lbf") == pytest.approx(row[column], abs=0.6)
    torque = convert_measured(row[column + 2], "lbf·ft", "N·m")
    preload = number(threads.preload_n(torque, mm(row[0]), 0.20))
    assert threads.proof_share(preload, proof) == pytest.approx(0.75, abs=5e-4)


def test_a_published_stress_area_that_is_wrong() -> None:
    # Trap: a published table prints 7/16-14 as 0.0163; right is 0.1063.
    pitch = threads.pitch_mm_from_threads_per_inch(14)
    ours = number(threads.stress_area_mm2(mm(7 / 16), pitch, "inch")) / 25.4**2
    assert ours == pytest.approx(0.1063, abs=1e-4)
    assert abs(ours - 0.0163) > 0.08


# d, pitch mm; As computed, As in the table; proof load N of 8.8 and 10.9: computed, ISO table
# (None: not in the table seen); torque N.m at K 0.20 and 75 % of proof (computed).
METRIC = [
    (6, 1.0, 20.1233, 20.1, 11672, 11600, 16702, 16700, 10.504, 15.032),
    (8, 1.25, 36.6085, 36.6, 21233, 21200, 30385, 30400, 25.479, 36.462),
    (10, 1.5, 57.9895, 58.0, 33634, 33700, 48131, 48100, 50.451, 72.197),
    (12, 1.75, 84.2664, 84.3, 48874, 48900, 69941, 70000, 87.974, 125.894),
    (14, 2.0, 115.4391, 115, 66955, 66700, 95814, 95500, 140.605, 201.210),
    (16, 2.0, 156.6681, 157, 90868, 91000, 130035, None, 218.082, 312.083),
]


@pytest.mark.parametrize("row", METRIC)
def test_metric_threads(row: tuple[float, ...]) -> None:
    # As published: ISO 898-1 table; the formula is from memory, the four decimals computed.
    ours = number(threads.stress_area_mm2(row[0], row[1]))
    assert ours == pytest.approx(row[2], abs=5e-5)
    assert ours == pytest.approx(row[3], rel=5e-3)


@pytest.mark.parametrize("row", METRIC)
@pytest.mark.parametrize(("strength_class", "at", "torque_at"), [("8.8", 4, 8), ("10.9", 6, 9)])
def test_metric_proof_loads(
    row: tuple[float | None, ...], strength_class: str, at: int, torque_at: int
) -> None:
    # Published: proof loads of the ISO 898-1 table, met within 1 % (it rounds the area first).
    diameter, pitch, computed, table, torque = (row[i] for i in (0, 1, at, at + 1, torque_at))
    assert diameter and pitch and torque
    ours = number(threads.proof_load_n(strength_class, diameter, pitch))
    assert ours == pytest.approx(computed, abs=0.6)
    assert table is None or ours == pytest.approx(table, rel=0.01)
    preload = number(threads.preload_n(torque, diameter, 0.20))
    assert threads.proof_share(preload, ours) == pytest.approx(0.75, abs=1e-4)


def test_class_8_8_is_weaker_up_to_16_mm() -> None:
    # Trap: charts that print a flat 600 MPa; 580 follows from the published proof loads.
    assert threads.proof_strength_mpa("8.8", 16) == 580
    assert threads.proof_strength_mpa("8.8", 18) == 600
    assert 600 * number(threads.stress_area_mm2(10, 1.5)) > 33_700 * 1.03


@pytest.mark.parametrize(
    ("grade", "diameter", "ksi"),
    [
        ("SAE 2", 0.5, 55),
        ("SAE 5", 1.0, 85),
        ("SAE 5", 1.25, 74),
        ("SAE 8", 1.25, 120),
    ],
)
def test_published_sae_strengths(grade: str, diameter: float, ksi: float) -> None:
    # Published: lecture notes after Shigley and Mischke, 5th ed., p. 341.
    ours = number(threads.proof_strength_mpa(grade, mm(diameter)))
    assert convert_measured(ours, "MPa", "psi") == pytest.approx(ksi * 1000, rel=1e-12)
