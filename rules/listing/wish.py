"""What was asked for, in sentences: said on every answer, whatever comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rules.catalog import FieldDefinition, PartKey
from rules.compiled import CompiledCatalog
from rules.demand import Demand, Wanted
from rules.speech import in_a_sentence, measured, stopped
from rules.values import Value


def wishes(compiled: CompiledCatalog, demand: Demand) -> tuple[str, ...]:
    """Jobs, parts wanted, add-ons taken, parts refused and places kept, in this order."""
    return tuple(stopped(wish) for wish in _wishes(compiled, demand))


def told_facts(compiled: CompiledCatalog, told: Mapping[str, Value]) -> tuple[str, ...]:
    """The facts that the request states, as ``Odometer 62000 km``."""
    return tuple(_fact(compiled.facts[name], value) for name, value in sorted(told.items()))


def _fact(fact: FieldDefinition, value: Value) -> str:
    if isinstance(value, bool):
        return f"{fact.label} {'yes' if value else 'no'}"
    if isinstance(value, str):
        return f"{fact.label} {value.replace('_', ' ')}"
    return f"{fact.label} {measured(value, 3, fact.unit)}"


def _wishes(compiled: CompiledCatalog, demand: Demand) -> Iterator[str]:
    for job in demand.jobs:
        yield f"{job.title}: {in_a_sentence(job.wish)}" if job.wish else job.title
    for wanted in demand.wanted:
        yield _wanted(compiled, wanted)
    for place in demand.add_ons:
        yield f"Add-on: {in_a_sentence(compiled.part_types[place].label)}"
    for key in sorted(demand.refused):
        yield f"Without {_named(compiled, key)}"
    for place in demand.keep:
        yield f"Kept as it is: {in_a_sentence(compiled.part_types[place].label)}"


def _wanted(compiled: CompiledCatalog, wanted: Wanted) -> str:
    if wanted.current.changed:
        now = " and ".join(_named(compiled, key) for key in wanted.current.current)
        return f"{wanted.asked}, today {now}"
    return _named(compiled, wanted.asked)


def _named(compiled: CompiledCatalog, key: PartKey) -> str:
    item = compiled.parts.get(key) or compiled.kits.get(key)
    return f"{key} ({item.title})" if item else str(key)
