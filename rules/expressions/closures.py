"""Checked terms to closures: what runs each time a rule is asked.

Strict operators give ``Unknown`` when any operand is unknown (all that is missing,
together), else the first ``Failure``. ``&&``, ``||`` and ``?:`` are not strict; see
``docs/expressions.md``.
"""

from __future__ import annotations

from collections.abc import Callable
from math import copysign, isfinite
from operator import methodcaller
from typing import Final

from rules.catalog import ValueKind
from rules.expressions.operators import OPERATIONS, Operate, comparison, number_comparison
from rules.expressions.scope import Environment
from rules.expressions.terms import COMPARISONS, Apply, Constant, Evaluate, Read, Term
from rules.values import Failure, Outcome, Unknown, Value

_CLASSES: Final[dict[ValueKind, type]] = {
    "text": str, "number": float, "whole": int, "flag": bool,
}  # fmt: skip
_NOT_FINITE: Final = Failure("the result is not a finite number")


def build(term: Term, tolerance: float = 0.0) -> Evaluate:
    """A function from an environment to the term's outcome."""
    if isinstance(term, Constant):
        return _constant(term.value)
    if isinstance(term, Read):
        return _read(term)
    operands = tuple(build(operand, tolerance) for operand in term.operands)
    if term.operator in ("&&", "||"):
        return _run(operands, decisive=term.operator == "||")
    if term.operator == "?:":
        return _choose(*operands, sure=not _can_fail(term.operands[0]))
    if term.operator == "in":
        return _member(term, operands[0], tolerance)
    return _strict(term, operands, _operation(term, tolerance))


def finite(evaluate: Evaluate) -> Evaluate:
    """The same, but an infinity or NaN that reaches the top is a failure."""

    def run(env: Environment) -> Outcome:
        outcome = evaluate(env)
        return _NOT_FINITE if type(outcome) is float and not isfinite(outcome) else outcome

    return run


def spread(*outcomes: Outcome) -> Unknown | Failure:
    """What a strict operator gives when not all its operands have values.

    An empty place goes before failed arithmetic: a rule that names it does not apply at all.
    """
    missing = [outcome.missing for outcome in outcomes if isinstance(outcome, Unknown)]
    if missing:
        return Unknown(frozenset().union(*missing))
    failures = [outcome for outcome in outcomes if isinstance(outcome, Failure)]
    return next((f for f in failures if f.absent is not None), failures[0])


def _constant(value: Value) -> Evaluate:
    return lambda _env: value


def _read(read: Read) -> Evaluate:
    """Asks the environment, and holds it to the declared kind."""
    ask, wanted = methodcaller(read.source, *read.arguments), _CLASSES[read.kind]

    def run(env: Environment) -> Outcome:
        outcome: Outcome = ask(env)
        return outcome if type(outcome) is wanted else _settle(outcome, read)

    return run


def _settle(outcome: Outcome, read: Read) -> Outcome:
    if isinstance(outcome, Unknown | Failure):
        return outcome
    if read.kind == "number" and type(outcome) is int:
        return float(outcome)
    return Failure(f"{read.spelled} is {outcome!r}, which is not of kind {read.kind}")


def _operation(term: Apply, tolerance: float) -> Operate:
    if term.function is not None:
        return term.function
    first = term.operands[0].kind
    if term.operator in COMPARISONS:
        kinds = {first, term.operands[1].kind}
        if "number" not in kinds:
            return comparison(term.operator)
        compare = number_comparison(term.operator, tolerance)
        # CEL compares a whole number with a number by way of the nearest double.
        return compare if len(kinds) == 1 else lambda a, b: compare(float(a), float(b))
    return OPERATIONS[term.operator, first]


def _strict(term: Apply, operands: tuple[Evaluate, ...], operate: Operate) -> Evaluate:
    classes = tuple(_CLASSES[operand.kind] for operand in term.operands)
    if len(operands) == 1:
        return _strict_one(operands[0], classes[0], operate)
    if len(operands) == 2:
        last = term.operands[1]
        if isinstance(last, Constant):
            return _strict_with_constant(operands[0], classes[0], operate, last.value)
        return _strict_two(operands, classes, operate)
    return _strict_many(operands, classes, operate)


def _strict_one(operand: Evaluate, wanted: type, operate: Operate) -> Evaluate:
    def run(env: Environment) -> Outcome:
        a = operand(env)
        return operate(a) if type(a) is wanted else a

    return run


def _strict_with_constant(
    operand: Evaluate, wanted: type, operate: Operate, constant: Value
) -> Evaluate:
    def run(env: Environment) -> Outcome:
        a = operand(env)
        return operate(a, constant) if type(a) is wanted else a

    return run


def _strict_two(
    operands: tuple[Evaluate, ...], classes: tuple[type, ...], operate: Operate
) -> Evaluate:
    left, right = operands
    left_class, right_class = classes

    def run(env: Environment) -> Outcome:
        a = left(env)
        b = right(env)
        if type(a) is left_class and type(b) is right_class:
            return operate(a, b)
        return spread(a, b)

    return run


def _strict_many(
    operands: tuple[Evaluate, ...], classes: tuple[type, ...], operate: Operate
) -> Evaluate:
    def run(env: Environment) -> Outcome:
        values = [operand(env) for operand in operands]
        if all(type(v) is c for v, c in zip(values, classes, strict=True)):
            return operate(*values)
        return spread(*values)

    return run


def _run(operands: tuple[Evaluate, ...], *, decisive: bool) -> Evaluate:
    """``&&`` (decided by one false) and ``||`` (decided by one true), in any order."""

    def run(env: Environment) -> Outcome:
        odd: list[Outcome] | None = None
        for operand in operands:
            outcome = operand(env)
            if outcome is decisive:
                return decisive
            if type(outcome) is not bool:
                odd = [outcome] if odd is None else [*odd, outcome]
        return (not decisive) if odd is None else spread(*odd)

    return run


def _choose(condition: Evaluate, yes: Evaluate, no: Evaluate, *, sure: bool) -> Evaluate:
    """``sure``: the condition cannot turn out to fail, so that two ways that agree need not
    wait for it."""

    def run(env: Environment) -> Outcome:
        decided = condition(env)
        if decided is True:
            return yes(env)
        if decided is False:
            return no(env)
        if isinstance(decided, Failure):
            return decided
        one, other = yes(env), no(env)
        return one if sure and _identical(one, other) else spread(decided, one, other)

    return run


_NEVER_FAIL: Final = COMPARISONS | {
    *("&&", "||", "!", "?:", "in", "startsWith", "endsWith", "contains", "size"),
    *("double", "bare", "min", "max"),
}
_NEVER_EMPTY: Final = ("fact", "renewed", "doing", "present")


def _can_fail(term: Term) -> bool:
    """Whether ``term`` may fail once every name is known: arithmetic, or an empty place."""
    if isinstance(term, Constant):
        return False
    if isinstance(term, Read):
        return term.source not in _NEVER_EMPTY
    text_sum = term.operator == "+" and term.kind == "text"
    if term.function is not None or not (term.operator in _NEVER_FAIL or text_sum):
        return True
    return any(_can_fail(operand) for operand in term.operands)


def _identical(a: Outcome, b: Outcome) -> bool:
    if type(a) is not type(b) or isinstance(a, Unknown) or a != b:
        return False
    # 0.0 == -0.0, yet they divide differently.
    return not isinstance(a, float) or copysign(1.0, a) == copysign(1.0, b)  # type: ignore[arg-type]


def _member(term: Apply, operand: Evaluate, tolerance: float) -> Evaluate:
    values = [item.value for item in term.operands[1:] if isinstance(item, Constant)]
    kind = term.operands[0].kind
    if kind == "number" and tolerance:
        return _strict_one(operand, float, _near_any(values, tolerance))
    return _strict_one(operand, _CLASSES[kind], frozenset(values).__contains__)


def _near_any(values: list[Value], tolerance: float) -> Callable[[float], bool]:
    near = number_comparison("==", tolerance)
    return lambda a: any(near(a, value) for value in values)
