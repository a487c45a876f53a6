"""Random expressions that pass the checker, and random answers to what they read.

Everything is drawn from one seeded generator, so a case is the same on every run.
"""

from __future__ import annotations

from random import Random
from typing import Final

from rules.catalog import ValueKind
from rules.expressions import Scope
from rules.expressions.syntax import Call, ListOf, Literal, Name, Node, Operation, Select
from rules.values import Value
from tests.expressions.bike import by_name, declared

KINDS: Final[tuple[ValueKind, ...]] = ("flag", "number", "whole", "text")

_FIELDS: Final = by_name(*(declared(f"{kind}_{letter}", kind) for kind in KINDS for letter in "ab"))

SCOPE: Final = Scope(
    facts=_FIELDS,
    part_types={"camshaft": _FIELDS, "lifter": _FIELDS},
    steps=frozenset({"cover_off", "tank_off"}),
)

_TEXTS: Final = ("", "a", "b", "ab", "air", "Air", "é", "🏍", "a'b", 'q"', "\\", "\n")
_NUMBERS: Final = (0.0, 0.5, 1.0, 1.5, -2.25, 11.4, 12.9, 96.0, 1e6, -1e-3)
_DISTANCES_KM: Final = (0, 1, 12, 40_000, 120_000)
_WHOLES: Final = (0, 1, 2, 3, -1, -7, 12, 1998, 2**31, 2**62, 2**63 - 1, -(2**63))


def draw_value(rng: Random, kind: ValueKind) -> Value:
    """A value of the kind; small ones often, so that comparisons come out both ways."""
    if kind == "flag":
        return rng.random() < 0.5
    if kind == "text":
        return rng.choice(_TEXTS)
    if kind == "number":
        return rng.choice(_NUMBERS)
    return rng.choice(_WHOLES if rng.random() < 0.4 else _WHOLES[:7])


class Maker:
    """Makes syntax trees of a wanted kind, at most ``depth`` operators deep."""

    def __init__(self, rng: Random) -> None:
        self._rng = rng

    def make(self, kind: ValueKind, depth: int) -> Node:
        """A tree that the checker accepts and that gives ``kind``."""
        if depth == 0 or self._rng.random() < 0.15:
            return self._leaf(kind)
        makers = {
            "flag": self._flag, "number": self._number, "whole": self._whole, "text": self._text,
        }  # fmt: skip
        return makers[kind](depth - 1)

    def _leaf(self, kind: ValueKind) -> Node:
        roll = self._rng.random()
        if roll < 0.25:
            return Literal(draw_value(self._rng, kind))
        if kind == "flag" and roll < 0.45:
            return self._asked()
        if kind == "whole" and roll < 0.35:
            return Call("bare", (Call("run_km", (Literal(self._part_type()),)),))
        return self._read(kind)

    def _read(self, kind: ValueKind) -> Node:
        name = f"{kind}_{self._rng.choice('ab')}"
        root = self._rng.choice(["vehicle", "target", "fitted"])
        if root == "vehicle":
            return Select(Name("vehicle"), name)
        if root == "target":
            return Select(Name(self._part_type()), name)
        return Select(Select(Name("fitted"), self._part_type()), name)

    def _part_type(self) -> str:
        return self._rng.choice(["camshaft", "lifter"])

    def _asked(self) -> Node:
        name = self._rng.choice(["renewed", "present", "doing"])
        step = self._rng.choice(["cover_off", "tank_off"])
        return Call(name, (Literal(step if name == "doing" else self._part_type()),))

    def _flag(self, depth: int) -> Node:
        makers = (self._logic, self._comparison, self._other_flag)
        return self._rng.choice(makers)(depth)

    def _logic(self, depth: int) -> Node:
        operator = self._rng.choice(["&&", "||", "&&", "||", "!", "?:"])
        if operator == "!":
            return Operation("!", (self.make("flag", depth),))
        if operator == "?:":
            return self._conditional("flag", depth)
        count = self._rng.choice([2, 2, 3])
        return Operation(operator, tuple(self.make("flag", depth) for _ in range(count)))

    def _conditional(self, kind: ValueKind, depth: int) -> Node:
        condition = self.make("flag", depth)
        return Operation("?:", (condition, self.make(kind, depth), self.make(kind, depth)))

    def _comparison(self, depth: int) -> Node:
        kind = self._rng.choice(KINDS)
        operators = ["==", "!="] if kind == "flag" else ["==", "!=", "<", "<=", ">", ">="]
        return self._binary(self._rng.choice(operators), kind, depth)

    def _binary(self, operator: str, kind: ValueKind, depth: int) -> Node:
        return Operation(operator, (self.make(kind, depth), self.make(kind, depth)))

    def _other_flag(self, depth: int) -> Node:
        if self._rng.random() < 0.5:
            method = self._rng.choice(["startsWith", "endsWith", "contains"])
            return Call(method, (self.make("text", depth),), self.make("text", depth))
        kind = self._rng.choice(KINDS)
        items = [Literal(draw_value(self._rng, kind)) for _ in range(self._rng.choice([1, 2, 3]))]
        return Operation("in", (self.make(kind, depth), ListOf(tuple(items))))

    def _number(self, depth: int) -> Node:
        choice = self._rng.choice(["+", "-", "*", "/", "negate", "double", "?:", "min", "abs"])
        if choice == "/":
            return Operation("/", (self.make("number", depth), self._divisor(depth)))
        if choice == "double":
            return Call("double", (self.make(self._rng.choice(["number", "whole"]), depth),))
        return self._numeric(choice, "number", depth)

    def _divisor(self, depth: int) -> Node:
        """Never zero: there the comparison implementation departs from IEEE 754."""
        away_from_zero = Call("abs", (self.make("number", depth),))
        return Call("max", (away_from_zero, Literal(0.25)))

    def _whole(self, depth: int) -> Node:
        operators = ["+", "-", "*", "/", "%", "negate"]
        choice = self._rng.choice([*operators, "int", "size", "?:", "min", "abs"])
        if choice == "int":
            return Call("int", (self._convertible(depth),))
        if choice == "size":
            text = self.make("text", depth)
            return Call("size", (text,)) if self._rng.random() < 0.5 else Call("size", (), text)
        return self._numeric(choice, "whole", depth)

    def _convertible(self, depth: int) -> Node:
        """Never -2**63 as a number: there the comparison implementation departs from CEL."""
        if self._rng.random() < 0.3:
            return self.make("whole", depth)
        return Call("max", (self.make("number", depth), Literal(-1e18)))

    def _numeric(self, choice: str, kind: ValueKind, depth: int) -> Node:
        if choice == "negate":
            return Operation("-", (self.make(kind, depth),))
        if choice == "?:":
            return self._conditional(kind, depth)
        if choice == "abs":
            return Call("abs", (self.make(kind, depth),))
        if choice == "min":
            pair = (self.make(kind, depth), self.make(kind, depth))
            return Call(self._rng.choice(["min", "max"]), pair)
        return self._binary(choice, kind, depth)

    def _text(self, depth: int) -> Node:
        if self._rng.random() < 0.3:
            return self._conditional("text", depth)
        return self._binary("+", "text", depth)


def draw_answers(rng: Random) -> dict[str, Value]:
    """A value for every name that can be read, keyed as expressions spell it."""
    roots = ("vehicle", "camshaft", "lifter", "fitted.camshaft", "fitted.lifter")
    answers = {
        f"{root}.{name}": draw_value(rng, definition.kind)
        for root in roots
        for name, definition in _FIELDS.items()
    }
    for part_type in SCOPE.part_types:
        answers[f"renewed('{part_type}')"] = draw_value(rng, "flag")
        answers[f"present('{part_type}')"] = draw_value(rng, "flag")
        answers[f"run_km('{part_type}')"] = rng.choice(_DISTANCES_KM)
    for step in sorted(SCOPE.steps):
        answers[f"doing('{step}')"] = draw_value(rng, "flag")
    return answers
