"""docs/expressions.md: its examples are run, its table of engine functions is complete."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rules.engine.functions import FUNCTIONS, EngineFunction, Parameter
from rules.expressions import BUILT_IN_PROPERTIES, RESERVED_NAMES, Scope, compile_expression
from rules.expressions.calls import LANGUAGE_FUNCTIONS, METHODS
from rules.expressions.parser import MAX_LIST, MAX_NESTING, MAX_NODES, MAX_TEXT
from rules.expressions.syntax import show_value
from rules.faults import Faulty
from rules.values import Failure, Outcome, Unknown
from tests.expressions.bike import SCOPE, Bike, by_name, declared

PAGE = Path(__file__).parents[2] / "docs" / "expressions.md"
TEXT = PAGE.read_text(encoding="utf-8")

DOCUMENTED = Scope(
    facts={
        **SCOPE.facts,
        **by_name(declared("cooling", "text", None, ("air", "oil_air", "liquid"))),
    },
    part_types={**SCOPE.part_types, "oil_cooler": by_name(declared("rows", "whole"))},
    steps=SCOPE.steps,
)
MACHINE = Bike(
    {
        "vehicle.cooling": "air",
        "vehicle.family": "K2",
        "vehicle.model_year": 2001,
        "vehicle.cylinders": 2,
        "vehicle.bore_mm": 96.0,
        "vehicle.stroke_mm": 100.0,
        "vehicle.fork_travel_in": 5.0,
        "vehicle.odometer_km": 48_000,
        "camshaft.valve_lift_mm": 11.4,
        "camshaft.life_km": 120_000,
        "valve_spring.max_lift_mm": 12.9,
        "valve_spring.seat_load_n": 320.0,
        "valve_spring.rate_n_per_mm": 45.0,
        "present('oil_cooler')": False,
        "run_km('camshaft')": 48_000,
    },
    empty=frozenset({"oil_cooler"}),
)


def _examples() -> list[tuple[str, str]]:
    blocks = re.findall(r"^```examples\n(.*?)^```", TEXT, re.MULTILINE | re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines()]
    pairs = [line.rsplit("->", 1) for line in lines]
    return [(text.strip(), shown.strip()) for text, shown in pairs]


def _shown(text: str) -> str:
    try:
        expression = compile_expression(text, DOCUMENTED, kind=None, where="page")
    except Faulty as faulty:
        return f"fault: {faulty.faults[0].problem}"
    return _outcome(expression.evaluate(MACHINE))


def _outcome(outcome: Outcome) -> str:
    if isinstance(outcome, Unknown):
        return f"unknown: {', '.join(sorted(outcome.missing))}"
    return f"failure: {outcome.reason}" if isinstance(outcome, Failure) else show_value(outcome)


@pytest.mark.parametrize(("text", "shown"), _examples())
def test_examples(text: str, shown: str) -> None:
    assert _shown(text) == shown


def test_there_are_examples_of_every_outcome() -> None:
    shown = [shown.split(":")[0] for _, shown in _examples()]
    assert len(shown) > 35
    for outcome in ("true", "false", "unknown", "failure", "fault"):
        assert shown.count(outcome) >= 2


def _parameter(parameter: Parameter) -> str:
    kind = " (whole)" if parameter.kind == "whole" else ""
    return f"{parameter.name}{kind}"


def _row(function: EngineFunction) -> str:
    parameters = ", ".join(map(_parameter, function.parameters))
    unit = function.unit or ""
    return f"| `{function.name}({parameters})` | {unit} | {function.sentence} |"


def engine_table() -> str:
    """The table as it must stand on the page."""
    rows = ["| function | unit | gives |", "|---|---|---|", *map(_row, FUNCTIONS.values())]
    return "\n".join(rows)


def test_the_table_of_engine_functions_is_the_registry() -> None:
    between = re.search(
        r"<!-- engine functions -->\n(.*)\n<!-- /engine functions -->", TEXT, re.DOTALL
    )
    assert between is not None
    assert between.group(1) == engine_table()


def test_everything_of_the_language_is_named() -> None:
    for name in (*LANGUAGE_FUNCTIONS, *METHODS, *BUILT_IN_PROPERTIES, *RESERVED_NAMES):
        assert re.search(rf"`[^`]*\b{name}\b[^`]*`", TEXT), name
    for values in (BUILT_IN_PROPERTIES["condition"], BUILT_IN_PROPERTIES["emission_class"]):
        assert all(f"`{value}`" in TEXT for value in values.values)
    for limit in (MAX_TEXT, MAX_NESTING, MAX_NODES, MAX_LIST):
        assert f"| {limit:,} |" in TEXT


@pytest.mark.parametrize("operator", ["&&", "||"])
def test_the_tables_of_and_and_or(operator: str) -> None:
    """Each cell of the two tables, as evaluated."""
    head = "`&&`" if operator == "&&" else "<code>&#124;&#124;</code>"
    lines = TEXT.split(f"| {head} | true |", 1)[1].splitlines()[2:6]
    columns = ("true", "false", "unknown", "failure")
    for line in lines:
        row, *cells = (cell.strip(" *") for cell in line.strip("|").split("|"))
        assert cells == [_combined(row, operator, column) for column in columns], row


def _combined(left: str, operator: str, right: str) -> str:
    outcomes: dict[str, Outcome] = {"true": True, "false": False, "failure": Failure("x")}
    given = {"vehicle.abs": left, "vehicle.sidecar": right}
    answers = {name: outcomes[word] for name, word in given.items() if word in outcomes}
    expression = compile_expression(
        f"vehicle.abs {operator} vehicle.sidecar", SCOPE, kind="flag", where="table"
    )
    return _outcome(expression.evaluate(Bike(answers))).split(":")[0]
