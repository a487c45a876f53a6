"""Unknown and failure: the tables, and the laws that hold for every expression."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from rules.expressions import Expression, compile_expression
from rules.expressions.syntax import show
from rules.values import Failure, Outcome, Unknown, Value
from tests.expressions.bike import Bike, compiled, value
from tests.expressions.generated import KINDS, SCOPE, Maker, draw_answers

U = Unknown(frozenset({"vehicle.abs"}))
V = Unknown(frozenset({"vehicle.sidecar"}))
BOTH = Unknown(frozenset({"vehicle.abs", "vehicle.sidecar"}))
F = Failure("no fork on the machine", absent="fork")
G = Failure("division by zero")

AND: list[tuple[Outcome, Outcome, Outcome]] = [
    (True, True, True), (True, False, False), (False, False, False),
    (False, V, False), (False, F, False),
    (True, V, V), (True, F, F),
    (U, V, BOTH), (F, V, V), (F, G, F), (G, F, F),
]  # fmt: skip
OR: list[tuple[Outcome, Outcome, Outcome]] = [
    (True, True, True), (True, False, True), (False, False, False),
    (True, V, True), (True, F, True),
    (False, V, V), (False, F, F),
    (U, V, BOTH), (F, V, V), (F, G, F), (G, F, F),
]  # fmt: skip
STRICT: list[tuple[Outcome, Outcome, Outcome]] = [
    (U, V, BOTH),
    (U, True, U),
    (False, V, V),
    (F, V, V),
    (F, True, F),
    (G, F, F),
    (F, G, F),
]


def _on(text: str, abs_: Outcome, sidecar: Outcome) -> Outcome:
    return value(text, {"vehicle.abs": abs_, "vehicle.sidecar": sidecar})


@pytest.mark.parametrize(("operator", "table"), [("&&", AND), ("||", OR)])
def test_and_or_are_decided_by_one_side_whatever_the_other(
    operator: str, table: list[tuple[Outcome, Outcome, Outcome]]
) -> None:
    """CEL language definition, Logical Operators: commutative, errors absorbed."""
    for left, right, expected in table:
        assert _on(f"vehicle.abs {operator} vehicle.sidecar", left, right) == expected
        assert _on(f"vehicle.sidecar {operator} vehicle.abs", left, right) == expected


@pytest.mark.parametrize(
    "text", ["vehicle.abs == vehicle.sidecar", "vehicle.abs != vehicle.sidecar"]
)
def test_other_operators_need_both_sides(text: str) -> None:
    for left, right, expected in STRICT:
        assert _on(text, left, right) == expected


@pytest.mark.parametrize("outcome", [U, F])
@pytest.mark.parametrize(
    "text",
    [
        "!vehicle.abs", "vehicle.abs in [true]", "vehicle.abs ? 1 : 2", "vehicle.abs == true",
        "(vehicle.abs ? 1.5 : 2.5) + 1.0", "-(vehicle.abs ? 1 : 2)",
        "size(vehicle.abs ? 'a' : 'bc')", "max(vehicle.abs ? 1 : 2, 3) > 4",
        "spring_open_load_n(100.0, 50.0, vehicle.abs ? 9.5 : 10.5)",
    ],
)  # fmt: skip
def test_unknown_and_failure_spread(text: str, outcome: Outcome) -> None:
    assert value(text, {"vehicle.abs": outcome}) == outcome


def test_a_condition_that_makes_no_difference_need_not_be_known() -> None:
    """Beyond CEL, which gives unknown."""
    assert value("vehicle.abs ? 35 : 35") == 35
    assert value("vehicle.abs ? 35 : 45") == U
    assert value("vehicle.abs ? 35 : 35", {"vehicle.abs": F}) == F


def test_a_condition_whose_arithmetic_may_fail_must_be_known() -> None:
    unknown = Unknown(frozenset({"vehicle.cylinders"}))
    assert value("12 / vehicle.cylinders > 3 ? 35 : 35") == unknown
    assert value("12 / vehicle.cylinders > 3 ? 35 : 35", {"vehicle.cylinders": 0}) == G
    assert value("vehicle.cylinders > 3 ? 35 : 35") == 35


def test_a_condition_that_may_meet_an_empty_place_must_be_known() -> None:
    text = "vehicle.abs && camshaft.valve_lift_mm > 9.0 ? 35 : 35"
    empty = frozenset({"camshaft"})
    assert compiled(text).evaluate(Bike(empty=empty)) == U
    assert compiled(text).evaluate(Bike({"vehicle.abs": False}, empty)) == 35
    assert isinstance(compiled(text).evaluate(Bike({"vehicle.abs": True}, empty)), Failure)


def test_two_ways_that_fail_alike_fail() -> None:
    same = "vehicle.abs ? camshaft.valve_lift_mm : camshaft.valve_lift_mm"
    empty = Bike(empty=frozenset({"camshaft"}))
    assert compiled(same).evaluate(empty) == Failure("no camshaft on the machine", "camshaft")
    assert compiled("vehicle.abs ? camshaft.valve_lift_mm : 1.5").evaluate(empty) == U


def test_an_unknown_condition_asks_for_all_that_is_missing() -> None:
    outcome = value("vehicle.abs ? vehicle.bore_mm : vehicle.stroke_mm")
    assert outcome == Unknown(frozenset({"vehicle.abs", "vehicle.bore_mm", "vehicle.stroke_mm"}))
    known = value("vehicle.abs ? vehicle.bore_mm : vehicle.stroke_mm", {"vehicle.abs": True})
    assert known == Unknown(frozenset({"vehicle.bore_mm"}))


def test_zeros_of_two_signs_are_two_values() -> None:
    """They divide to opposite infinities, so an unknown condition cannot be passed over."""
    assert value("1.0 / (vehicle.abs ? 0.0 : -0.0) > 0.0") == U
    assert value("1.0 / (vehicle.abs ? 0.0 : 0.0) > 0.0") is True


def test_an_empty_place_is_a_failure_and_absent_logic_holds() -> None:
    """As the definition of the answer has it: ``false && failure`` is false, and so on."""
    empty = Bike({"vehicle.abs": False}, empty=frozenset({"camshaft"}))
    failing = "camshaft.valve_lift_mm > 11.0"
    assert compiled(f"vehicle.abs && {failing}").evaluate(empty) is False
    assert compiled(f"!vehicle.abs || {failing}").evaluate(empty) is True
    assert compiled(f"vehicle.abs || {failing}").evaluate(empty) == Failure(
        "no camshaft on the machine", absent="camshaft"
    )


# -- laws over generated expressions --------------------------------------------------------


def _cases(count: int, seed: int) -> list[tuple[Expression, dict[str, Outcome], Random]]:
    rng = Random(seed)
    maker = Maker(rng)
    made = []
    for _ in range(count):
        text = show(maker.make(rng.choice(KINDS), rng.choice([1, 2, 3])))
        expression = compile_expression(text, SCOPE, kind=None, where=text)
        answers: dict[str, Outcome] = dict(draw_answers(rng))
        for name in sorted(answers):
            if rng.random() < 0.1 and name.startswith(("camshaft.", "fitted.")):
                answers[name] = Failure(f"nothing there for {name}", absent=name.split(".")[-2])
        made.append((expression, answers, rng))
    return made


def _hidden(answers: dict[str, Outcome], rng: Random) -> dict[str, Outcome]:
    """The same with some values taken away; ``Bike`` calls those unknown.

    Failures stay: what is unknown stands for a value, as an empty place is known to be empty.
    """
    return {
        name: answer
        for name, answer in answers.items()
        if isinstance(answer, Failure) or rng.random() < 0.6
    }


def test_filling_in_an_unknown_never_contradicts_a_known_result() -> None:
    kinds: list[str] = []
    for expression, answers, rng in _cases(6000, seed=1):
        some = _hidden(answers, rng)
        before, after = expression.evaluate(Bike(some)), expression.evaluate(Bike(answers))
        assert not isinstance(after, Unknown)
        if not isinstance(before, Unknown):
            assert _same(before, after), (expression.text, before, after)
        kinds.append("unknown" if isinstance(before, Unknown) else type(before).__name__)
    for kind in ("unknown", "bool", "int", "float", "str", "Failure"):
        assert kinds.count(kind) > 50, f"too few cases came out as {kind}"


def test_what_is_missing_is_enough_to_know_and_nothing_else_is_named() -> None:
    unknowns = 0
    for expression, answers, rng in _cases(2000, seed=2):
        some = _hidden(answers, rng)
        outcome = expression.evaluate(Bike(some))
        if isinstance(outcome, Unknown):
            unknowns += 1
            assert outcome.missing
            assert outcome.missing <= answers.keys() - some.keys()
            filled = {**some, **{name: answers[name] for name in outcome.missing}}
            settled = expression.evaluate(Bike(filled))
            assert _same(settled, expression.evaluate(Bike(answers))), expression.text
    assert unknowns > 500


def test_commuting_and_or_changes_nothing_but_which_failure_is_told() -> None:
    for (one, answers, _), (other, _, _) in product(_cases(40, seed=3), _cases(40, seed=4)):
        if one.kind == other.kind == "flag":
            for operator in ("&&", "||"):
                there, back = (
                    compile_expression(
                        f"({a.text}) {operator} ({b.text})", SCOPE, kind="flag", where="law"
                    ).evaluate(Bike(answers))
                    for a, b in ((one, other), (other, one))
                )
                assert isinstance(there, Failure) == isinstance(back, Failure)
                assert isinstance(there, Failure) or there == back


def _same(one: Outcome, other: Outcome) -> bool:
    both: tuple[Value | Failure | Unknown, ...] = (one, other)
    return type(both[0]) is type(both[1]) and one == other
