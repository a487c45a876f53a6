"""The checked tree: every name resolved, every part with its kind and unit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from rules.catalog import FieldDefinition, ValueKind
from rules.expressions.units import Unit
from rules.values import Outcome, Value

Source = Literal["fact", "target", "fitted", "renewed", "doing", "present", "run_km"]


@dataclass(frozen=True, slots=True)
class Constant:
    """A literal, or a part that reads nothing and so was worked out once."""

    value: Value
    kind: ValueKind
    unit: Unit | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """A name. ``arguments`` go to the environment's method ``source``."""

    source: Source
    arguments: tuple[str, ...]
    spelled: str
    kind: ValueKind
    unit: Unit | None = None
    definition: FieldDefinition | None = None


@dataclass(frozen=True, slots=True)
class Apply:
    """An operator or function. ``function`` is set for engine functions only."""

    operator: str
    operands: tuple[Term, ...]
    kind: ValueKind
    unit: Unit | None = None
    function: Callable[..., Any] | None = None


Term = Constant | Read | Apply

COMPARISONS = frozenset({"==", "!=", "<", "<=", ">", ">="})


def reads_of(term: Term) -> Iterator[Read]:
    """Every read, in order of appearance, repeated names included."""
    if isinstance(term, Read):
        yield term
    elif isinstance(term, Apply):
        for operand in term.operands:
            yield from reads_of(operand)


Evaluate = Callable[[Any], Outcome]
"""A compiled term: takes the environment."""
