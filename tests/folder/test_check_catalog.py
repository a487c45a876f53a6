"""A catalog that does not come from a folder is checked too, at its canonical places."""

from __future__ import annotations

from dataclasses import replace
from math import inf, nan

import pytest

from rules.catalog import (
    Catalog,
    FactCondition,
    FieldDefinition,
    Fitment,
    Limit,
    PartKey,
    Requirement,
)
from rules.catalog_faults import check_catalog
from rules.catalog_faults.cycles import cycles
from rules.catalog_faults.factory import can_all_hold
from rules.folder import canonical, read_catalog, write_catalog
from tests.folder.small_folder import SMALL_FOLDER

SMALL = read_catalog(SMALL_FOLDER)
HC_12 = PartKey("Halden", "HC-12")


def with_property(name: str, value: bool | float | str) -> Catalog:
    changed = replace(SMALL.parts[2], properties={**SMALL.parts[2].properties, name: value})
    return replace(SMALL, parts=(*SMALL.parts[:2], changed, *SMALL.parts[3:]))


def with_condition(condition: FactCondition) -> Catalog:
    return replace(SMALL, fitment=(Fitment(part=HC_12, conditions=(condition,)),))


def wheres(catalog: Catalog) -> list[str]:
    return [fault.where for fault in check_catalog(catalog)]


def test_the_small_catalog_has_no_faults() -> None:
    assert check_catalog(SMALL) == ()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("valve_lift_mm", 12),  # a whole number where a number is declared
        ("valve_lift_mm", True),
        ("valve_lift_mm", "12"),
        ("valve_lift_mm", inf),
        ("valve_lift_mm", nan),
        ("lobes", 4.0),
        ("lobes", True),
        ("grind", 4),
        ("hardened", 1),
        ("colour", "red"),
    ],
)
def test_a_property_that_is_not_what_is_declared(name: str, value: bool | float | str) -> None:
    assert wheres(with_property(name, value)) == [f"parts/camshaft.csv:4:{name}"]


@pytest.mark.parametrize(
    ("condition", "column"),
    [
        (FactCondition(fact="colour", values=("red",)), "colour"),
        (FactCondition(fact="family", low=1.0), "family"),
        (FactCondition(fact="sidecar", values=("yes",)), "sidecar"),
        (FactCondition(fact="displacement_cc", low=900.5), "displacement_cc_from"),
        (FactCondition(fact="displacement_cc", high=inf), "displacement_cc_to"),
        (FactCondition(fact="displacement_cc", values=(904,), low=900.0), "displacement_cc"),
    ],
)
def test_a_condition_that_no_column_could_hold(condition: FactCondition, column: str) -> None:
    assert wheres(with_condition(condition)) == [f"fitment.csv:2:{column}"]


def test_a_fact_of_a_configuration_that_is_not_declared() -> None:
    vehicle = replace(SMALL.vehicles[1], facts={"colour": "red"})
    catalog = replace(SMALL, vehicles=(SMALL.vehicles[0], vehicle))
    assert wheres(catalog) == ["vehicles.csv:3:colour"]


def test_a_part_of_a_type_that_is_not_declared() -> None:
    part = replace(SMALL.parts[-1], part_type="paint", key=PartKey("Lumen", "P-1"))
    assert wheres(replace(SMALL, parts=(*SMALL.parts, part))) == ["parts/paint.csv:2:number"]


def test_bounds_that_are_no_numbers() -> None:
    fact = FieldDefinition(name="odometer_km", kind="whole", label="Odometer", unit="km",
                           minimum=nan)  # fmt: skip
    assert wheres(replace(SMALL, facts=(*SMALL.facts, fact))) == [
        "catalog.yaml:facts.odometer_km:minimum"
    ]


def test_faults_of_expressions_come_after_those_of_references() -> None:
    rules = (
        Limit(id="a", sentence="A.", basis="common practice", limit="vehicle.colour == 'red'"),
        Requirement(id="b", sentence="B.", basis="common practice", do="polish", file="two"),
    )
    catalog = replace(SMALL, rules=rules, cases=())
    assert wheres(catalog) == ["rules/two.yaml:b:do", "rules/main.yaml:a:limit"]


def test_a_value_that_yaml_cannot_hold_is_no_catalog_value() -> None:
    case = replace(SMALL.cases[0], request={"vehicle": {"facts": {"x": nan}}})
    with pytest.raises(TypeError, match="has no place in a catalog file"):
        write_catalog(replace(SMALL, cases=(case,)))


def test_canonical_order_puts_tuples_of_a_case_into_lists() -> None:
    case = replace(SMALL.cases[0], expect={"renews": ("oil",), "status": None})
    tidy = canonical(replace(SMALL, cases=(case,)))
    assert tidy.cases[0].expect == {"renews": ["oil"], "status": None}
    assert "status: null" in write_catalog(tidy)["cases/cam.yaml"]


@pytest.mark.parametrize(
    ("first", "second", "together"),
    [
        ({"values": ("tern",)}, {"values": ("tern", "heron")}, True),
        ({"values": ("tern",)}, {"values": ("heron",)}, False),
        ({"low": 900.0, "high": 1000.0}, {"low": 1000.0}, True),
        ({"low": 900.0, "high": 1000.0}, {"low": 1000.5}, False),
        ({"low": 900.2, "high": 1300.0}, {"high": 900.8}, False),  # no whole number between
        ({"values": (904, 1298)}, {"low": 1000.0}, True),
        ({"values": (904,)}, {"low": 1000.0}, False),
        ({"low": 900.0}, {"low": 5000.0}, True),
    ],
)
def test_two_conditions_on_one_fact(
    first: dict[str, object], second: dict[str, object], together: bool
) -> None:
    text = "values" in first and isinstance(first["values"], tuple) and "tern" in first["values"]
    fact = "family" if text else "displacement_cc"
    facts = {one.name: one for one in SMALL.facts}
    conditions = [
        FactCondition(fact=fact, **one)  # type: ignore[arg-type]
        for one in (first, second)
    ]
    assert can_all_hold(conditions, facts) is together
    assert can_all_hold(reversed(conditions), facts) is together


def test_every_ring_is_found_once() -> None:
    graph = {"a": ["b"], "b": ["c", "a"], "c": ["a"], "d": ["a", "d"], "e": ["d"]}
    found = list(cycles(graph))
    assert ["d"] in found
    assert sorted(found) == [["a", "b"], ["a", "b", "c"], ["d"]]


def test_no_ring_in_a_graph_that_only_goes_on() -> None:
    assert list(cycles({"a": ["b", "c"], "b": ["c"], "c": []})) == []
