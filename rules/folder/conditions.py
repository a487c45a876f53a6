"""Condition columns: which machines a factory part or a fitment statement is about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from rules.catalog import FactCondition, FieldDefinition
from rules.catalog_faults.wording import quoted
from rules.folder.cells import VALUE_READERS, UnreadableError, number_text, read_each, value_text
from rules.folder.tables import Row
from rules.values import Value

EITHER: Final = "|"
RANGED: Final = ("number", "whole")


def condition_columns(facts: Sequence[FieldDefinition]) -> list[str]:
    """Every condition column there may be, in the order of the facts."""
    return [column for fact in facts for column in _columns_of(fact)]


def _columns_of(fact: FieldDefinition) -> list[str]:
    if fact.kind in RANGED:
        return [fact.name, f"{fact.name}_from", f"{fact.name}_to"]
    return [fact.name]


def read_conditions(row: Row, facts: Sequence[FieldDefinition]) -> tuple[FactCondition, ...]:
    """The conditions of a row, in the order of the facts; a blank cell is no condition."""
    found = (_condition(row, fact) for fact in facts)
    return tuple(condition for condition in found if condition is not None)


def _condition(row: Row, fact: FieldDefinition) -> FactCondition | None:
    columns = _columns_of(fact)
    if not any(row.has(column) for column in columns):
        return None
    values = row.read(fact.name, _values_reader(VALUE_READERS[fact.kind]), ())
    if fact.kind not in RANGED:
        return FactCondition(fact=fact.name, values=values)
    reader = VALUE_READERS[fact.kind]
    low, high = (_bound(row, column, reader) for column in columns[1:])
    if row.has(fact.name) and any(row.has(column) for column in columns[1:]):
        row.fault(
            fact.name,
            "both exact values and a range are given",
            f"Leave {fact.name} empty, or {fact.name}_from and {fact.name}_to.",
        )
    return FactCondition(fact=fact.name, values=values, low=low, high=high)


def _bound(row: Row, column: str, reader: Callable[[str], Value]) -> float | None:
    return row.read(column, lambda text: float(reader(text)), None)


def _values_reader(reader: Callable[[str], Value]) -> Callable[[str], tuple[Value, ...]]:
    def read_values(text: str) -> tuple[Value, ...]:
        texts = [one.strip() for one in text.split(EITHER)]
        if "" in texts:
            raise UnreadableError(
                f"{quoted(text)} has an empty choice",
                f"Write one value, or several as in a{EITHER}b.",
            )
        return read_each(texts, reader)

    return read_values


def used_columns(
    rows: Iterable[Sequence[FactCondition]], facts: Sequence[FieldDefinition]
) -> list[str]:
    """The condition columns that at least one of the rows needs, in the order of the facts."""
    used = {column for conditions in rows for one in conditions for column in _cells(one)}
    return [column for column in condition_columns(facts) if column in used]


def condition_cells(conditions: Sequence[FactCondition], columns: Sequence[str]) -> list[str]:
    """The cells of a row under these condition columns."""
    cells = {column: cell for one in conditions for column, cell in _cells(one).items()}
    return [cells.get(column, "") for column in columns]


def _cells(condition: FactCondition) -> dict[str, str]:
    cells = {}
    if condition.values:
        cells[condition.fact] = EITHER.join(map(value_text, condition.values))
    if condition.low is not None:
        cells[f"{condition.fact}_from"] = number_text(condition.low)
    if condition.high is not None:
        cells[f"{condition.fact}_to"] = number_text(condition.high)
    return cells
