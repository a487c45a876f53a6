"""Screw threads: turns for a preload; stress area and proof load as a check on preload.

Nothing here is a tightening torque for a machine: those come only from service data.
"""

from __future__ import annotations


def preload_turns(preload_mm: float, pitch_mm: float) -> float:
    """Turns of an adjuster that moves ``preload_mm`` on a thread of ``pitch_mm``.

    One turn moves one pitch (single-start thread); 6 flats of a hexagon are one turn.
    """
    return preload_mm / pitch_mm


def pitch_mm_from_threads_per_inch(threads_per_inch: float) -> float:
    """Pitch in mm of an inch thread; ``threads_per_inch`` > 0."""
    return 25.4 / threads_per_inch
