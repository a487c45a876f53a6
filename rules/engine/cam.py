"""Cam events: duration, lobe centres, lobe separation, overlap, valve lift.

All events in degrees of crank and all taken at one lift: figures at different lifts
(advertised and checking lift) must never be mixed. An event may be negative: an intake
that "opens -2 deg before top" opens 2 deg after it. Source of the relations: common practice
of cam cards; they follow from a lobe that is symmetrical about its centre.
"""

from __future__ import annotations

from rules.values import Failure


def duration_deg(opens_before_deg: float, closes_after_deg: float) -> float | Failure:
    """How long a valve is open, deg: opening before one dead centre, closing after the other.

    opens + closes + 180. Failure when the valve would close before it opens.
    """
    duration = opens_before_deg + closes_after_deg + 180
    if not duration > 0:
        return Failure(
            f"closes_after_deg {closes_after_deg:g} must be more than "
            f"{-180 - opens_before_deg:g}: the valve would close before it opens"
        )
    return duration


def lobe_centre_intake_deg(io_btdc_deg: float, ic_abdc_deg: float) -> float | Failure:
    """Middle of the intake lobe, deg after top dead centre: duration / 2 - opening."""
    duration = duration_deg(io_btdc_deg, ic_abdc_deg)
    return duration if isinstance(duration, Failure) else duration / 2 - io_btdc_deg


def lobe_centre_exhaust_deg(eo_bbdc_deg: float, ec_atdc_deg: float) -> float | Failure:
    """Middle of the exhaust lobe, deg before top dead centre: duration / 2 - closing."""
    duration = duration_deg(eo_bbdc_deg, ec_atdc_deg)
    return duration if isinstance(duration, Failure) else duration / 2 - ec_atdc_deg


def lobe_separation_deg(
    io_btdc_deg: float, ic_abdc_deg: float, eo_bbdc_deg: float, ec_atdc_deg: float
) -> float | Failure:
    """Angle between the lobe centres, in degrees of the cam: half their crank degrees."""
    intake = lobe_centre_intake_deg(io_btdc_deg, ic_abdc_deg)
    exhaust = lobe_centre_exhaust_deg(eo_bbdc_deg, ec_atdc_deg)
    if isinstance(intake, Failure):
        return intake
    return exhaust if isinstance(exhaust, Failure) else (intake + exhaust) / 2


def valve_overlap_deg(io_btdc_deg: float, ec_atdc_deg: float) -> float:
    """How long both valves are open around top dead centre, deg (negative: both closed)."""
    return io_btdc_deg + ec_atdc_deg


def valve_lift_mm(lobe_lift_mm: float, rocker_ratio: float, lash_mm: float) -> float | Failure:
    """Lift at the valve, mm: lobe lift * rocker ratio - lash (0 with hydraulic lifters).

    Failure when the lash takes up all of it.
    """
    lift = lobe_lift_mm * rocker_ratio - lash_mm
    if not lift > 0:
        return Failure(
            f"lash_mm {lash_mm:g} must be less than lobe_lift_mm times rocker_ratio "
            f"({lobe_lift_mm * rocker_ratio:g})"
        )
    return lift
