"""The one order in which a catalog's records are written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import Final, TypeVar

from rules.catalog import (
    Case,
    Catalog,
    Caution,
    Exclusion,
    FactCondition,
    Limit,
    Part,
    Recommendation,
    Requirement,
    Rule,
    Vehicle,
)
from rules.catalog_faults.definitions import LINE_KINDS
from rules.values import Value

T = TypeVar("T")

RULE_SECTIONS: Final[Mapping[str, type[Rule]]] = {
    "limits": Limit,
    "requirements": Requirement,
    "exclusions": Exclusion,
    "recommendations": Recommendation,
    "cautions": Caution,
}
"""The sections of a rules file, in the order in which they are read and written."""

CASE_FIELDS: Final = (
    "vehicle",
    "id",
    "facts",
    "jobs",
    "parts_wanted",
    "parts_refused",
    "part_type",
    "part",
    "brand",
    "number",
    "properties",
    "run_km",
    "keep",
    "fitted",
    "add_ons",
    "tools_owned",
    "aim",
    "budget",
    "status",
    "renews",
    "keeps",
    "parts",
    "steps",
    "not_steps",
    "rules",
    "total",
    "minutes",
    "asks",
)
"""The order of the fields of a case that have names; others follow in alphabetical order."""


def canonical(catalog: Catalog) -> Catalog:
    """The same catalog, its records in the order in which the folder holds them.

    Parts go by their type, work, rules and cases by file and section; the order within
    those is the keeper's. Mappings are put in declared order, and a part says of every
    declared property that it is unknown where it says nothing. Reading a folder gives
    catalogs that are canonical already.
    """
    facts = [fact.name for fact in catalog.facts]
    return replace(
        catalog,
        policy=replace(catalog.policy, tax_of=ordered(catalog.policy.tax_of, LINE_KINDS)),
        vehicles=tuple(_vehicle(vehicle, facts) for vehicle in catalog.vehicles),
        factory_parts=tuple(
            replace(row, conditions=_conditions(row.conditions, facts))
            for row in catalog.factory_parts
        ),
        fitment=tuple(
            replace(row, conditions=_conditions(row.conditions, facts)) for row in catalog.fitment
        ),
        parts=_parts(catalog),
        steps=tuple(
            replace(step, consumables=ordered(step.consumables)) for step in _by_file(catalog.steps)
        ),
        operations=_by_file(catalog.operations),
        jobs=tuple(replace(job, where=ordered(job.where)) for job in _by_file(catalog.jobs)),
        rules=tuple(sorted(catalog.rules, key=_rule_place)),
        cases=tuple(_case(case) for case in _by_file(catalog.cases)),
    )


def ordered(mapping: Mapping[str, T], names: Sequence[str] = ()) -> dict[str, T]:
    """The mapping with ``names`` first, in their order, and the rest alphabetically."""
    place = {name: index for index, name in enumerate(names)}
    keys = sorted(mapping, key=lambda key: (place.get(key, len(place)), key))
    return {key: mapping[key] for key in keys}


def _by_file(records: Iterable[T]) -> tuple[T, ...]:
    return tuple(sorted(records, key=attrgetter("file")))


def _rule_place(rule: Rule) -> tuple[str, int]:
    return rule.file, list(RULE_SECTIONS.values()).index(type(rule))


def _vehicle(vehicle: Vehicle, facts: Sequence[str]) -> Vehicle:
    return replace(vehicle, facts=ordered(vehicle.facts, facts))


def _conditions(
    conditions: Sequence[FactCondition], facts: Sequence[str]
) -> tuple[FactCondition, ...]:
    place = {name: index for index, name in enumerate(facts)}
    return tuple(sorted(conditions, key=lambda one: place.get(one.fact, len(place))))


def _parts(catalog: Catalog) -> tuple[Part, ...]:
    place = {part_type.id: index for index, part_type in enumerate(catalog.part_types)}
    declared = {
        part_type.id: [one.name for one in part_type.properties] for part_type in catalog.part_types
    }
    parts = sorted(catalog.parts, key=lambda part: place.get(part.part_type, len(place)))
    return tuple(_part(part, declared.get(part.part_type, [])) for part in parts)


def _part(part: Part, declared: Sequence[str]) -> Part:
    blank: dict[str, Value | None] = dict.fromkeys(declared)
    return replace(part, properties=ordered({**blank, **part.properties}, declared))


def _case(case: Case) -> Case:
    return replace(case, request=_fields(case.request), expect=_fields(case.expect))


def _fields(mapping: Mapping[str, object]) -> dict[str, object]:
    return {name: _plain(value) for name, value in ordered(mapping, CASE_FIELDS).items()}


def _plain(value: object) -> object:
    if isinstance(value, Mapping):
        return _fields(value)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(one) for one in value]
    return value
