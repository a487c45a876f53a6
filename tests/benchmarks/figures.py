"""Percentiles and the surroundings that a measurement was taken in."""

from __future__ import annotations

import math
import os
import platform
import time
from collections.abc import Callable, Sequence
from importlib.metadata import version
from typing import TypeVar

Result = TypeVar("Result")


def percentile(values: Sequence[float], share: float) -> float:
    """The smallest value that at least ``share`` of the values do not exceed."""
    ordered = sorted(values)
    return ordered[max(0, math.ceil(share * len(ordered)) - 1)]


def summary(values: Sequence[float]) -> dict[str, float]:
    """p50, p95 and the largest, rounded to hundredths."""
    return {
        "p50": round(percentile(values, 0.5), 2),
        "p95": round(percentile(values, 0.95), 2),
        "max": round(max(values), 2),
    }


def surroundings() -> dict[str, str]:
    """What a reader needs to know to compare."""
    return {
        "cores": str(os.cpu_count()),
        "machine": platform.machine(),
        "python": platform.python_version(),
        "highspy": version("highspy"),
        "clock": "CPU time of this process, one thread",
    }


def timed(call: Callable[[], Result]) -> tuple[float, Result]:
    """Milliseconds of CPU time, which other work on the machine hardly touches."""
    start = time.process_time()
    result = call()
    return (time.process_time() - start) * 1000, result
