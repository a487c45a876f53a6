"""The syntax tree, and its printer. ``parse(show(node)) == node`` for every parsed node."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from rules.values import Value


@dataclass(frozen=True, slots=True)
class Literal:
    """A constant as written; a minus sign right before a number belongs to it."""

    value: Value
    position: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Name:
    """A bare identifier."""

    name: str
    position: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Select:
    """``operand.name``"""

    operand: Node
    name: str
    position: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Call:
    """``name(arguments)``, or ``target.name(arguments)``."""

    name: str
    arguments: tuple[Node, ...]
    target: Node | None = None
    position: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class ListOf:
    """``[items]``"""

    items: tuple[Node, ...]
    position: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Operation:
    """An operator with its operands in order; ``&&`` and ``||`` hold their whole run.

    Unary ``!`` and ``-`` have one operand, ``?:`` has three.
    """

    operator: str
    operands: tuple[Node, ...]
    position: int = field(default=0, compare=False)


Node = Literal | Name | Select | Call | ListOf | Operation

LEVELS: Final[tuple[frozenset[str], ...]] = (
    frozenset({"||"}),
    frozenset({"&&"}),
    frozenset({"==", "!=", "<", "<=", ">", ">=", "in"}),
    frozenset({"+", "-"}),
    frozenset({"*", "/", "%"}),
)
"""Binary operators, loosest first (CEL precedence 7 to 3)."""

RUNS: Final = frozenset({"&&", "||"})
"""Operators whose unbracketed run is one node."""

_UNARY_LEVEL: Final = len(LEVELS)
_MEMBER_LEVEL: Final = _UNARY_LEVEL + 1
_ESCAPES: Final = {"\\": "\\\\", "'": "\\'", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def show(node: Node) -> str:
    """CEL text for ``node`` with only the parentheses that it needs."""
    if isinstance(node, Literal):
        return show_value(node.value)
    if isinstance(node, Name):
        return node.name
    if isinstance(node, Select):
        return f"{_show_within(node.operand, _MEMBER_LEVEL)}.{node.name}"
    if isinstance(node, ListOf):
        return f"[{', '.join(map(show, node.items))}]"
    return _show_call(node) if isinstance(node, Call) else _show_operation(node)


def show_value(value: Value) -> str:
    """The literal for a value: ``true``, ``5``, ``5.0``, ``'text'``."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return "'" + "".join(_ESCAPES.get(c, c) for c in value) + "'"
    return repr(value)


def _show_call(node: Call) -> str:
    target = "" if node.target is None else _show_within(node.target, _MEMBER_LEVEL) + "."
    return f"{target}{node.name}({', '.join(map(show, node.arguments))})"


def _show_operation(node: Operation) -> str:
    if node.operator == "?:":
        condition, yes, no = node.operands
        return f"{_show_within(condition, 0)} ? {_show_within(yes, 0)} : {show(no)}"
    if len(node.operands) == 1:
        return node.operator + _show_operand_of_unary(node.operator, node.operands[0])
    level = _level(node)
    # The left operand of a left-associative operator may be of the same level.
    first = _show_within(node.operands[0], level if node.operator not in RUNS else level + 1)
    rest = (_show_within(operand, level + 1) for operand in node.operands[1:])
    return f" {node.operator} ".join([first, *rest])


def _show_operand_of_unary(operator: str, operand: Node) -> str:
    # A run of one sign needs no parentheses, and neither does minus before a negative number.
    # But -(5) does: without them the sign would belong to the literal.
    text = show(operand)
    signed = isinstance(operand, Operation) and len(operand.operands) == 1
    runs_on = text.startswith(operator) and (signed or _is_number(operand))
    return text if runs_on else _show_within(operand, _MEMBER_LEVEL)


def _show_within(node: Node, level: int) -> str:
    text = show(node)
    return text if _level(node) >= level else f"({text})"


def _is_number(node: Node) -> bool:
    return isinstance(node, Literal) and not isinstance(node.value, bool | str)


def _level(node: Node) -> int:
    """How tightly the node's text holds together; a number needs parentheses before a dot."""
    if _is_number(node):
        return _UNARY_LEVEL
    if not isinstance(node, Operation):
        return _MEMBER_LEVEL
    if node.operator == "?:":
        return -1
    if len(node.operands) == 1:
        return _UNARY_LEVEL
    return next(i for i, operators in enumerate(LEVELS) if node.operator in operators)
