"""Static compression ratio from volumes, and effective ratio from the intake closing point."""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

from rules.engine.displacement import swept_cc
from rules.values import Failure


def clearance_cc(
    *,
    bore_mm: float,
    chamber_cc: float,
    gasket_thickness_mm: float,
    gasket_bore_mm: float,
    deck_mm: float,
    dome_cc: float,
) -> float:
    """Volume left above the piston at top dead centre, cc.

    Chamber, plus the hole in the head gasket, plus the deck (how far the piston stays below
    the cylinder's top face; negative when it stands proud), less the dome (a dish counts
    negative). Source: Heywood ch. 2, clearance volume V_c, added up from its parts.
    """
    gasket_cc = pi / 4 * gasket_bore_mm * gasket_bore_mm * gasket_thickness_mm / 1000
    deck_cc = pi / 4 * bore_mm * bore_mm * deck_mm / 1000
    return chamber_cc + gasket_cc + deck_cc - dome_cc


def compression_ratio(  # noqa: PLR0917  (the order in which rules give the arguments)
    bore_mm: float,
    stroke_mm: float,
    chamber_cc: float,
    gasket_thickness_mm: float,
    gasket_bore_mm: float,
    deck_mm: float,
    dome_cc: float,
) -> float | Failure:
    """Static compression ratio r = (V_d + V_c) / V_c.

    Lengths in mm, volumes in cc. Failure when dome (and proud piston) leave no clearance.
    Source: Heywood eq. 2.1.
    """
    clearance = clearance_cc(
        bore_mm=bore_mm,
        chamber_cc=chamber_cc,
        gasket_thickness_mm=gasket_thickness_mm,
        gasket_bore_mm=gasket_bore_mm,
        deck_mm=deck_mm,
        dome_cc=dome_cc,
    )
    if not clearance > 0:
        return Failure(
            f"dome_cc {dome_cc:g} leaves {clearance:g} cc above the piston; it must be less than "
            f"chamber, gasket and deck together ({clearance + dome_cc:g} cc)"
        )
    return (swept_cc(bore_mm, stroke_mm) + clearance) / clearance


def piston_from_top_mm(stroke_mm: float, rod_mm: float, crank_deg: float) -> float:
    """How far the piston is below top dead centre, mm, by the true slider-crank.

    ``crank_deg`` after top dead centre; ``rod_mm`` (centre to centre) at least half the stroke.
    x = a (1 - cos t) + l - sqrt(l^2 - a^2 sin^2 t), a = stroke / 2. Source: Heywood eq. 2.5.
    """
    throw = stroke_mm / 2
    angle = radians(crank_deg)
    return throw * (1 - cos(angle)) + rod_mm - sqrt(rod_mm**2 - (throw * sin(angle)) ** 2)


def effective_compression(
    static_ratio: float, stroke_mm: float, rod_mm: float, intake_closes_abdc_deg: float
) -> float | Failure:
    """Compression ratio counted from where the intake valve closes.

    r_eff = (A x + V_c) / V_c, which for a stroke s is 1 + (r - 1) x / s: the bore cancels.
    ``intake_closes_abdc_deg`` degrees of crank after bottom dead centre (negative: before),
    at the lift at which the cam's events are given. Failure when the rod is too short to turn.
    Source: Heywood eq. 2.5 and 2.6.
    """
    if rod_mm <= stroke_mm / 2:
        return Failure(f"rod_mm {rod_mm:g} must be more than half of stroke_mm ({stroke_mm / 2:g})")
    travel = piston_from_top_mm(stroke_mm, rod_mm, 180 + intake_closes_abdc_deg)
    return 1 + (static_ratio - 1) * travel / stroke_mm
