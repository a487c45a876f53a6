"""Syntax tree to checked terms: names, kinds and units (CEL: gradual type checking)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rules.catalog import ValueKind
from rules.engine.functions import FUNCTIONS, EngineFunction
from rules.expressions.faultlist import FaultList, listed, nearest
from rules.expressions.names import READ_FUNCTIONS, NameResolver, dotted
from rules.expressions.scope import Allow, Scope
from rules.expressions.syntax import Call, ListOf, Literal, Name, Node, Operation, Select, show
from rules.expressions.terms import COMPARISONS, Apply, Constant, Read, Term
from rules.expressions.units import agree, parse_unit, product, show_unit

KIND_WORDS: Final[Mapping[ValueKind, str]] = {
    "text": "a text",
    "number": "a decimal number",
    "whole": "a whole number",
    "flag": "a yes/no value",
}
_NUMERIC: Final = ("number", "whole")
_ORDERED: Final = ("number", "whole", "text")

METHODS: Final[Mapping[str, tuple[int, ValueKind]]] = {
    "startsWith": (1, "flag"),
    "endsWith": (1, "flag"),
    "contains": (1, "flag"),
    "size": (0, "whole"),
}
"""Methods of texts: number of text arguments, kind of the result."""

LANGUAGE_FUNCTIONS: Final[Mapping[str, int]] = {
    "min": 2, "max": 2, "abs": 1, "double": 1, "int": 1, "bare": 1, "size": 1,
}  # fmt: skip
"""Functions of the language itself and how many arguments they take."""


class Checker:
    """Checks one expression. A part that is wrong gives None, so it is said only once."""

    def __init__(self, scope: Scope, allow: Allow, faults: FaultList) -> None:
        self._faults = faults
        self._names = NameResolver(scope, allow, faults)

    def check(self, node: Node) -> Term | None:
        """The checked term, or None when a fault was found in it."""
        if isinstance(node, Literal):
            return Constant(node.value, _kind_of(node))
        if isinstance(node, Name | Select):
            return self._names.path(node)
        if isinstance(node, Call):
            return self._call(node)
        if isinstance(node, ListOf):
            mend = "Write value in [a, b] to test for one of several"
            self._faults.add(node.position, "a list stands only on the right of in", mend)
            return None
        return self._operation(node)

    def expect_kind(self, node: Node, term: Term, kind: ValueKind, what: str) -> bool:
        """Whether ``term`` is of ``kind``; if not, the fault is recorded."""
        if term.kind == kind:
            return True
        problem = f"{what} must be {KIND_WORDS[kind]}, but this is {KIND_WORDS[term.kind]}"
        self._faults.add(_start(node), problem, _kind_mend(node, term, kind))
        return False

    def _operation(self, node: Operation) -> Term | None:
        if node.operator in ("&&", "||") or (node.operator == "!"):
            return self._logic(node)
        if node.operator == "?:":
            return self._conditional(node)
        if node.operator == "in":
            return self._member(node)
        if node.operator in COMPARISONS:
            return self._comparison(node)
        return self._negate(node) if len(node.operands) == 1 else self._arithmetic(node)

    def _logic(self, node: Operation) -> Term | None:
        pairs = [(operand, self.check(operand)) for operand in node.operands]
        what = f"each side of {node.operator}" if len(pairs) > 1 else "what ! turns round"
        good = [
            term
            for operand, term in pairs
            if term is not None and self.expect_kind(operand, term, "flag", what)
        ]
        return Apply(node.operator, tuple(good), "flag") if len(good) == len(pairs) else None

    def _conditional(self, node: Operation) -> Term | None:
        condition, yes, no = (self.check(operand) for operand in node.operands)
        if condition is not None:
            good = self.expect_kind(node.operands[0], condition, "flag", "the part before ?")
            condition = condition if good else None
        if yes is None or no is None:
            return None
        values = Operation("?:", node.operands[1:], node.position)
        if not self._expect_pair(values, yes, no, "the right value of ? :"):
            return None
        if not self._same_unit(node, yes, no, "the two values of ? :"):
            return None
        if condition is None:
            return None
        return Apply(
            "?:", (condition, yes, no), yes.kind, yes.unit if yes.unit is not None else no.unit
        )

    def _member(self, node: Operation) -> Term | None:
        value, choices = self.check(node.operands[0]), node.operands[1]
        if not isinstance(choices, ListOf) or not choices.items:
            mend = "Write value in ['a', 'b']"
            self._faults.add(choices.position, "in needs a list of constants", mend)
            return None
        if value is None:
            return None
        items = [self._choice(item, value) for item in choices.items]
        found = tuple(item for item in items if item is not None)
        return Apply("in", (value, *found), "flag") if len(found) == len(items) else None

    def _choice(self, item: Node, value: Term) -> Term | None:
        if not isinstance(item, Literal):
            self._faults.add(
                item.position, "a list holds constants only", "Compare with == instead"
            )
            return None
        term = Constant(item.value, _kind_of(item))
        if not self.expect_kind(item, term, value.kind, "each item of this list"):
            return None
        return term if self._possible(item, term, value) else None

    def _comparison(self, node: Operation) -> Term | None:
        left, right = (self.check(operand) for operand in node.operands)
        if left is None or right is None:
            return None
        if not self._comparable(node, left, right):
            return None
        if not self._same_unit(node, left, right, f"the two sides of {node.operator}"):
            return None
        if node.operator in ("==", "!="):
            first, second = node.operands
            if not (self._possible(second, right, left) and self._possible(first, left, right)):
                return None
        return Apply(node.operator, (left, right), "flag")

    def _comparable(self, node: Operation, left: Term, right: Term) -> bool:
        if node.operator in ("==", "!="):
            what = f"the right side of {node.operator}"
            return self._expect_pair(node, left, right, what)
        if left.kind in _NUMERIC and right.kind in _NUMERIC:
            return True
        if left.kind not in _ORDERED:
            problem = f"{KIND_WORDS[left.kind]} has no order for {node.operator}"
            self._faults.add(node.position, problem, _order_mend(node))
            return False
        return self._expect_pair(node, left, right, f"the right side of {node.operator}")

    def _expect_pair(self, node: Operation, left: Term, right: Term, what: str) -> bool:
        """Both operands of one kind; the mend goes to the side that can be mended."""
        first, second = node.operands
        if left.kind == right.kind:
            return True
        if (left.kind, right.kind) == ("whole", "number"):
            return self.expect_kind(first, left, "number", what.replace("right", "left"))
        return self.expect_kind(second, right, left.kind, what)

    def _possible(self, node: Node, constant: Term, other: Term) -> bool:
        """A text constant must be one of the values that the other side can have."""
        if not isinstance(constant, Constant) or not isinstance(other, Read):
            return True
        values = other.definition.values if other.definition is not None else ()
        if not values or constant.value in values:
            return True
        problem = f"{other.spelled} is never {show(node)}"
        close = nearest(str(constant.value), values)
        mend = f"Write '{close}'" if close else f"Use one of {', '.join(values)}"
        self._faults.add(node.position, problem, mend)
        return False

    def _negate(self, node: Operation) -> Term | None:
        term = self.check(node.operands[0])
        if term is None or not self._numeric(node.operands[0], term, "what - turns round"):
            return None
        return Apply("negate", (term,), term.kind, term.unit)

    def _arithmetic(self, node: Operation) -> Term | None:
        left, right = (self.check(operand) for operand in node.operands)
        if left is None or right is None or not self._arithmetic_kinds(node, left, right):
            return None
        if node.operator in ("*", "/"):
            sign = 1 if node.operator == "*" else -1
            unit = product(left.unit, right.unit, sign)
            return Apply(node.operator, (left, right), left.kind, unit)
        if not self._same_unit(node, left, right, f"the two sides of {node.operator}"):
            return None
        unit = left.unit if left.unit is not None else right.unit
        return Apply(node.operator, (left, right), left.kind, unit)

    def _arithmetic_kinds(self, node: Operation, left: Term, right: Term) -> bool:
        if node.operator == "+" and left.kind == "text":
            return self._expect_pair(node, left, right, "the right side of +")
        first, second = node.operands
        what = f"each side of {node.operator}"
        if node.operator == "%":
            good = self.expect_kind(first, left, "whole", what)
            return self.expect_kind(second, right, "whole", what) and good
        if not (self._numeric(first, left, what) and self._numeric(second, right, what)):
            return False
        return self._expect_pair(node, left, right, f"the right side of {node.operator}")

    def _numeric(self, node: Node, term: Term, what: str) -> bool:
        if term.kind in _NUMERIC:
            return True
        problem = f"{what} must be a number, but this is {KIND_WORDS[term.kind]}"
        self._faults.add(_start(node), problem, "Use a number")
        return False

    def _same_unit(self, node: Node, left: Term, right: Term, what: str) -> bool:
        if agree(left.unit, right.unit):
            return True
        problem = f"{what} have different units, {_unit_words(left)} and {_unit_words(right)}"
        mend = "Compare like with like, or convert with bare(x) and a factor"
        self._faults.add(node.position, problem, mend)
        return False

    def _call(self, node: Call) -> Term | None:
        if node.target is not None:
            return self._method(node, node.target)
        if node.name in READ_FUNCTIONS:
            return self._names.call(node)
        if node.name in LANGUAGE_FUNCTIONS:
            return self._language_function(node)
        if node.name in FUNCTIONS:
            return self._engine_function(node, FUNCTIONS[node.name])
        self._unknown_function(node, {*READ_FUNCTIONS, *LANGUAGE_FUNCTIONS, *FUNCTIONS})
        return None

    def _unknown_function(self, node: Call, known: set[str]) -> None:
        close = nearest(node.name, known)
        mend = f"Write {close}(…)" if close else f"Use one of {listed(known, most=len(known))}"
        self._faults.add(node.position, f"there is no function {node.name!r}", mend)

    def _method(self, node: Call, target: Node) -> Term | None:
        if node.name not in METHODS:
            names = dotted(target)
            mend = f"Use one of {listed(METHODS)}"
            if names is not None and (node.name in FUNCTIONS or node.name in LANGUAGE_FUNCTIONS):
                mend = f"Write {node.name}({'.'.join(names)}, …)"
            self._faults.add(node.position, f"there is no method {node.name!r}", mend)
            return None
        count, kind = METHODS[node.name]
        return self._of_texts(node, (target, *node.arguments), count + 1, kind)

    def _of_texts(
        self, node: Call, operands: tuple[Node, ...], count: int, kind: ValueKind
    ) -> Term | None:
        terms = [self.check(operand) for operand in operands]
        if not self._count(
            node, len(operands) - (node.target is not None), count - (node.target is not None)
        ):
            return None
        good = [
            term
            for operand, term in zip(operands, terms, strict=True)
            if term is not None
            and self.expect_kind(operand, term, "text", f"what {node.name} takes")
        ]
        return Apply(node.name, tuple(good), kind) if len(good) == len(terms) else None

    def _count(self, node: Call, given: int, wanted: int) -> bool:
        if given == wanted:
            return True
        problem = f"{node.name} takes {wanted} argument{'s' * (wanted != 1)}, but {given} are given"
        self._faults.add(node.position, problem, f"Give {wanted}")
        return False

    def _language_function(self, node: Call) -> Term | None:
        if node.name == "size":
            return self._of_texts(node, node.arguments, 1, "whole")
        terms = [self.check(argument) for argument in node.arguments]
        if not self._count(node, len(terms), LANGUAGE_FUNCTIONS[node.name]):
            return None
        good = [
            term
            for argument, term in zip(node.arguments, terms, strict=True)
            if term is not None and self._numeric(argument, term, f"what {node.name} takes")
        ]
        if len(good) != len(terms):
            return None
        return self._of_pair(node, good) if len(good) == 2 else _of_one(node.name, good[0])

    def _of_pair(self, node: Call, terms: list[Term]) -> Term | None:
        left, right = terms
        as_operation = Operation(node.name, node.arguments, node.position)
        if not self._expect_pair(as_operation, left, right, f"the right argument of {node.name}"):
            return None
        if not self._same_unit(node, left, right, f"the two arguments of {node.name}"):
            return None
        unit = left.unit if left.unit is not None else right.unit
        return Apply(node.name, (left, right), left.kind, unit)

    def _engine_function(self, node: Call, function: EngineFunction) -> Term | None:
        terms = [self.check(argument) for argument in node.arguments]
        if not self._engine_count(node, function):
            return None
        good = [
            term
            for argument, term, index in zip(node.arguments, terms, range(len(terms)), strict=True)
            if term is not None and self._argument(function, index, argument, term)
        ]
        if len(good) != len(terms):
            return None
        unit = parse_unit(function.unit)
        return Apply(function.name, tuple(good), function.kind, unit, function.call)

    def _engine_count(self, node: Call, function: EngineFunction) -> bool:
        if len(node.arguments) == len(function.parameters):
            return True
        given, wanted = len(node.arguments), len(function.parameters)
        problem = f"{node.name} takes {wanted} arguments, but {given} are given"
        signature = ", ".join(parameter.name for parameter in function.parameters)
        self._faults.add(node.position, problem, f"Write {node.name}({signature})")
        return False

    def _argument(self, function: EngineFunction, index: int, node: Node, term: Term) -> bool:
        parameter = function.parameters[index]
        what = f"{parameter.name} of {function.name}"
        if not self.expect_kind(node, term, parameter.kind, what):
            return False
        unit = parse_unit(parameter.unit)
        if agree(term.unit, unit):
            return True
        problem = f"{what} is in {show_unit(unit)}, but this is {_unit_words(term)}"
        self._faults.add(_start(node), problem, f"Give a value in {show_unit(unit)}")
        return False


def _order_mend(node: Operation) -> str:
    inner = node.operands[0]
    if isinstance(inner, Operation) and inner.operator in COMPARISONS:
        middle = show(inner.operands[1])
        return f"Write {show(inner)} && {middle} {node.operator} {show(node.operands[1])}"
    return "Compare with == or !="


def _of_one(name: str, term: Term) -> Term:
    kinds: dict[str, ValueKind] = {"double": "number", "int": "whole"}
    unit = None if name == "bare" else term.unit
    return Apply(name, (term,), kinds.get(name, term.kind), unit)


def _kind_of(node: Literal) -> ValueKind:
    if isinstance(node.value, bool):
        return "flag"
    if isinstance(node.value, str):
        return "text"
    return "whole" if isinstance(node.value, int) else "number"


def _kind_mend(node: Node, term: Term, wanted: ValueKind) -> str:
    text = show(node)
    literal = isinstance(node, Literal)
    if (term.kind, wanted) == ("whole", "number"):
        return f"Write {text}.0" if literal else f"Write double({text})"
    if (term.kind, wanted) == ("number", "whole"):
        exact = (
            isinstance(node, Literal) and isinstance(node.value, float) and node.value.is_integer()
        )
        return (
            f"Write {int(text.split('.')[0])}"
            if exact and "e" not in text
            else f"Write int({text})"
        )
    if wanted == "text" and literal:
        return f"Write '{text}'"
    if wanted == "flag":
        return f"Compare it with something, as in {text} == …"
    return f"Use {KIND_WORDS[wanted]}"


def _start(node: Node) -> int:
    """Where the text of a node begins."""
    if isinstance(node, Operation) and len(node.operands) > 1:
        return _start(node.operands[0])
    if isinstance(node, Select):
        return _start(node.operand)
    if isinstance(node, Call) and node.target is not None:
        return _start(node.target)
    return node.position


def _unit_words(term: Term) -> str:
    return show_unit(term.unit) or "a pure number"
