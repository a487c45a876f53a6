"""Hard limits: hostile text is refused with a fault, never with a stack overflow."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.expressions.parser import MAX_LIST, MAX_NODES, MAX_TEXT
from rules.faults import Faulty
from rules.values import Failure, Unknown
from tests.expressions.bike import Bike, compiled, faults, value

TOO_DEEP = "the expression is nested more than 40 deep. Split it into several rules."


@pytest.mark.parametrize("opening", ["(", "!", "-", "[", "min(", "true ? true : ", "1 + ("])
def test_a_hundred_thousand_levels_are_refused(opening: str) -> None:
    assert "characters; at most 2,000 are allowed" in faults(opening * 100_000)[0]


@pytest.mark.parametrize(
    "text",
    [
        "(" * 1_900,
        "(" * 900 + "1" + ")" * 900,
        "!" * 1_900 + "true",
        "-" * 1_900 + "1",
        "[" * 1_900,
        "abs(" * 300 + "1" + ")" * 300,
        "true ? 1 : " * 170 + "1",
        "1" + " + 1" * 100,
        "1" + " * (1" * 200 + ")" * 200,
        "true || true && true == (" * 60,
    ],
)
def test_deep_nesting_is_refused(text: str) -> None:
    assert faults(text)[0].split(": ", 1)[1] == TOO_DEEP


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("(" * 39 + "1" + ")" * 39, 1),
        ("abs(" * 39 + "1" + ")" * 39, 1),
        ("-" * 39 + "1", -1),
        ("1" + " + 1" * 39, 40),
        ("true ? 1 : " * 39 + "1", 1),
        ("(true || true && true == (" * 10 + "true" + "))" * 10, True),
    ],
)
def test_the_deepest_allowed_leaves_most_of_the_stack_alone(text: str, expected: object) -> None:
    """Parsing, checking and evaluating take under half of the frames Python allows."""
    limit = sys.getrecursionlimit()
    sys.setrecursionlimit(_frames_here() + 500)
    try:
        assert value(text) == expected
    finally:
        sys.setrecursionlimit(limit)


def _frames_here() -> int:
    frame, count = sys._getframe(), 0
    while frame.f_back is not None:
        frame, count = frame.f_back, count + 1
    return count


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("(" * 32 + "7" + ")" * 32, 7),
        ("true ? 1 : " * 32 + "2", 1),
        (" || ".join(["false"] * 32 + ["true"]), True),
        (" && ".join(["true"] * 32 + ["false"]), False),
        ("3" + " - 3 + 3" * 16, 3),
        ("4" + " * 4 / 4" * 16, 4),
        (" == ".join(["true"] * 33), True),
        ("!" * 32 + "true", True),
        ("-" * 32 + "19", 19),
        (f"17 in [{', '.join(map(str, range(32)))}]", True),
        ("int(double(" * 16 + "7" + "))" * 16, 7),
    ],
)
def test_what_the_specification_requires_to_be_supported(text: str, expected: object) -> None:
    """CEL language definition, Syntax: implementations must support at least 32 of each."""
    assert value(text) == expected


def test_limits_are_exact() -> None:
    assert value("(" * 39 + "1" + ")" * 39) == 1
    assert faults("(" * 40 + "1" + ")" * 40)[0].endswith(TOO_DEEP)
    assert value("1" + " + 1" * 39) == 40
    assert faults("1" + " + 1" * 40)[0].endswith(TOO_DEEP)


def test_text_length() -> None:
    assert value("1" + " " * (MAX_TEXT - 1)) == 1
    assert faults("1" + " " * MAX_TEXT) == [
        "the expression has 2,001 characters; at most 2,000 are allowed. "
        "Split it into several rules."
    ]


def test_number_of_parts() -> None:
    def parts(last: int) -> str:
        """One ``&&``, four ``in``, four lists, four values on the left, and the items."""
        sizes = (100, 100, 100, last)
        return " && ".join(f"1 in [{','.join(['1'] * size)}]" for size in sizes)

    most = MAX_NODES - (1 + 4 + 4 + 4) - 300
    assert value(parts(most)) is True
    assert faults(parts(most + 1))[0].endswith(
        "the expression has more than 400 parts. Split it into several rules."
    )


def test_list_length() -> None:
    assert value(f"1 in [{','.join(['1'] * MAX_LIST)}]") is True
    assert faults(f"1 in [{','.join(['1'] * (MAX_LIST + 1))}]") == [
        "at character 6: the list has 101 items. Keep to 100."
    ]


_WORDS = """
    vehicle . bore_mm model_year cooling abs camshaft valve_lift_mm fitted brand renewed doing
    present run_km 'camshaft' 'cam_cover_off' 'air' min max int double size swept_cc startsWith ( )
    [ ] , ? : ! - + * / % && || == != < <= > >= in 0 1 2.5 1e308 9223372036854775807 true false
    vehicle.bore_mm vehicle.model_year vehicle.abs vehicle.cooling null // ' " \\ # é
"""
_PIECES = st.sampled_from(_WORDS.split())


@given(st.lists(_PIECES, max_size=14).map(" ".join) | st.text(max_size=40))
@settings(derandomize=True, deadline=None, max_examples=1500)
def test_any_text_is_accepted_or_refused_with_faults_and_mends(text: str) -> None:
    """And what is accepted gives an outcome, whatever is unknown or empty."""
    try:
        expression = compiled(text)
    except Faulty as refused:
        assert refused.faults
        assert all(fault.problem and fault.mend.endswith(".") for fault in refused.faults)
        return
    known = Bike({"vehicle.bore_mm": 96.0, "vehicle.model_year": 2**62, "vehicle.abs": True})
    for bike in (Bike(), known, Bike(empty=frozenset({"camshaft"}))):
        assert isinstance(expression.evaluate(bike), bool | int | float | str | Unknown | Failure)
