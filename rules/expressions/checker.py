"""Syntax tree to checked terms: names, kinds and units (CEL: gradual type checking)."""

from __future__ import annotations

from rules.catalog import ValueKind
from rules.expressions.calls import CallChecker
from rules.expressions.expectations import NUMERIC, Expectations, start
from rules.expressions.faultlist import FaultList
from rules.expressions.names import NameResolver
from rules.expressions.scope import Allow, Scope
from rules.expressions.syntax import Call, ListOf, Literal, Name, Node, Operation, Select
from rules.expressions.terms import COMPARISONS, Apply, Constant, Term
from rules.expressions.units import either, product


class Checker:
    """Checks one expression. A part that is wrong gives None, so it is said only once."""

    def __init__(self, scope: Scope, allow: Allow, faults: FaultList) -> None:
        self._faults = faults
        self._names = NameResolver(scope, allow, faults)
        self._expect = Expectations(faults)
        self._calls = CallChecker(self.check, self._names, self._expect, faults)

    def check(self, node: Node) -> Term | None:
        """The checked term, or None when a fault was found in it."""
        if isinstance(node, Literal):
            return _constant(node)
        if isinstance(node, Name | Select):
            return self._names.path(node)
        if isinstance(node, Call):
            return self._calls.call(node)
        if isinstance(node, ListOf):
            mend = "Write value in [a, b] to test for one of several"
            self._faults.add(node.position, "a list stands only on the right of in", mend)
            return None
        return self._operation(node)

    def check_whole(self, node: Node, kind: ValueKind | None) -> Term | None:
        """As ``check``, and the result must be of ``kind`` (None: any)."""
        term = self.check(node)
        if term is None or kind is None:
            return term
        return term if self._expect.kind(node, term, kind, "the result") else None

    def _operation(self, node: Operation) -> Term | None:
        if node.operator in ("&&", "||", "!"):
            return self._logic(node)
        if node.operator == "?:":
            return self._conditional(node)
        if node.operator == "in":
            return self._member(node)
        if node.operator in COMPARISONS:
            return self._comparison(node)
        return self._negate(node) if len(node.operands) == 1 else self._arithmetic(node)

    def _logic(self, node: Operation) -> Term | None:
        what = f"each side of {node.operator}" if len(node.operands) > 1 else "what ! turns round"
        terms = [self._flag(operand, what) for operand in node.operands]
        good = tuple(term for term in terms if term is not None)
        return Apply(node.operator, good, "flag") if len(good) == len(terms) else None

    def _flag(self, node: Node, what: str) -> Term | None:
        term = self.check(node)
        if term is None or not self._expect.kind(node, term, "flag", what):
            return None
        return term

    def _conditional(self, node: Operation) -> Term | None:
        condition = self._flag(node.operands[0], "the part before ?")
        yes, no = self.check(node.operands[1]), self.check(node.operands[2])
        if yes is None or no is None:
            return None
        if not self._expect.same_kind(node.operands[1:], yes, no, "value of ? :"):
            return None
        if not self._expect.same_unit(node.position, yes, no, "the two values of ? :"):
            return None
        if condition is None:
            return None
        return Apply("?:", (condition, yes, no), yes.kind, either(yes.unit, no.unit))

    def _member(self, node: Operation) -> Term | None:
        value, choices = self.check(node.operands[0]), node.operands[1]
        if not isinstance(choices, ListOf) or not choices.items:
            mend = "Write value in ['a', 'b']"
            self._faults.add(start(choices), "in needs a list of constants", mend)
            return None
        if value is None:
            return None
        items = [self._choice(item, value) for item in choices.items]
        good = tuple(item for item in items if item is not None)
        return Apply("in", (value, *good), "flag") if len(good) == len(items) else None

    def _choice(self, item: Node, value: Term) -> Term | None:
        if not isinstance(item, Literal):
            mend = "Compare with == instead"
            self._faults.add(start(item), "a list holds constants only", mend)
            return None
        term = _constant(item)
        if not self._expect.kind(item, term, value.kind, "each item of this list"):
            return None
        return term if self._expect.possible(item, term, value) else None

    def _comparison(self, node: Operation) -> Term | None:
        left, right = (self.check(operand) for operand in node.operands)
        if left is None or right is None or not self._comparable(node, left, right):
            return None
        what = f"the two sides of {node.operator}"
        if not self._expect.same_unit(node.position, left, right, what):
            return None
        return Apply(node.operator, (left, right), "flag")

    def _comparable(self, node: Operation, left: Term, right: Term) -> bool:
        first, second = node.operands
        of = f"side of {node.operator}"
        if node.operator in ("==", "!="):
            return (
                self._expect.same_kind(node.operands, left, right, of)
                and self._expect.possible(second, right, left)
                and self._expect.possible(first, left, right)
            )
        # CEL orders numbers of both kinds against each other, though it does not equate them.
        if left.kind in NUMERIC and right.kind in NUMERIC:
            return True
        return self._expect.ordered(node, left) and self._expect.same_kind(
            node.operands, left, right, of
        )

    def _negate(self, node: Operation) -> Term | None:
        term = self.check(node.operands[0])
        if term is None or not self._expect.numeric(node.operands[0], term, "what - turns round"):
            return None
        return Apply("negate", (term,), term.kind, term.unit)

    def _arithmetic(self, node: Operation) -> Term | None:
        left, right = (self.check(operand) for operand in node.operands)
        if left is None or right is None or not self._arithmetic_kinds(node, left, right):
            return None
        if node.operator in ("*", "/"):
            unit = product(left.unit, right.unit, 1 if node.operator == "*" else -1)
            return Apply(node.operator, (left, right), left.kind, unit)
        what = f"the two sides of {node.operator}"
        if not self._expect.same_unit(node.position, left, right, what):
            return None
        return Apply(node.operator, (left, right), left.kind, either(left.unit, right.unit))

    def _arithmetic_kinds(self, node: Operation, left: Term, right: Term) -> bool:
        (first, second), of = node.operands, f"side of {node.operator}"
        if node.operator == "+" and left.kind == "text":
            return self._expect.same_kind(node.operands, left, right, of)
        if node.operator == "%":
            good = self._expect.kind(first, left, "whole", f"the left {of}")
            return self._expect.kind(second, right, "whole", f"the right {of}") and good
        good = self._expect.numeric(first, left, f"the left {of}")
        good = self._expect.numeric(second, right, f"the right {of}") and good
        return good and self._expect.same_kind(node.operands, left, right, of)


def _constant(node: Literal) -> Constant:
    value = node.value
    if isinstance(value, bool):
        return Constant(value, "flag")
    if isinstance(value, str):
        return Constant(value, "text")
    return Constant(value, "whole" if isinstance(value, int) else "number")
