"""What operands must agree in: kind, unit and possible values. Each refusal says the mend."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rules.catalog import ValueKind
from rules.expressions.faultlist import FaultList, nearest
from rules.expressions.syntax import (
    Call,
    Literal,
    Node,
    Operation,
    Select,
    show,
    show_value,
)
from rules.expressions.terms import COMPARISONS, Constant, Read, Term
from rules.expressions.units import agree, show_unit

KIND_WORDS: Final[Mapping[ValueKind, str]] = {
    "text": "a text",
    "number": "a decimal number",
    "whole": "a whole number",
    "flag": "a yes/no value",
}
NUMERIC: Final = ("number", "whole")
ORDERED: Final = ("number", "whole", "text")


class Expectations:
    """Every method says whether the expectation is met, and records the fault if it is not.

    ``what`` names the operand in the sentence: ``the right side of +``.
    """

    def __init__(self, faults: FaultList) -> None:
        self._faults = faults

    def kind(self, node: Node, term: Term, kind: ValueKind, what: str) -> bool:
        """``term``, written as ``node``, is of ``kind``."""
        if term.kind == kind:
            return True
        problem = f"{what} must be {KIND_WORDS[kind]}, but this is {KIND_WORDS[term.kind]}"
        self._faults.add(start(node), problem, _kind_mend(node, term, kind))
        return False

    def numeric(self, node: Node, term: Term, what: str) -> bool:
        """``term`` is a number or a whole number."""
        if term.kind in NUMERIC:
            return True
        problem = f"{what} must be a number, but this is {KIND_WORDS[term.kind]}"
        self._faults.add(start(node), problem, "Use a number")
        return False

    def ordered(self, node: Operation, term: Term) -> bool:
        """``term``, the left side of ``node``, can be less or greater than something."""
        if term.kind in ORDERED:
            return True
        problem = f"{KIND_WORDS[term.kind]} has no order for {node.operator}"
        self._faults.add(node.position, problem, _order_mend(node))
        return False

    def same_kind(
        self, nodes: tuple[Node, ...], left: Term, right: Term, what: str = "side of"
    ) -> bool:
        """Both are of one kind. The mend goes to the side where a conversion loses nothing."""
        first, second = nodes
        if left.kind == right.kind:
            return True
        if (left.kind, right.kind) == ("whole", "number"):
            return self.kind(first, left, "number", f"the left {what}")
        return self.kind(second, right, left.kind, f"the right {what}")

    def same_unit(self, position: int, left: Term, right: Term, what: str) -> bool:
        """The two may be added or compared."""
        if agree(left.unit, right.unit):
            return True
        problem = f"{what} have different units, {unit_words(left)} and {unit_words(right)}"
        mend = "Use values of one unit, or convert with bare(x) and a factor"
        self._faults.add(position, problem, mend)
        return False

    def possible(self, node: Node, constant: Term, other: Term) -> bool:
        """A text constant is one of the values that the other side can have."""
        if not isinstance(constant, Constant) or not isinstance(other, Read):
            return True
        values = other.definition.values if other.definition is not None else ()
        if not values or constant.value in values:
            return True
        problem = f"{other.spelled} is never {show(node)}"
        close = nearest(str(constant.value), values)
        choices = ", ".join(map(show_value, values))
        mend = f"Write {show_value(close)}" if close else f"Use one of {choices}"
        self._faults.add(node.position, problem, mend)
        return False


def start(node: Node) -> int:
    """Where the text of a node begins."""
    if isinstance(node, Operation) and len(node.operands) > 1:
        return start(node.operands[0])
    if isinstance(node, Select):
        return start(node.operand)
    if isinstance(node, Call) and node.target is not None:
        return start(node.target)
    return node.position


def unit_words(term: Term) -> str:
    """The unit for a sentence."""
    return show_unit(term.unit) or "a pure number"


def _kind_mend(node: Node, term: Term, wanted: ValueKind) -> str:
    text = show(node)
    if (term.kind, wanted) == ("whole", "number"):
        return f"Write {text}.0" if isinstance(node, Literal) else f"Write double({text})"
    if (term.kind, wanted) == ("number", "whole"):
        return f"Write {_whole_text(node)}"
    if wanted == "text" and isinstance(node, Literal):
        return f"Write '{text}'"
    if wanted == "flag":
        return f"Compare it with something, as in {text} == …"
    return f"Use {KIND_WORDS[wanted]}"


def _whole_text(node: Node) -> str:
    if isinstance(node, Literal) and isinstance(node.value, float) and node.value.is_integer():
        return str(int(node.value))
    return f"int({show(node)})"


def _order_mend(node: Operation) -> str:
    inner = node.operands[0]
    if isinstance(inner, Operation) and inner.operator in COMPARISONS:
        middle = show(inner.operands[1])
        return f"Write {show(inner)} && {middle} {node.operator} {show(node.operands[1])}"
    return "Compare with == or !="
