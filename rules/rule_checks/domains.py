"""Values that stand for all that a fact, a property or a distance can be."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import ceil, floor, inf

from rules.catalog import FieldDefinition, ValueKind
from rules.values import Value

ANOTHER_TEXT = "another"
"""Stands for every text that nothing in the catalog names."""

FAR_KM = 10_000_000
UNBOUNDED = (0.0, 1.0, 10.0, 100.0, 1000.0, 100_000.0)
"""Tried where neither a range nor a constant says what is usual."""


def field_values(definition: FieldDefinition, constants: Iterable[Value]) -> tuple[Value, ...]:
    """Values of a declared fact or property of which every other behaves like one.

    That holds where it is only compared with the ``constants``; in arithmetic they are
    samples.
    """
    if definition.kind == "flag":
        return (False, True)
    if definition.kind == "text":
        texts = {value for value in constants if isinstance(value, str)}
        return definition.values or (*sorted(texts), ANOTHER_TEXT)
    low = -inf if definition.minimum is None else definition.minimum
    high = inf if definition.maximum is None else definition.maximum
    numbers = {float(value) for value in constants if not isinstance(value, str | bool)} | {
        end for end in (low, high) if abs(end) != inf
    }
    return _numbers(definition.kind, sorted(numbers or UNBOUNDED), low, high)


def _numbers(kind: ValueKind, bounds: list[float], low: float, high: float) -> tuple[Value, ...]:
    if kind == "whole":
        near = {near for bound in bounds for near in (floor(bound), ceil(bound))}
        around = {value + step for value in near for step in (-1, 0, 1)}
        middle = (floor(bounds[0]) + ceil(bounds[-1])) // 2
        return tuple(value for value in sorted({*around, middle}) if low <= value <= high)
    middles = [(one + other) / 2 for one, other in pairwise(bounds)]
    ends = (bounds[0] - 1.0, bounds[-1] + 1.0)
    return tuple(value for value in sorted({*bounds, *middles, *ends}) if low <= value <= high)


def distances_km(constants: Iterable[Value]) -> tuple[int, ...]:
    """Distances run, in kilometres: none, about each whole constant, and very far."""
    whole = {c for c in constants if isinstance(c, int) and not isinstance(c, bool)}
    about = {constant + step for constant in whole for step in (-1, 0, 1)}
    return tuple(sorted({0, FAR_KM} | {km for km in about if km >= 0}))
