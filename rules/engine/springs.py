"""Valve springs: heights, coil bind, load, rate of a round-wire helical spring."""

from __future__ import annotations

from rules.values import Failure


def spring_open_height_mm(installed_height_mm: float, valve_lift_mm: float) -> float | Failure:
    """Height of the spring at full lift, mm: installed height - lift.

    Failure when the lift is not less than the installed height: no height is left.
    """
    if not valve_lift_mm < installed_height_mm:
        return Failure(
            f"valve_lift_mm {valve_lift_mm:g} must be less than installed_height_mm "
            f"({installed_height_mm:g})"
        )
    return installed_height_mm - valve_lift_mm


def coil_bind_margin_mm(
    installed_height_mm: float, valve_lift_mm: float, solid_height_mm: float
) -> float:
    """Travel left at full lift before the coils touch, mm; negative: they bind before it.

    A negative margin is an answer, not a failure, so that a limit can say by how much.
    """
    return installed_height_mm - valve_lift_mm - solid_height_mm


def spring_open_load_n(seat_load_n: float, rate_n_per_mm: float, valve_lift_mm: float) -> float:
    """Load at full lift, N: seat load + rate * lift (linear spring, Hooke's law)."""
    return seat_load_n + rate_n_per_mm * valve_lift_mm


def spring_rate_n_per_mm(
    shear_modulus_mpa: float, wire_mm: float, mean_diameter_mm: float, active_coils: float
) -> float | Failure:
    """Rate of a round-wire helical compression spring, N/mm: G d^4 / (8 D^3 Na).

    MPa is N/mm2, so the result is N/mm as it stands. Failure when the wire is not thinner than
    the mean coil diameter. Source: Shigley, Mechanical Engineering Design, eq. 10-9.
    """
    if not wire_mm < mean_diameter_mm:
        return Failure(
            f"wire_mm {wire_mm:g} must be less than mean_diameter_mm ({mean_diameter_mm:g})"
        )
    return shear_modulus_mpa * wire_mm**4 / (8 * mean_diameter_mm**3 * active_coils)
