"""Swept volume, piston speed: what bore, stroke and speed of rotation fix."""

from __future__ import annotations

from math import pi


def swept_cc(bore_mm: float, stroke_mm: float) -> float:
    """Volume that one piston sweeps, cc: pi/4 * bore^2 * stroke.

    Both in mm and above 0. Source: Heywood, Internal Combustion Engine Fundamentals (1988),
    ch. 2, displaced volume V_d.
    """
    return pi / 4 * bore_mm * bore_mm * stroke_mm / 1000


def displacement_cc(bore_mm: float, stroke_mm: float, cylinders: int) -> float:
    """Swept volume of the whole engine, cc: that of one cylinder times ``cylinders`` (>= 1).

    Reciprocating engines only: a rotary has no bore and stroke. Source: Heywood ch. 2.
    """
    return swept_cc(bore_mm, stroke_mm) * cylinders


def mean_piston_speed_m_s(stroke_mm: float, rpm: float) -> float:
    """Mean piston speed, m/s: 2 * stroke * revolutions per second.

    ``stroke_mm`` > 0, ``rpm`` >= 0. Source: Heywood eq. 2.9.
    """
    return 2 * (stroke_mm / 1000) * (rpm / 60)
