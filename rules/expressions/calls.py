"""Checks calls: methods of texts, functions of the language, engine functions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from rules.catalog import ValueKind
from rules.engine.functions import FUNCTIONS, EngineFunction, Parameter
from rules.expressions.expectations import Expectations, start, unit_words
from rules.expressions.faultlist import FaultList, listed, nearest
from rules.expressions.names import READ_FUNCTIONS, NameResolver
from rules.expressions.syntax import Call, Node, show
from rules.expressions.terms import Apply, Term
from rules.expressions.units import agree, either, parse_unit, show_unit

METHODS: Final[Mapping[str, tuple[int, ValueKind]]] = {
    "startsWith": (1, "flag"),
    "endsWith": (1, "flag"),
    "contains": (1, "flag"),
    "size": (0, "whole"),
}
"""Methods of texts: number of arguments (texts), kind of the result."""

LANGUAGE_FUNCTIONS: Final[Mapping[str, int]] = {
    "min": 2, "max": 2, "abs": 1, "double": 1, "int": 1, "bare": 1, "size": 1,
}  # fmt: skip
"""Functions of the language itself: number of arguments."""

_RESULT_KINDS: Final[Mapping[str, ValueKind]] = {"double": "number", "int": "whole"}

Check = Callable[[Node], Term | None]
Meets = Callable[[Node, Term], bool]


class CallChecker:
    """``check`` checks an argument."""

    def __init__(
        self, check: Check, names: NameResolver, expect: Expectations, faults: FaultList
    ) -> None:
        self._check = check
        self._names = names
        self._expect = expect
        self._faults = faults

    def call(self, node: Call) -> Term | None:
        """The checked call, or None when a fault was found in it."""
        if node.target is not None:
            return self._method(node, node.target)
        if node.name in READ_FUNCTIONS:
            return self._names.call(node)
        if node.name in LANGUAGE_FUNCTIONS:
            return self._language_function(node)
        if node.name in FUNCTIONS:
            return self._engine_function(node, FUNCTIONS[node.name])
        self._unknown_function(node)
        return None

    def _unknown_function(self, node: Call) -> None:
        known = {*READ_FUNCTIONS, *LANGUAGE_FUNCTIONS, *FUNCTIONS}
        close = nearest(node.name, known)
        mend = f"Write {close}(…)" if close else f"Use one of {listed(known, most=len(known))}"
        self._faults.add(node.position, f"there is no function {node.name!r}", mend)

    def _method(self, node: Call, target: Node) -> Term | None:
        if node.name not in METHODS:
            is_function = node.name in FUNCTIONS or node.name in LANGUAGE_FUNCTIONS
            arguments = ", ".join(map(show, (target, *node.arguments)))
            close = nearest(node.name, METHODS)
            mend = f"Write .{close}(…)" if close else f"Use one of {listed(METHODS)}"
            mend = f"Write {node.name}({arguments})" if is_function else mend
            self._faults.add(node.position, f"there is no method {node.name!r}", mend)
            return None
        count, kind = METHODS[node.name]
        if not self._count(node, count):
            return None
        return self._of_texts(node, (target, *node.arguments), kind)

    def _of_texts(self, node: Call, operands: Sequence[Node], kind: ValueKind) -> Term | None:
        what = f"what {node.name} takes"
        terms = self._all(operands, lambda o, term: self._expect.kind(o, term, "text", what))
        return None if terms is None else Apply(node.name, terms, kind)

    def _language_function(self, node: Call) -> Term | None:
        if not self._count(node, LANGUAGE_FUNCTIONS[node.name]):
            return None
        if node.name == "size":
            return self._of_texts(node, node.arguments, "whole")
        what = f"what {node.name} takes"
        terms = self._all(node.arguments, lambda o, term: self._expect.numeric(o, term, what))
        if terms is None:
            return None
        return self._of_one(node, terms[0]) if len(terms) == 1 else self._of_pair(node, *terms)

    def _of_one(self, node: Call, term: Term) -> Term:
        unit = None if node.name == "bare" else term.unit
        return Apply(node.name, (term,), _RESULT_KINDS.get(node.name, term.kind), unit)

    def _of_pair(self, node: Call, left: Term, right: Term) -> Term | None:
        of = f"argument of {node.name}"
        if not self._expect.same_kind(node.arguments, left, right, of):
            return None
        what = f"the two arguments of {node.name}"
        if not self._expect.same_unit(node.position, left, right, what):
            return None
        return Apply(node.name, (left, right), left.kind, either(left.unit, right.unit))

    def _engine_function(self, node: Call, function: EngineFunction) -> Term | None:
        parameters = function.parameters
        if not self._count(node, len(parameters), [parameter.name for parameter in parameters]):
            return None
        by_argument = dict(zip(map(id, node.arguments), parameters, strict=True))

        def fits(argument: Node, term: Term) -> bool:
            parameter = by_argument[id(argument)]
            return self._argument(f"{parameter.name} of {node.name}", parameter, argument, term)

        terms = self._all(node.arguments, fits)
        if terms is None:
            return None
        return Apply(node.name, terms, function.kind, parse_unit(function.unit), function.call)

    def _argument(self, what: str, parameter: Parameter, node: Node, term: Term) -> bool:
        if not self._expect.kind(node, term, parameter.kind, what):
            return False
        unit = parse_unit(parameter.unit)
        if agree(term.unit, unit):
            return True
        problem = f"{what} is in {show_unit(unit)}, but this is in {unit_words(term)}"
        self._faults.add(start(node), problem, f"Give a value in {show_unit(unit)}")
        return False

    def _all(self, nodes: Sequence[Node], meets: Meets) -> tuple[Term, ...] | None:
        """The checked terms when every one meets the expectation; faults of all are recorded."""
        pairs = [(node, self._check(node)) for node in nodes]
        good = [term for node, term in pairs if term is not None and meets(node, term)]
        return tuple(good) if len(good) == len(pairs) else None

    def _count(self, node: Call, wanted: int, names: Sequence[str] = ()) -> bool:
        given = len(node.arguments)
        if given == wanted:
            return True
        plural = "" if wanted == 1 else "s"
        problem = f"{node.name} takes {wanted} argument{plural}, but {given} given"
        mend = f"Write {node.name}({', '.join(names)})" if names else f"Give {wanted}"
        self._faults.add(node.position, problem, mend)
        return False
