"""Our expressions against cel-python, an independent implementation of CEL.

Generated expressions are evaluated by both over the same generated machine: the same value,
or an error in both. Where cel-python departs from the CEL specification the generator
keeps out of the way, and ``DEPARTURES`` shows each such case with what the specification
says; should a later version agree with it, that test fails and the case can be generated.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from random import Random
from typing import Any, Final

import celpy
import pytest
from celpy import celtypes
from celpy.evaluation import CELEvalError, function_contains, function_endsWith, function_startsWith

from rules.expressions import compile_expression
from rules.expressions.syntax import Call, Node, Operation, show
from rules.values import Failure, Outcome, Unknown, Value
from tests.expressions.bike import Bike
from tests.expressions.generated import KINDS, SCOPE, Maker, draw_answers

EXPRESSIONS: Final = 1_200
MACHINES: Final = 2
"""Each expression is tried on that many machines."""

Theirs = Value | CELEvalError


# -- the same machine for both ------------------------------------------------------------------


def _their_value(value: Value) -> celtypes.Value:
    if isinstance(value, bool):
        return celtypes.BoolType(value)
    if isinstance(value, int):
        return celtypes.IntType(value)
    return celtypes.DoubleType(value) if isinstance(value, float) else celtypes.StringType(value)


def _our_value(value: object) -> Value:
    """cel-python gives its own types from reads and plain ones from some operators."""
    if isinstance(value, bool | celtypes.BoolType):
        return bool(value)
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        return float(value)
    assert isinstance(value, str)
    return str(value)


def _record(answers: Mapping[str, Outcome], prefix: str) -> celtypes.MapType:
    """The properties under ``prefix`` as a map. A failing one is left out: reading it fails."""
    return celtypes.MapType(
        {
            celtypes.StringType(name.removeprefix(prefix)): _their_value(answer)
            for name, answer in answers.items()
            if name.startswith(prefix) and not isinstance(answer, Unknown | Failure)
        }
    )


def _activation(answers: Mapping[str, Outcome]) -> dict[str, celtypes.MapType]:
    fitted = {
        celtypes.StringType(name): _record(answers, f"fitted.{name}.") for name in SCOPE.part_types
    }
    targets = {name: _record(answers, f"{name}.") for name in SCOPE.part_types}
    return {
        "vehicle": _record(answers, "vehicle."),
        "fitted": celtypes.MapType(fitted),
        **targets,
    }


def _passing_errors_on(function: Callable[..., Any]) -> Callable[..., Any]:
    def call(*arguments: Any) -> Any:
        errors = [a for a in arguments if isinstance(a, CELEvalError)]
        return errors[0] if errors else function(*arguments)

    return call


def _functions(answers: Mapping[str, Outcome]) -> dict[str, Callable[..., Any]]:
    """Extension functions, as the CEL specification provides for."""

    def asked(name: str) -> Callable[..., Any]:
        def call(argument: celtypes.StringType) -> celtypes.Value:
            answer = answers[f"{name}('{argument}')"]
            assert not isinstance(answer, Unknown | Failure)
            return _their_value(answer)

        return call

    asking = {name: asked(name) for name in ("renewed", "doing", "present", "run_km")}
    return {name: _passing_errors_on(f) for name, f in {**_OWN, **_METHODS, **asking}.items()}


def _absolute(number: Any) -> Any:
    return -number if number < type(number)(0) else number


def _on_text(method: Callable[..., Any]) -> Callable[..., Any]:
    """cel-python's + gives a plain str, which its own methods then do not know."""
    return lambda text, part: method(celtypes.StringType(text), part)


_OWN: Final[dict[str, Callable[..., Any]]] = {
    "min": min, "max": max, "abs": _absolute, "bare": lambda a: a,
}  # fmt: skip
_METHODS: Final[dict[str, Callable[..., Any]]] = {
    "startsWith": _on_text(function_startsWith),
    "endsWith": _on_text(function_endsWith),
    "contains": _on_text(function_contains),
}


@cache
def _compiled(text: str) -> tuple[celpy.Environment, Any]:
    environment = celpy.Environment()
    return environment, environment.compile(text)


def theirs(text: str, answers: Mapping[str, Outcome]) -> Theirs:
    """What cel-python gives: a value or its error."""
    environment, tree = _compiled(text)
    program = environment.program(tree, functions=_functions(answers))
    try:
        result = program.evaluate(_activation(answers))
    except CELEvalError as error:
        return error
    return result if isinstance(result, CELEvalError) else _our_value(result)


def ours(text: str, answers: Mapping[str, Outcome]) -> Outcome:
    expression = compile_expression(text, SCOPE, kind=None, where="generated")
    return expression.evaluate(Bike(answers))


def _agree(one: Outcome, other: Theirs) -> bool:
    if isinstance(one, Failure) or isinstance(other, CELEvalError):
        return isinstance(one, Failure) and isinstance(other, CELEvalError)
    return type(one) is type(other) and one == other


# -- generated cases ------------------------------------------------------------------------------


def _machine(rng: Random) -> dict[str, Outcome]:
    """Everything known, some places empty."""
    answers: dict[str, Outcome] = dict(draw_answers(rng))
    for name in sorted(answers):
        if name.startswith(("camshaft.", "lifter.", "fitted.")) and rng.random() < 0.08:
            answers[name] = Failure("nothing there", absent=name.split(".")[-2])
    return answers


def _cases() -> Iterator[tuple[Node, dict[str, Outcome]]]:
    rng = Random(20)
    maker = Maker(rng)
    for number in range(EXPRESSIONS):
        tree = maker.make(KINDS[number % len(KINDS)], 1 + number % 4)
        for _ in range(MACHINES):
            yield tree, _machine(rng)


def test_generated_expressions_agree() -> None:
    operators: Counter[str] = Counter()
    results: Counter[str] = Counter()
    texts = set()
    for tree, answers in _cases():
        text = show(tree)
        one, other = ours(text, answers), theirs(text, answers)
        assert _agree(one, other), f"{text}\nours {one!r}\ncel-python {other!r}\n{answers}"
        texts.add(text)
        operators.update(set(_operators(tree)))
        results[str(one) if isinstance(one, bool) else type(one).__name__] += 1
    _assert_varied(len(texts), operators, results)


def _operators(node: Node) -> Iterator[str]:
    """Every operator and function that stands in the tree."""
    if isinstance(node, Operation):
        yield "negate" if node.operator == "-" and len(node.operands) == 1 else node.operator
        for operand in node.operands:
            yield from _operators(operand)
    elif isinstance(node, Call):
        yield node.name
        for argument in (*node.arguments, *([node.target] if node.target else [])):
            yield from _operators(argument)


def _assert_varied(texts: int, operators: Counter[str], results: Counter[str]) -> None:
    """The agreement says something only when the cases were not all alike."""
    assert results.total() == EXPRESSIONS * MACHINES >= 2_000
    assert texts > 900
    for result in ("True", "False", "int", "float", "str", "Failure"):
        assert results[result] >= 200, f"only {results[result]} cases gave {result}"
    for operator in (
        *("&&", "||", "!", "?:", "==", "!=", "<", "<=", ">", ">=", "in"),
        *("+", "-", "*", "/", "%", "negate"),
        *("min", "max", "abs", "double", "int", "size", "startsWith", "endsWith", "contains"),
        *("renewed", "doing", "present", "run_km"),
    ):
        assert operators[operator] >= 40, f"{operator} stands in {operators[operator]} cases only"


# -- literals and syntax, written out -------------------------------------------------------------

SAME: Final = (
    "1 + 2 * 3 - 4 / 2 % 3", "-7 / 2", "7 % -2", "--5", "- 5", "5 - -5", "0x1F", ".5 + 1e-1",
    "1.5e3", "'it\\'s'", '"a\\tb\\n\\\\"', "'\\x41\\u00e9\\U0001F3CD\\101'", "size('é🏍')",
    "// said for people\n1 + 1", "true ? 1 : false ? 2 : 3",
    "true || false && false", "!true == false", "!!true", "1 < 2 == true", "1 + 1 in [2, 3]",
    "'a' + 'b' == 'ab' && 'ab' < 'b'", "'z' < 'é'", "9223372036854775807 + 1",
    "-9223372036854775808 - 1", "-9223372036854775808", "-(-9223372036854775808)",
    "9223372036854775807 * 2", "-9223372036854775808 / -1", "-9223372036854775808 % -1",
    "1 / 0", "1 % 0", "1 / 0 == 1 || true", "true || 1 / 0 == 1", "1 / 0 == 1 && false",
    "false || 1 / 0 == 1", "1 / 0 == 1 || 1 / 0 == 2", "true ? 1 : 1 / 0", "false ? 1 : 1 / 0",
    "1 / 0 == 1 ? 1 : 2", "1 / 0 in [1]", "int(1e99)", "int(9223372036854775807.0)",
    "int(-1.9)", "2.5 >= 2", "1.5 > 2",
    "double(9223372036854775807)", "1.0 / 0.0 > 1.0", "2.0 / 4.0",
)  # fmt: skip


@pytest.mark.parametrize("text", SAME)
def test_written_out_expressions_agree(text: str) -> None:
    assert _agree(ours(text, {}), theirs(text, {})), (ours(text, {}), theirs(text, {}))


# -- where cel-python departs from the specification ----------------------------------------------

ERROR: Final = "an error"
DEPARTURES: Final = (
    ("-1.0 / 0.0 < 0.0", True, False, "Numeric Values: IEEE 754 doubles, so minus infinity"),
    ("1.0 / -0.0 < 0.0", True, False, "the same: the sign of zero counts"),
    ("0.0 / 0.0 == 0.0 / 0.0", False, True, "comparisons: not_eq_double_nan; NaN equals nothing"),
    ("0.0 / 0.0 < 1.0", ERROR, False, "reference implementation: NaN values cannot be ordered"),
    ("1 < 2.0", True, ERROR, "Standard Definitions: less_int64_double (proposal 210)"),
    ("int(-9223372036854775808.0)", ERROR, -(2**63), "conversions: double_int_min_range"),
    (r"'\?\`' == '?`'", True, False, "Syntax, ESCAPE: a punctuation mark representing itself"),
)
"""Text, by the specification, by cel-python, where the specification says so. The names
are those of the CEL conformance data (tests/simple/testdata of cel-spec)."""


@pytest.mark.parametrize(("text", "specified", "departs", "clause"), DEPARTURES)
def test_known_departures_of_the_other_implementation(
    text: str, specified: Outcome, departs: Outcome, clause: str
) -> None:
    one, other = ours(text, {}), theirs(text, {})
    assert (ERROR if isinstance(one, Failure) else one) == specified, clause
    assert (ERROR if isinstance(other, CELEvalError) else other) == departs, clause
