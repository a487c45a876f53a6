"""Finds what a name stands for, or says what is wrong with it and what was likely meant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from rules.catalog import FieldDefinition
from rules.expressions.faultlist import FaultList, listed, nearest
from rules.expressions.scope import BUILT_IN_PROPERTIES, Allow, Scope
from rules.expressions.syntax import Call, Literal, Name, Node, Select, show_value
from rules.expressions.terms import Read, Source
from rules.expressions.units import parse_unit

READ_FUNCTIONS: Final[Mapping[str, tuple[Source, Allow]]] = {
    "renewed": ("renewed", Allow.RENEWED),
    "doing": ("doing", Allow.DOING),
    "present": ("present", Allow.PRESENT),
    "run_km": ("run_km", Allow.RUN_KM),
}
"""Functions of one quoted name that read the build."""

_MAY_READ: Final[Mapping[Allow, str]] = {
    Allow.FACTS: "facts (vehicle.…)",
    Allow.TARGET: "parts of the target (part_type.…)",
    Allow.FITTED: "fitted parts (fitted.…)",
    Allow.RENEWED: "renewed('…')",
    Allow.DOING: "doing('…')",
    Allow.PRESENT: "present('…')",
    Allow.RUN_KM: "run_km('…')",
}


def dotted(node: Node) -> tuple[str, ...] | None:
    """``vehicle.cooling`` to its names; None when the node is not a chain of names."""
    if isinstance(node, Name):
        return (node.name,)
    if isinstance(node, Select) and (before := dotted(node.operand)) is not None:
        return (*before, node.name)
    return None


def _start(node: Node) -> int:
    return _start(node.operand) if isinstance(node, Select) else node.position


class NameResolver:
    """Resolves names against a scope; faults go to ``faults``."""

    def __init__(self, scope: Scope, allow: Allow, faults: FaultList) -> None:
        self._scope = scope
        self._allow = allow
        self._faults = faults

    def path(self, node: Name | Select) -> Read | None:
        """A chain of names: a fact, a target property or a fitted property."""
        names, position = dotted(node), _start(node)
        if names is None:
            self._faults.add(node.position, "this value has no properties", "Take the dot out")
            return None
        if len(names) == 1:
            self._bare(names[0], position)
            return None
        if names[0] == "vehicle":
            return self._fact(names[1:], position)
        if names[0] == "fitted":
            return self._fitted(names[1:], position)
        return self._target(names, position)

    def call(self, node: Call) -> Read | None:
        """``renewed('camshaft')`` and its like."""
        source, needs = READ_FUNCTIONS[node.name]
        name = self._quoted_name(node)
        if name is None:
            return None
        known: Iterable[str] = self._scope.steps if source == "doing" else self._scope.part_types
        what = "step" if source == "doing" else "part type"
        spelled = f"{node.name}({show_value(name)})"
        if not self._known(name, known, what, f"{node.name}('{{}}')", node.position):
            return None
        if not self._allowed(needs, spelled, node.position):
            return None
        if source == "run_km":
            return Read(source, (name,), spelled, "whole", parse_unit("km"))
        return Read(source, (name,), spelled, "flag")

    def _quoted_name(self, node: Call) -> str | None:
        if len(node.arguments) == 1 and isinstance(node.arguments[0], Literal):
            value = node.arguments[0].value
            if isinstance(value, str):
                return value
        what = "a step" if node.name == "doing" else "a part type"
        problem = f"{node.name}() takes the name of {what} in quotes"
        self._faults.add(node.position, problem, f"Write {node.name}('…')")
        return None

    def _bare(self, name: str, position: int) -> None:
        if name in self._scope.facts:
            mend = f"Write vehicle.{name}"
        elif name in self._scope.part_types:
            mend = f"Write {name}.<property>, or present('{name}')"
        elif name in ("vehicle", "fitted"):
            mend = "Write vehicle.<fact> or fitted.<part type>.<property>"
        else:
            mend = f"Put text in quotes: '{name}'"
        self._faults.add(position, f"{name!r} alone has no value", mend)

    def _fact(self, names: tuple[str, ...], position: int) -> Read | None:
        name = names[0]
        if not self._known(name, self._scope.facts, "fact", "vehicle.{}", position):
            return None
        spelled = f"vehicle.{name}"
        if self._too_long(names, 1, spelled, position):
            return None
        if not self._allowed(Allow.FACTS, spelled, position):
            return None
        return _read("fact", (name,), spelled, self._scope.facts[name])

    def _fitted(self, names: tuple[str, ...], position: int) -> Read | None:
        definition = self._property(names, "fitted.", position)
        if definition is None:
            return None
        spelled = f"fitted.{names[0]}.{names[1]}"
        if not self._allowed(Allow.FITTED, spelled, position):
            return None
        return _read("fitted", names[:2], spelled, definition)

    def _target(self, names: tuple[str, ...], position: int) -> Read | None:
        definition = self._property(names, "", position)
        if definition is None:
            return None
        spelled = f"{names[0]}.{names[1]}"
        if not self._allowed(Allow.TARGET, spelled, position):
            return None
        return _read("target", names[:2], spelled, definition)

    def _property(
        self, names: tuple[str, ...], prefix: str, position: int
    ) -> FieldDefinition | None:
        part_type = names[0]
        rest = ".".join(names[1:])
        pattern = f"{prefix}{{}}" + (f".{rest}" if rest else ".<property>")
        if not self._known(part_type, self._scope.part_types, "part type", pattern, position):
            return None
        if len(names) < 2:
            problem = f"{prefix}{part_type} names no property"
            self._faults.add(position, problem, f"Write {prefix}{part_type}.<property>")
            return None
        properties = {**self._scope.part_types[part_type], **BUILT_IN_PROPERTIES}
        what = f"property of {part_type}"
        pattern = f"{prefix}{part_type}.{{}}"
        if not self._known(names[1], properties, what, pattern, position):
            return None
        spelled = f"{prefix}{part_type}.{names[1]}"
        return None if self._too_long(names, 2, spelled, position) else properties[names[1]]

    def _too_long(self, names: tuple[str, ...], length: int, spelled: str, position: int) -> bool:
        if len(names) <= length:
            return False
        self._faults.add(position, f"{spelled} is a value, not a record", f"Write {spelled}")
        return True

    def _known(
        self, name: str, known: Iterable[str], what: str, pattern: str, position: int
    ) -> bool:
        names = set(known)
        if name in names:
            return True
        close = nearest(name, names)
        if close is not None:
            mend = f"Write {pattern.format(close)}"
        elif names:
            mend = f"Use one of {listed(names)}, or declare it"
        else:
            mend = "Declare it in the catalog"
        self._faults.add(position, f"{name!r} is no declared {what}", mend)
        return False

    def _allowed(self, needs: Allow, spelled: str, position: int) -> bool:
        if needs in self._allow:
            return True
        may = [words for flag, words in _MAY_READ.items() if flag in self._allow]
        mend = f"Read only {', '.join(may)}" if may else "Write a constant"
        self._faults.add(position, f"{spelled} cannot be read here", mend)
        return False


def _read(
    source: Source, arguments: tuple[str, ...], spelled: str, definition: FieldDefinition
) -> Read:
    unit = parse_unit(definition.unit)
    return Read(source, arguments, spelled, definition.kind, unit, definition)
