"""Which configurations a few facts leave open, and which question narrows them best. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from api.errors import pointer
from rules import identify
from rules.catalog import FieldDefinition, Vehicle
from rules.compiled import CompiledCatalog
from rules.faults import Fault
from rules.values import Value


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact in which ``values`` occur among the configurations left.

    ``most_left``: how many configurations the least helpful answer would leave.
    """

    fact: FieldDefinition
    values: tuple[Value, ...]
    most_left: int


def checked_facts(
    compiled: CompiledCatalog, given: Mapping[str, Value], where: Sequence[str] = ("facts",)
) -> tuple[dict[str, Value], list[Fault]]:
    """The facts as their kinds want them, and what is wrong with the others."""
    facts: dict[str, Value] = {}
    faults: list[Fault] = []
    for name, value in given.items():
        at = pointer([*where, name])
        definition = compiled.facts.get(name)
        if definition is None:
            mend = identify.near(name, compiled.facts)
            faults.append(Fault(at, f"no fact is called {name!r}", mend))
            continue
        checked = identify.checked_value(definition, value, at, faults)
        if checked is not None:
            facts[name] = checked
    return facts, faults


def matching(
    compiled: CompiledCatalog,
    facts: Mapping[str, Value],
    model_years: Iterable[int] | None = None,
) -> tuple[Vehicle, ...]:
    """The configurations that nothing known contradicts. ``model_years`` None: open.

    A fact that a configuration does not fix contradicts nothing.
    """
    left = identify.matching(compiled, facts)
    if model_years is None:
        return left
    years = tuple(model_years)
    return tuple(v for v in left if any(_covers(v, year) for year in years))


def _covers(vehicle: Vehicle, year: int) -> bool:
    return vehicle.model_year_from <= year <= vehicle.model_year_to


def differences(
    left: Sequence[Vehicle], known: Mapping[str, Value], declared: Iterable[FieldDefinition]
) -> tuple[Difference, ...]:
    """The facts that tell ``left`` apart, the most telling first (then in order of name)."""
    found = []
    for definition in declared:
        values = _values(left, definition.name)
        if definition.name not in known and len(values) > 1:
            most = max(_count_with(left, definition.name, value) for value in values)
            found.append(Difference(definition, values, most))
    telling = [difference for difference in found if difference.most_left < len(left)]
    return tuple(sorted(telling, key=lambda d: (d.most_left, d.fact.name)))


def _count_with(left: Sequence[Vehicle], fact: str, value: Value) -> int:
    if fact == identify.MODEL_YEAR and isinstance(value, int):
        return sum(_covers(vehicle, value) for vehicle in left)
    return sum(vehicle.facts.get(fact, value) == value for vehicle in left)


def _values(left: Sequence[Vehicle], fact: str) -> tuple[Value, ...]:
    if fact == identify.MODEL_YEAR:
        spans = (range(v.model_year_from, v.model_year_to + 1) for v in left)
        return tuple(sorted({year for span in spans for year in span}))
    values = {v.facts[fact] for v in left if fact in v.facts}
    return tuple(sorted(values, key=_in_order))


def _in_order(value: Value) -> tuple[str, float]:
    return (value, 0.0) if isinstance(value, str) else ("", float(value))
