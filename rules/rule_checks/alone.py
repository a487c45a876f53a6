"""What an expression comes out as on its own, whatever the catalog lists."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import islice, product

from rules.catalog import FieldDefinition
from rules.expressions import Environment, Expression, Read
from rules.fitment import Trilean
from rules.rule_checks.asked import Asked, asked_of
from rules.rule_checks.domains import distances_km, field_values
from rules.values import Outcome, Unknown, Value

MOST_COMBINATIONS = 20_000


@dataclass(frozen=True, slots=True)
class Free:
    """Every name has a value of its own, whatever the others have; else it is unknown."""

    values: Mapping[tuple[str, ...], Value]

    def fact(self, name: str) -> Outcome:
        return self._value("fact", name)

    def target(self, part_type: str, name: str) -> Outcome:
        return self._value("target", part_type, name)

    def fitted(self, part_type: str, name: str) -> Outcome:
        return self._value("fitted", part_type, name)

    def renewed(self, part_type: str) -> Outcome:
        return self._value("renewed", part_type)

    def doing(self, step: str) -> Outcome:
        return self._value("doing", step)

    def present(self, part_type: str) -> Outcome:
        return self._value("present", part_type)

    def run_km(self, part_type: str) -> Outcome:
        return self._value("run_km", part_type)

    def _value(self, *name: str) -> Outcome:
        value = self.values.get(name)
        return Unknown(frozenset({".".join(name)})) if value is None else value


def always(expression: Expression, wanted: Callable[[Environment], Trilean]) -> bool:
    """Whether ``wanted`` is certain to hold, whatever the names within their ranges are."""
    if wanted(Free({})) is True:
        return True
    asked = asked_of([expression])
    if any(not _has_listed_values(read) for read in asked.loose):
        return False
    names = [(read.source, *read.arguments) for read in asked.names]
    combinations = product(*(_values(read, asked) for read in asked.names))
    for values in islice(combinations, MOST_COMBINATIONS):
        if wanted(Free(dict(zip(names, values, strict=True)))) is not True:
            return False
    return next(combinations, None) is None


def _has_listed_values(read: Read) -> bool:
    return read.definition is not None and bool(read.definition.values)


def _values(read: Read, asked: Asked) -> tuple[Value, ...]:
    if read.source == "run_km":
        return distances_km(asked.constants)
    if read.source in ("renewed", "doing", "present"):
        return (False, True)
    definition = read.definition or FieldDefinition(
        name=read.spelled, kind=read.kind, label=read.spelled
    )
    return field_values(definition, asked.constants)
