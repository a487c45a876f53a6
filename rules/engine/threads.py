"""Screw threads: turns for a preload; stress area and proof load as a check on preload.

Nothing here is a tightening torque for a machine: those come only from service data.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from typing import Final, Literal

from rules.units import convert_measured
from rules.values import Failure

ThreadForm = Literal["metric", "inch"]

_CORE: Final[Mapping[ThreadForm, float]] = {"metric": 0.9382, "inch": 0.9743}
"""How much less than the outside diameter the stress diameter is, in pitches."""

_KSI: Final = convert_measured(1000, "psi", "MPa")

_PROOF_MPA: Final[Mapping[str, tuple[tuple[float, float, float], ...]]] = {
    # (least diameter mm, most diameter mm, proof strength MPa)
    "8.8": ((0, 16, 580), (16, 39, 600)),
    "10.9": ((0, 39, 830),),
    "SAE 2": ((6.35, 19.05, 55 * _KSI),),
    "SAE 5": ((6.35, 25.4, 85 * _KSI), (25.4, 38.1, 74 * _KSI)),
    "SAE 8": ((6.35, 38.1, 120 * _KSI),),
}


def preload_turns(preload_mm: float, pitch_mm: float) -> float:
    """Turns of an adjuster that moves ``preload_mm`` on a thread of ``pitch_mm``.

    One turn moves one pitch (single-start thread); 6 flats of a hexagon are one turn.
    """
    return preload_mm / pitch_mm


def pitch_mm_from_threads_per_inch(threads_per_inch: float) -> float:
    """Pitch in mm of an inch thread; ``threads_per_inch`` > 0."""
    return 25.4 / threads_per_inch


def stress_area_mm2(
    diameter_mm: float, pitch_mm: float, form: ThreadForm = "metric"
) -> float | Failure:
    """Tensile stress area of a thread, mm2: pi/4 (d - c p)^2.

    c is 0.9382 for metric threads (ISO 898-1) and 0.9743 for inch threads (ASME B1.1), whose
    diameter and pitch are given in mm too. Failure when no core is left.
    """
    core_mm = diameter_mm - _CORE[form] * pitch_mm
    if not (pitch_mm > 0 and core_mm > 0):
        return Failure(
            f"pitch_mm must be greater than 0 and less than {diameter_mm / _CORE[form]:g}, "
            f"not {pitch_mm:g}"
        )
    return pi / 4 * core_mm**2


def proof_strength_mpa(strength_class: str, diameter_mm: float) -> float | Failure:
    """Proof strength of a bolt of a property class (8.8, 10.9) or an SAE grade (2, 5, 8), MPa.

    Failure when the class is not in the table or has no such diameter. Sources: ISO 898-1
    (8.8 has 580 MPa up to 16 mm and 600 above, which a flat 600 gets wrong) and SAE J429 as
    given by Shigley and Mischke (85, 120 ... ksi).
    """
    rows = _PROOF_MPA.get(strength_class)
    if rows is None:
        return Failure(f"strength_class must be one of {', '.join(_PROOF_MPA)}")
    for least_mm, most_mm, strength_mpa in rows:
        if least_mm <= diameter_mm <= most_mm:
            return strength_mpa
    return Failure(
        f"diameter_mm must be at least {rows[0][0]:g} and at most {rows[-1][1]:g} "
        f"for {strength_class}, not {diameter_mm:g}"
    )


def proof_load_n(
    strength_class: str, diameter_mm: float, pitch_mm: float, form: ThreadForm = "metric"
) -> float | Failure:
    """Load that a bolt must bear without taking a set, N: proof strength * stress area."""
    strength = proof_strength_mpa(strength_class, diameter_mm)
    area = stress_area_mm2(diameter_mm, pitch_mm, form)
    if isinstance(strength, Failure):
        return strength
    return area if isinstance(area, Failure) else strength * area


def preload_n(torque_nm: float, diameter_mm: float, nut_factor: float) -> float | Failure:
    """Bolt preload that a torque gives, N: F = T / (K d).

    ``nut_factor`` K is about 0.2 dry (common practice, Shigley ch. 8) and scatters by a third
    either way, so the result judges whether a torque is plausible and never sets one.
    """
    if not (diameter_mm > 0 and nut_factor > 0):
        return Failure(
            f"diameter_mm and nut_factor must be greater than 0, "
            f"not {diameter_mm:g} and {nut_factor:g}"
        )
    return torque_nm / (nut_factor * diameter_mm / 1000)


def proof_share(preload: float, proof_load: float) -> float | Failure:
    """Preload as a share of the proof load: about 0.75 is usual for a joint that is reused.

    Above 1 the bolt takes a set: the torque, the class or the thread is wrong somewhere.
    """
    if not proof_load > 0:
        return Failure(f"proof_load must be greater than 0, not {proof_load:g}")
    return preload / proof_load
