"""Factory rows: at most one of a part type may hold on a configuration."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from math import ceil, floor, inf

from rules.catalog import Catalog, FactCondition, FactoryPart, FieldDefinition, Vehicle
from rules.catalog_faults.places import Places
from rules.faults import Fault
from rules.values import Value

Located = tuple[FactoryPart, str]


def factory_faults(catalog: Catalog, places: Places) -> Iterator[Fault]:
    """One fault for each two rows of a part type that can hold on one configuration."""
    facts = {fact.name: fact for fact in catalog.facts}
    by_type: dict[str, list[Located]] = {}
    for row, where in zip(catalog.factory_parts, places.factory_parts, strict=True):
        by_type.setdefault(row.part_type, []).append((row, where))
    shared: dict[tuple[str, str], list[str]] = {}
    for vehicle in catalog.vehicles:
        fixed = fixed_by(vehicle)
        for rows in by_type.values():
            for first, second in _both_hold(rows, fixed, facts):
                shared.setdefault((first, second), []).append(vehicle.id)
    for (first, second), vehicles in shared.items():
        more = f" and {len(vehicles) - 1} more" if len(vehicles) > 1 else ""
        yield Fault(
            f"{second}:part_type",
            f"this row and {first} can both hold on the configuration {vehicles[0]}{more}",
            "Narrow the conditions of one, so that one factory part is left.",
        )


def _both_hold(
    rows: Iterable[Located], fixed: list[FactCondition], facts: Mapping[str, FieldDefinition]
) -> Iterator[tuple[str, str]]:
    possible = [one for one in rows if can_all_hold([*fixed, *one[0].conditions], facts)]
    for (one, first), (other, second) in combinations(possible, 2):
        if can_all_hold([*fixed, *one.conditions, *other.conditions], facts):
            yield first, second


def fixed_by(vehicle: Vehicle) -> list[FactCondition]:
    """What a configuration settles, as conditions."""
    years = FactCondition(
        fact="model_year", low=vehicle.model_year_from, high=vehicle.model_year_to
    )
    return [
        years,
        *(FactCondition(fact=name, values=(value,)) for name, value in vehicle.facts.items()),
    ]


def can_all_hold(conditions: Iterable[FactCondition], facts: Mapping[str, FieldDefinition]) -> bool:
    """Whether some machine meets all the conditions; each fact can be looked at alone."""
    by_fact: dict[str, list[FactCondition]] = {}
    for condition in conditions:
        by_fact.setdefault(condition.fact, []).append(condition)
    return all(_some_value(group, facts.get(fact)) for fact, group in by_fact.items())


def _some_value(group: list[FactCondition], definition: FieldDefinition | None) -> bool:
    exact = [condition.values for condition in group if condition.values]
    low = max((one.low for one in group if one.low is not None), default=-inf)
    high = min((one.high for one in group if one.high is not None), default=inf)
    if exact:
        return any(
            all(value in values for values in exact) and _within(value, low, high)
            for value in exact[0]
        )
    if definition is not None and definition.kind == "whole" and -inf < low and high < inf:
        return ceil(low) <= floor(high)
    return low <= high


def _within(value: Value, low: float, high: float) -> bool:
    return isinstance(value, str) or low <= value <= high
