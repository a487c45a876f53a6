"""What an expression may name, what it was found to read, and who answers when it is read."""

from __future__ import annotations

import enum
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Protocol

from rules.catalog import FieldDefinition
from rules.values import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """The declared names. ``part_types`` maps a part type to its properties by name.

    The built-in properties (``BUILT_IN_PROPERTIES``) belong to every part type and need
    not be declared.
    """

    facts: Mapping[str, FieldDefinition]
    part_types: Mapping[str, Mapping[str, FieldDefinition]]
    steps: Collection[str]


class Allow(enum.Flag):
    """What an expression of some place may read."""

    FACTS = enum.auto()
    TARGET = enum.auto()
    FITTED = enum.auto()
    RENEWED = enum.auto()
    DOING = enum.auto()
    PRESENT = enum.auto()
    RUN_KM = enum.auto()
    ALL = FACTS | TARGET | FITTED | RENEWED | DOING | PRESENT | RUN_KM


@dataclass(frozen=True)
class Reads:
    """Every name that an expression reads. Pairs are (part type, property)."""

    facts: frozenset[str] = frozenset()
    target: frozenset[tuple[str, str]] = frozenset()
    fitted: frozenset[tuple[str, str]] = frozenset()
    renewed: frozenset[str] = frozenset()
    doing: frozenset[str] = frozenset()
    present: frozenset[str] = frozenset()
    run_km: frozenset[str] = frozenset()


class Environment(Protocol):
    """Answers the reads. Every method gives a value, ``Unknown`` or ``Failure``."""

    def fact(self, name: str) -> Outcome: ...
    def target(self, part_type: str, name: str) -> Outcome: ...
    def fitted(self, part_type: str, name: str) -> Outcome: ...
    def renewed(self, part_type: str) -> Outcome: ...
    def doing(self, step: str) -> Outcome: ...
    def present(self, part_type: str) -> Outcome: ...
    def run_km(self, part_type: str) -> Outcome: ...


BUILT_IN_PROPERTIES: Final[Mapping[str, FieldDefinition]] = MappingProxyType(
    {
        "brand": FieldDefinition(name="brand", kind="text", label="Brand"),
        "number": FieldDefinition(name="number", kind="text", label="Part number"),
        "condition": FieldDefinition(
            name="condition", kind="text", label="Condition", values=("new", "rebuilt", "used")
        ),
        "emission_class": FieldDefinition(
            name="emission_class",
            kind="text",
            label="Emission class",
            values=("not_relevant", "replacement", "exempted", "competition_only", "unknown"),
        ),
        "life_km": FieldDefinition(name="life_km", kind="whole", label="Expected life", unit="km"),
    }
)
"""Properties that every part has without being declared."""

RESERVED_NAMES: Final = frozenset(
    {
        *("false", "in", "null", "true", "as", "break", "const", "continue", "else", "for"),
        *("function", "if", "import", "let", "loop", "package", "namespace", "return", "var"),
        *("void", "while", "vehicle", "fitted"),
    }
)
"""Words that cannot be the name of a part type: those CEL reserves, and our two prefixes."""
