"""The checked, compiled expression, and how to get one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from typing import Final

from rules.catalog import ValueKind
from rules.expressions.analysis import FactUse, constants, fold, loose_reads, reads
from rules.expressions.checker import Checker
from rules.expressions.closures import build, finite, spread
from rules.expressions.faultlist import FaultList
from rules.expressions.parser import parse
from rules.expressions.scope import Allow, Environment, Reads, Scope
from rules.expressions.terms import COMPARISONS, Apply, Evaluate, Read, Term, reads_of
from rules.expressions.units import either, show_unit
from rules.values import Failure, Outcome, Value

_MARGIN_SIGN: Final = {"<=": 1, "<": 1, ">=": -1, ">": -1}


@dataclass(frozen=True, slots=True, eq=False)
class Expression:
    """An expression that passed every check.

    ``kind`` and ``unit`` are the result's; ``unit`` is None when none is stated.
    ``compared_with`` maps a fact to the constants it is compared with directly;
    ``opaque_facts`` are read in some other way. A yes/no fact used as a condition counts
    as compared with ``true``. ``margin_unit`` is the unit of the margin, if there is one.
    """

    text: str
    kind: ValueKind
    unit: str | None
    reads: Reads
    compared_with: Mapping[str, frozenset[Value]]
    opaque_facts: frozenset[str]
    margin_unit: str | None
    _term: Term = field(repr=False)
    _run: Evaluate = field(repr=False)
    _sides: tuple[Evaluate, Evaluate] | None = field(repr=False)
    _sign: int = field(repr=False)

    def evaluate(self, env: Environment) -> Outcome:
        """The value, or ``Unknown``, or ``Failure``. Never raises for what ``env`` gives."""
        return self._run(env)

    @property
    def has_margin(self) -> bool:
        """Whether the whole expression compares two numbers with <=, <, >= or >."""
        return self._sign != 0

    @property
    def left_is_bounded(self) -> bool:
        """Whether the left side is what must stay at or below the right (<=, <)."""
        return self._sign > 0

    def margin(self, env: Environment) -> Outcome | None:
        """How much the comparison has to spare, in ``margin_unit``; negative: it fails.

        Right less left for ``<=`` and ``<``, left less right for ``>=`` and ``>``, as a
        float. None when the expression has no margin.
        """
        if self._sides is None or not self._sign:
            return None
        left, right = self._sides[0](env), self._sides[1](env)
        if isinstance(left, int | float) and isinstance(right, int | float):
            return _finite_margin(_difference(left, right) * self._sign)
        return spread(left, right)

    def sides(self, env: Environment) -> tuple[Outcome, Outcome] | None:
        """Left and right outcome of a top-level comparison; None for anything else."""
        return None if self._sides is None else (self._sides[0](env), self._sides[1](env))


def _difference(left: float, right: float) -> float:
    """Right less left; exact between whole numbers, in doubles otherwise."""
    if isinstance(left, int) and isinstance(right, int):
        return float(right - left)
    return float(right) - float(left)


def _finite_margin(margin: float) -> Outcome:
    return margin if isfinite(margin) else Failure("the margin is not a finite number")


def compile_expression(
    text: str,
    scope: Scope,
    *,
    kind: ValueKind | None,
    where: str,
    allow: Allow = Allow.ALL,
    tolerance: float = 0.0,
) -> Expression:
    """Parse, check and compile. Raises ``Faulty`` with every fault found.

    ``kind``: what the result must be; None: anything. ``where`` is the path that faults
    carry. ``tolerance``: comparisons that involve a number take values that close as
    equal, so that <=, >= and == hold and <, > and != do not.
    """
    node = parse(text, where)
    faults = FaultList(where)
    term = Checker(scope, allow, faults).check_whole(node, kind)
    faults.raise_if_any()
    if term is None:  # only a faulty part gives None, and that was raised
        faults.refuse()
    return _compiled(text, fold(term, tolerance), tolerance)


def _compiled(text: str, term: Term, tolerance: float) -> Expression:
    use = FactUse(term)
    run = build(term, tolerance)
    sides = _side_terms(term)
    sign = _margin_sign(term)
    return Expression(
        text=text,
        kind=term.kind,
        unit=show_unit(term.unit),
        reads=reads(term),
        compared_with=use.compared_with,
        opaque_facts=use.opaque,
        margin_unit=_margin_unit(sides) if sign else None,
        _term=term,
        _run=finite(run) if term.kind == "number" else run,
        _sides=None if sides is None else (build(sides[0], tolerance), build(sides[1], tolerance)),
        _sign=sign,
    )


def _side_terms(term: Term) -> tuple[Term, Term] | None:
    if isinstance(term, Apply) and term.operator in COMPARISONS:
        return term.operands[0], term.operands[1]
    return None


def _margin_sign(term: Term) -> int:
    if not isinstance(term, Apply) or term.operands[0].kind == "text":
        return 0
    return _MARGIN_SIGN.get(term.operator, 0)


def _margin_unit(sides: tuple[Term, Term] | None) -> str | None:
    if sides is None:
        return None
    left, right = sides
    return show_unit(either(left.unit, right.unit))


def explain(expression: Expression, env: Environment) -> tuple[tuple[str, Outcome], ...]:
    """Each name that the expression reads, with its value, in order of first appearance."""
    found: dict[str, Outcome] = {}
    for read in reads_of(expression._term):
        if read.spelled not in found:
            found[read.spelled] = build(read)(env)
    return tuple(found.items())


@dataclass(frozen=True, slots=True)
class Anatomy:
    """What values could tell an expression's outcomes apart.

    ``names``: every name read, in order of first appearance. ``constants``: every constant
    in it. ``loose``: names used otherwise than compared with constants alone, so that no
    list of values stands for all.
    """

    names: tuple[Read, ...]
    constants: frozenset[Value]
    loose: frozenset[Read]


def anatomy(expression: Expression) -> Anatomy:
    """The names and constants that an expression is made of."""
    term = expression._term
    return Anatomy(tuple(dict.fromkeys(reads_of(term))), constants(term), loose_reads(term))
