"""The ways a missing name could turn out: a few values that stand for all the others.

A name is a fact of the machine (``vehicle.market``), a property of what is fitted
(``fitted.camshaft.valve_lift_mm``) or how far that has run (``fitted.camshaft.run_km``).
Where every rule compares it with constants only, the values at, between and beyond those
constants stand for every value there is. Where one enters arithmetic, no list does.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from rules.catalog import FieldDefinition, Vehicle
from rules.compiled import CompiledCatalog
from rules.expressions import Expression, Read, anatomy
from rules.identify import MODEL_YEAR
from rules.machine import ODOMETER, Machine
from rules.values import Value

ANOTHER_TEXT = "another one"
"""Stands for every text that no rule names."""

_FEW_YEARS = 120


@dataclass(slots=True)
class Use:
    """Constants that a name is compared with; ``loose``: it is used in other ways, too."""

    constants: set[Value] = field(default_factory=set)
    loose: bool = False


@lru_cache(maxsize=8)
def uses(compiled: CompiledCatalog) -> dict[str, Use]:
    """How everything that decides a build uses each name."""
    found: dict[str, Use] = {}
    for expression in _deciding(compiled):
        parts = anatomy(expression)
        for read in parts.names:
            for name in _spelled(read):
                use = found.setdefault(name, Use())
                use.constants |= parts.constants
                use.loose |= read in parts.loose
    for condition in (
        *(c for row in compiled.catalog.fitment for c in row.conditions),
        *(c for row in compiled.catalog.factory_parts for c in row.conditions),
    ):
        use = found.setdefault(f"vehicle.{condition.fact}", Use())
        use.constants |= set(condition.values)
        use.constants |= {v for v in (condition.low, condition.high) if v is not None}
    return found


def _spelled(read: Read) -> tuple[str, ...]:
    """The names that a missing value of the read would be asked by."""
    if read.source == "fact":
        return (f"vehicle.{read.arguments[0]}",)
    if read.source == "run_km":
        return (f"fitted.{read.arguments[0]}.run_km", f"vehicle.{ODOMETER}")
    if read.source in ("target", "fitted"):
        return (f"fitted.{read.arguments[0]}.{read.arguments[1]}",)
    return ()


def _deciding(compiled: CompiledCatalog) -> Iterator[Expression]:
    """Expressions on which a build can depend: not those of figures, add-ons and cautions."""
    for rule in (*compiled.limits, *compiled.exclusions, *compiled.requirements):
        yield from rule.parts
        yield from _given(rule.when, rule.quantity)
    for wheres in compiled.job_where.values():
        yield from wheres.values()
    yield from _given(*compiled.job_when.values(), *compiled.step_when.values())
    yield from _given(*compiled.way_when.values())
    yield from _given(*compiled.minutes.values(), *compiled.quantity.values())


def _given(*listed: Expression | int | None) -> Iterator[Expression]:
    yield from (one for one in listed if isinstance(one, Expression))


# -- values ---------------------------------------------------------------------------


def values_of(compiled: CompiledCatalog, machine: Machine, name: str) -> tuple[Value, ...]:
    """Values that stand for all that ``name`` could be on this machine; (): no list does."""
    kind, _, rest = name.partition(".")
    use = uses(compiled).get(name, Use())
    if kind == "vehicle":
        if rest == MODEL_YEAR:
            return _years(machine.candidates, use)
        return _fact_values(compiled.facts[rest], machine.candidates, use)
    place, _, property_name = rest.partition(".")
    if property_name == "run_km":
        return _run(use)
    declared = {one.name: one for one in compiled.part_types[place].properties}
    definition = declared.get(property_name)
    return () if definition is None else _free_values(definition, use)


def _fact_values(
    definition: FieldDefinition, candidates: Iterable[Vehicle], use: Use
) -> tuple[Value, ...]:
    """What the configurations fix, and where one leaves it open, all that it could be."""
    fixed: dict[Value, None] = {}
    for vehicle in candidates:
        if definition.name in vehicle.facts:
            fixed[vehicle.facts[definition.name]] = None
            continue
        free = _free_values(definition, use)
        if not free:
            return ()
        fixed |= dict.fromkeys(free)
    return tuple(sorted(fixed, key=lambda value: _order(definition, value)))


def _order(definition: FieldDefinition, value: Value) -> tuple[float, str]:
    if isinstance(value, str):
        listed = definition.values
        return (listed.index(value) if value in listed else len(listed), value)
    return (value, "")


def _free_values(definition: FieldDefinition, use: Use) -> tuple[Value, ...]:
    if definition.kind == "flag":
        return (False, True)
    if definition.values:
        return definition.values
    if use.loose:
        return ()
    if definition.kind == "text":
        texts = sorted(c for c in use.constants if isinstance(c, str))
        return (*texts, ANOTHER_TEXT) if texts else ()
    numbers = _numbers(use)
    low, high = definition.minimum, definition.maximum
    if not numbers:
        return ()
    ends = {v for v in (low, high) if v is not None}
    if definition.kind == "whole":
        telling: set[float] = {int(n) + d for n in numbers for d in (-1, 0, 1)}
        telling |= {int(end) for end in ends}
    else:
        telling = _between(sorted({float(n) for n in (*numbers, *ends)}))
    inside = (v for v in telling if (low is None or v >= low) and (high is None or v <= high))
    return tuple(sorted(inside))


def _numbers(use: Use) -> set[float]:
    return {c for c in use.constants if not isinstance(c, bool | str)}


def _between(bounds: list[float]) -> set[float]:
    """The bounds, one value between each two, and one beyond either end."""
    middles = [(a + b) / 2 for a, b in pairwise(bounds)]
    return {*bounds, *middles, bounds[0] - 1.0, bounds[-1] + 1.0}


def _run(use: Use) -> tuple[Value, ...]:
    if use.loose:
        return ()
    near = {int(n) + d for n in _numbers(use) for d in (-1, 0, 1)}
    return tuple(sorted(n for n in near if n >= 0))


def _years(candidates: Iterable[Vehicle], use: Use) -> tuple[Value, ...]:
    """Years inside the ranges: the ends of each, and those that rules tell apart."""
    ranges = [(vehicle.model_year_from, vehicle.model_year_to) for vehicle in candidates]
    first, last = min(low for low, _ in ranges), max(high for _, high in ranges)
    if use.loose:
        telling = set(range(first, last + 1)) if last - first <= _FEW_YEARS else set()
    else:
        telling = {int(n) + d for n in _numbers(use) for d in (-1, 0, 1)}
        telling |= {y for low, high in ranges for y in (low - 1, low, high, high + 1)}
    return tuple(sorted(y for y in telling if any(low <= y <= high for low, high in ranges)))
