"""What expressions give, and what is known about them without evaluating."""

from __future__ import annotations

import pytest

from rules.expressions import RESERVED_NAMES, Reads, explain
from rules.values import Failure, Outcome, Unknown
from tests.expressions.bike import Bike, compiled, faults, value

OVERFLOW = Failure("the whole number does not fit in 64 bits")
MOST, LEAST = 2**63 - 1, -(2**63)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # CEL conformance data, integer_math.textproto
        ("42 + (-2)", 40),
        ("42 - (-2)", 44),
        ("-42 * (-2)", 84),
        ("-42 / 2", -21),
        ("42 % 5", 2),
        ("42 % (-5)", 2),
        ("-42 % (-5)", -2),
        ("-(42)", -42),
        ("42 % 0", Failure("remainder of a division by zero")),
        ("15 / 0", Failure("division by zero")),
        # Truncation toward zero, and overflow (language definition, Overflow)
        ("7 / -2", -3),
        ("-7 / 2", -3),
        (f"{MOST} + 1", OVERFLOW),
        (f"{LEAST} - 1", OVERFLOW),
        (f"{MOST} * 2", OVERFLOW),
        (f"{LEAST} / -1", OVERFLOW),
        (f"-({LEAST})", OVERFLOW),
        (f"abs({LEAST})", OVERFLOW),
        (f"{LEAST} % -1", 0),
        # fp_math.textproto
        ("4.25 + 15.25", 19.5),
        ("42.5 * 0.2", 8.5),
        ("0.0625 / 0.002", 31.25),
        ("-8.875 / (-0.0625)", 142.0),
        ("-(-1.25)", 1.25),
        ("1e-324 / 2.0", 0.0),
        # conversions.textproto
        ("double(-1000000000000000)", -1e15),
        ("double(9223372036854775807)", 9.223372036854775807e18),
        ("int(1.9)", 1),
        ("int(-7.9)", -7),
        ("int(11.5)", 11),
        ("int(-3.5)", -3),
        ("int(double(36028797018963969))", 36028797018963968),
        # comparisons.textproto: a whole number is compared as the nearest double
        ("9223372036854775807 < 9223372036854775808.0", False),
        ("9223372036854775807 >= 9223372036854775808.0", True),
        ("1 < 1.5", True),
        ("2.5 <= 2", False),
        ("1.0 / 0.0 == 1.0 / 0.0", True),
        ("0.0 / 0.0 == 0.0 / 0.0", False),
        ("0.0 / 0.0 != 0.0 / 0.0", True),
        ("-1.0 / 0.0 < 0.0", True),
        ("0.0 / 0.0 in [1.0]", False),
        # string.textproto
        ("size('été🏍')", 4),
        ("'abc'.size()", 3),
        ("'hello'.startsWith('hel')", True),
        ("'hello'.startsWith('')", True),
        ("'hello'.endsWith('lo')", True),
        ("'hello'.contains('ell')", True),
        ("'' + 'a' + 'b'", "ab"),
        ("'A' < 'a'", True),
        ("'z' < 'é'", True),
        ("'\uffff' < '🏍'", True),
        # logic.textproto
        ("2 / 0 > 4 ? 'baz' : 'quux'", Failure("division by zero")),
        ("true ? 1 : 2 / 0", 1),
        ("(2 / 0 > 3 ? false : true) || true", True),
        ("false && 2 / 0 > 3", False),
        ("true in [true, false]", True),
        # ours
        ("min(2, 1) + max(2, 1)", 3),
        ("min(1.5, -2.5)", -2.5),
        ("max(1.5, -2.5)", 1.5),
        ("abs(-1.5)", 1.5),
        ("bare(3)", 3),
        ("displacement_cc(100.0, 100.0, 2)", pytest.approx(1570.7963267948967)),
    ],
)
def test_values(text: str, expected: Outcome) -> None:
    outcome = value(text)
    assert outcome == expected
    assert isinstance(outcome, type(getattr(expected, "expected", expected)))


@pytest.mark.parametrize("text", ["1.0 / 0.0", "-1.0 / 0.0", "0.0 / 0.0", "1e308 * 10.0"])
def test_a_result_that_is_not_finite_is_a_failure(text: str) -> None:
    assert value(text) == Failure("the result is not a finite number")


def test_infinity_within_is_compared_as_ieee_754_has_it() -> None:
    assert value("1e308 * 10.0 > 1.0") is True
    assert value("1.0 / (1e308 * 10.0)") == 0.0


@pytest.mark.parametrize("operator", ["<", "<=", ">", ">="])
@pytest.mark.parametrize("tolerance", [0.0, 1e-9])
def test_what_is_not_a_number_has_no_order(operator: str, tolerance: float) -> None:
    """As in the reference implementation in Go: NaN values cannot be ordered."""
    for text in (f"0.0 / 0.0 {operator} 1.0", f"1.0 {operator} max(1.0, 0.0 / 0.0)"):
        outcome = compiled(text, tolerance=tolerance).evaluate(Bike())
        assert outcome == Failure("the arithmetic has no answer, so it cannot be compared")


@pytest.mark.parametrize(
    "text",
    [
        "int(1e99)",
        "int(0.0 / 0.0)",
        "int(-1.0 / 0.0)",
        "int(-9223372036854775808.0)",
        "int(9223372036854775807.0)",
    ],
)
def test_whole_numbers_from_numbers_out_of_range(text: str) -> None:
    """conversions.textproto: double_int_min_range and double_int_max_range are errors."""
    assert value(text) == Failure("the number does not fit in a whole number of 64 bits")


def test_a_bad_argument_of_an_engine_function_is_a_failure() -> None:
    outcome = value("swept_cc(vehicle.bore_mm, 100.0)", {"vehicle.bore_mm": 0.0})
    assert outcome == Failure("swept_cc: bore_mm must be greater than 0, not 0")


# -- what the environment gives is held to what was declared ----------------------------------


def test_a_whole_answer_for_a_number_is_widened() -> None:
    outcome = value("vehicle.bore_mm", {"vehicle.bore_mm": 96})
    assert outcome == 96.0
    assert isinstance(outcome, float)


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("vehicle.bore_mm", "96"), ("vehicle.bore_mm", True), ("vehicle.model_year", 1998.0),
        ("vehicle.model_year", True), ("vehicle.abs", 1), ("vehicle.family", 3),
    ],
)  # fmt: skip
def test_an_answer_of_another_kind_is_a_failure(text: str, answer: Outcome) -> None:
    kind = compiled(text).kind
    expected = Failure(f"{text} is {answer!r}, which is not of kind {kind}")
    assert value(text, {text: answer}) == expected


# -- tolerance, margins, sides ------------------------------------------------------------------

LIFT, TRAVEL = "camshaft.valve_lift_mm", "valve_spring.max_lift_mm"


@pytest.mark.parametrize(
    ("operator", "near", "exact", "apart"),
    [
        ("<=", True, False, True), ("<", False, False, True), (">=", True, True, False),
        (">", False, True, False), ("==", True, False, False), ("!=", False, True, True),
    ],
)  # fmt: skip
def test_tolerance(operator: str, near: bool, exact: bool, apart: bool) -> None:
    """0.1 + 0.2 is a little more than 0.3; within the tolerance the two are equal."""
    text = f"{LIFT} + 0.2 {operator} 0.3"
    bike = Bike({LIFT: 0.1})
    assert compiled(text, tolerance=1e-9).evaluate(bike) is near
    assert compiled(text).evaluate(bike) is exact
    assert compiled(text, tolerance=1e-9).evaluate(Bike({LIFT: -5.0})) is apart


def test_tolerance_in_lists() -> None:
    text = f"{LIFT} + 0.2 in [0.3, 0.5]"
    assert compiled(text, tolerance=1e-9).evaluate(Bike({LIFT: 0.1})) is True
    assert compiled(text).evaluate(Bike({LIFT: 0.1})) is False


def test_tolerance_leaves_whole_numbers_and_texts_alone() -> None:
    assert compiled("vehicle.model_year < 2000", tolerance=5.0).evaluate(
        Bike({"vehicle.model_year": 1999})
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"{LIFT} + 1.5 <= {TRAVEL}", 0.5),
        (f"{LIFT} + 1.5 < {TRAVEL}", 0.5),
        (f"{LIFT} + 1.5 >= {TRAVEL}", -0.5),
        (f"{LIFT} + 1.5 > {TRAVEL}", -0.5),
        (f"(({LIFT} + 1.5) <= {TRAVEL})", 0.5),
        (f"{LIFT} < 11", 0.0),
        ("run_km('camshaft') <= 40000", 15000.0),
        (f"{LIFT} == {TRAVEL}", None),
        (f"{LIFT} <= {TRAVEL} && true", None),
        (f"!({LIFT} <= {TRAVEL})", None),
        ("camshaft.brand < 'm'", None),
        (f"vehicle.bore_mm <= {LIFT}", Unknown(frozenset({"vehicle.bore_mm"}))),
        ("vehicle.stroke_mm <= 90.0", Failure("no stroke")),
        (f"{LIFT} / 0.0 >= 1.0", Failure("the margin is not a finite number")),
    ],
)
def test_margin(text: str, expected: Outcome | None) -> None:
    bike = Bike(
        {
            LIFT: 11.0, TRAVEL: 13.0, "run_km('camshaft')": 25_000, "camshaft.brand": "x",
            "vehicle.stroke_mm": Failure("no stroke"),
        }
    )  # fmt: skip
    expression = compiled(text)
    assert expression.margin(bike) == expected
    assert expression.has_margin is (expected is not None)
    if isinstance(expected, float):
        assert isinstance(expression.margin(bike), float)


def test_the_margin_agrees_with_the_tolerance() -> None:
    """A limit holds exactly when its margin is at least minus the tolerance."""
    expression = compiled(f"{LIFT} + 1.5 <= 12.9", tolerance=1e-9)
    for lift in (11.3, 11.4, 11.4 + 5e-10, 11.4 + 2e-9, 11.5):
        margin = expression.margin(Bike({LIFT: lift}))
        assert isinstance(margin, float)
        assert expression.evaluate(Bike({LIFT: lift})) is (margin >= -1e-9)


def test_the_tolerance_reaches_into_the_sides() -> None:
    text = f"({LIFT} + 0.2 <= 0.3 ? 1.0 : 5.0) <= {TRAVEL}"
    bike = Bike({LIFT: 0.1, TRAVEL: 3.0})
    assert compiled(text, tolerance=1e-9).sides(bike) == (1.0, 3.0)
    assert compiled(text, tolerance=1e-9).margin(bike) == 2.0
    assert compiled(text).margin(bike) == -2.0


def test_which_side_is_bounded() -> None:
    assert compiled(f"{LIFT} <= {TRAVEL}").left_is_bounded
    assert compiled(f"{LIFT} < {TRAVEL}").left_is_bounded
    assert not compiled(f"{TRAVEL} >= {LIFT}").left_is_bounded
    assert not compiled(f"{TRAVEL} == {LIFT}").left_is_bounded


def test_a_margin_of_whole_numbers_is_exact() -> None:
    bike = Bike({"vehicle.odometer_km": 2**60 + 1})
    assert compiled(f"vehicle.odometer_km >= {2**60}").margin(bike) == 1.0


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        (f"{LIFT} + 1.5 <= {TRAVEL}", "mm"),
        (f"1.5 <= {LIFT}", "mm"),
        ("run_km('camshaft') <= 40000", "km"),
        ("vehicle.ratio <= 9.5", None),
        (f"{LIFT} == {TRAVEL}", None),
    ],
)
def test_the_unit_of_the_margin(text: str, unit: str | None) -> None:
    assert compiled(text).margin_unit == unit


def test_sides() -> None:
    bike = Bike({LIFT: 11.0, TRAVEL: 13.0, "vehicle.cooling": "air"})
    assert compiled(f"{LIFT} + 1.5 <= {TRAVEL}").sides(bike) == (12.5, 13.0)
    assert compiled("vehicle.cooling != 'liquid'").sides(bike) == ("air", "liquid")
    unknown = Unknown(frozenset({"vehicle.abs"}))
    assert compiled("vehicle.abs == true").sides(bike) == (unknown, True)
    assert compiled("vehicle.cooling in ['air']").sides(bike) is None
    assert compiled(f"{LIFT} <= {TRAVEL} || false").sides(bike) is None


# -- reads, comparisons, explanation --------------------------------------------------------------


def test_reads() -> None:
    text = (
        "vehicle.abs && camshaft.brand == fitted.camshaft.brand && renewed('valve_spring') "
        "&& doing('cam_cover_off') && present('oil_pump') && run_km('camshaft') > 1 "
        "&& (false ? vehicle.sidecar : true) && vehicle.abs"
    )
    assert compiled(text).reads == Reads(
        facts=frozenset({"abs", "sidecar"}),
        target=frozenset({("camshaft", "brand")}),
        fitted=frozenset({("camshaft", "brand")}),
        renewed=frozenset({"valve_spring"}),
        doing=frozenset({"cam_cover_off"}),
        present=frozenset({"oil_pump"}),
        run_km=frozenset({"camshaft"}),
    )


@pytest.mark.parametrize(
    ("text", "compared", "opaque"),
    [
        ("vehicle.model_year >= 1998", {"model_year": {1998}}, set()),
        ("1998 > vehicle.model_year", {"model_year": {1998}}, set()),
        ("vehicle.model_year >= 2000 - 2", {"model_year": {1998}}, set()),
        ("vehicle.model_year < 1998.5", {"model_year": {1998.5}}, set()),
        ("vehicle.bore_mm < 96", {"bore_mm": {96.0}}, set()),
        ("vehicle.bore_mm == -96.5", {"bore_mm": {-96.5}}, set()),
        ("vehicle.model_year in [1998, 2001]", {"model_year": {1998, 2001}}, set()),
        ("vehicle.cooling != 'air'", {"cooling": {"air"}}, set()),
        ("vehicle.abs", {"abs": {True}}, set()),
        ("!vehicle.abs || vehicle.sidecar == false", {"abs": {True}, "sidecar": {False}}, set()),
        ("vehicle.abs ? 1 : 2", {"abs": {True}}, set()),
        ("vehicle.bore_mm < vehicle.stroke_mm", {}, {"bore_mm", "stroke_mm"}),
        ("vehicle.bore_mm + 1.0 < 96.0", {}, {"bore_mm"}),
        ("-vehicle.bore_mm < 96.0", {}, {"bore_mm"}),
        ("vehicle.bore_mm < camshaft.valve_lift_mm", {}, {"bore_mm"}),
        ("double(vehicle.model_year) < 1998.0", {}, {"model_year"}),
        ("swept_cc(vehicle.bore_mm, 100.0) < 600.0", {}, {"bore_mm"}),
        ("vehicle.family.startsWith('a')", {}, {"family"}),
        ("vehicle.bore_mm", {}, {"bore_mm"}),
        ("camshaft.valve_lift_mm < 11.0", {}, set()),
        (
            "vehicle.bore_mm > 96.0 && vehicle.bore_mm * 2.0 < 300.0 && vehicle.bore_mm < 100.0",
            {"bore_mm": {96.0, 100.0}},
            {"bore_mm"},
        ),
    ],
)
def test_how_facts_are_used(text: str, compared: dict[str, set[object]], opaque: set[str]) -> None:
    expression = compiled(text)
    assert {name: set(found) for name, found in expression.compared_with.items()} == compared
    assert expression.opaque_facts == opaque
    assert expression.reads.facts == set(expression.compared_with) | expression.opaque_facts


def test_a_constant_compared_with_is_of_the_kind_of_the_fact() -> None:
    (found,) = compiled("vehicle.bore_mm < 96").compared_with["bore_mm"]
    assert isinstance(found, float)


def test_explain_names_each_read_once_in_order_of_appearance() -> None:
    expression = compiled(
        f"run_km('camshaft') > 100 || {LIFT} + 1.5 > fitted.{TRAVEL} || {LIFT} < 9.0 "
        "|| vehicle.cooling == 'air' || renewed('camshaft')"
    )
    bike = Bike({LIFT: 11.0, "run_km('camshaft')": 5, "renewed('camshaft')": False})
    assert explain(expression, bike) == (
        ("run_km('camshaft')", 5),
        (LIFT, 11.0),
        (f"fitted.{TRAVEL}", Unknown(frozenset({f"fitted.{TRAVEL}"}))),
        ("vehicle.cooling", Unknown(frozenset({"vehicle.cooling"}))),
        ("renewed('camshaft')", False),
    )


def test_built_in_properties_need_no_declaration() -> None:
    text = (
        "camshaft.brand == 'a' && camshaft.number != 'b' && camshaft.condition == 'new' "
        "&& camshaft.emission_class in ['exempted', 'unknown'] && camshaft.life_km >= 40000 "
        "&& fitted.camshaft.life_km > run_km('camshaft')"
    )
    assert faults(text) == []


@pytest.mark.parametrize("word", sorted(RESERVED_NAMES - {"true", "false", "in"}))
def test_reserved_words_name_nothing(word: str) -> None:
    assert len(faults(f"{word} == 'a'")) == 1


@pytest.mark.parametrize("name", ["min", "max"])
def test_what_is_not_a_number_is_passed_on(name: str) -> None:
    """Whichever side it stands on."""
    for arguments in ("0.0 / 0.0, 1.0", "1.0, 0.0 / 0.0"):
        assert value(f"{name}({arguments})") == Failure("the result is not a finite number")
