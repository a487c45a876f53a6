"""Conditions made at random, against going through every machine and every build there is."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from rules.catalog import Caution, Vehicle
from rules.compiled import CompiledCatalog, compile_catalog
from rules.expressions import compile_expression
from rules.machine import Fitted, Machine, fitted_from
from rules.model.assignment import Assignment
from rules.values import Value
from tests.rule_checks.bench import CATALOG, H2, T1, found_in_rule, stated

ATOMS = (
    "vehicle.family == 'tern'",
    "vehicle.family != 'osprey'",
    "vehicle.market == 'track'",
    "vehicle.model_year >= 2003",
    "vehicle.model_year < 2001",
    "vehicle.load_w > 250.0",
    "vehicle.sidecar",
    "camshaft.valve_lift_mm > 12.0",
    "camshaft.valve_lift_mm > 13.0",
    "camshaft.valve_lift_mm < 11.0",
    "fitted.camshaft.valve_lift_mm > 12.0",
    "fitted.camshaft.valve_lift_mm < 9.0",
    "camshaft.grind == 'hot'",
    "fitted.camshaft.grind == 'wild'",
    "renewed('camshaft')",
    "doing('cover_off')",
    "doing('sidecar_off')",
    "run_km('camshaft') > 40000",
    "run_km('camshaft') == 40000",
    "vehicle.model_year == 2003 && camshaft.grind == 'mild'",
)

LITERALS = st.sampled_from(ATOMS) | st.sampled_from(ATOMS).map(lambda atom: f"!({atom})")
CLAUSES = LITERALS | st.tuples(LITERALS, LITERALS).map(lambda two: f"({two[0]} || {two[1]})")
CONDITIONS = st.lists(CLAUSES, min_size=2, max_size=5).map(" && ".join) | st.lists(
    LITERALS, min_size=1, max_size=4
).map(lambda some: f"!({' && '.join(some)})")

COMPILED: CompiledCatalog = compile_catalog(CATALOG)
LIFTS_MM = (5.0, 8.9, 9.0, 9.5, 11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 20.0)
DISTANCES_KM = (0, 39_999, 40_000, 40_001, 10**6)


def _facts(vehicle: Vehicle) -> Iterator[dict[str, Value]]:
    years = range(vehicle.model_year_from, vehicle.model_year_to + 1)
    markets = [vehicle.facts.get("market")] if "market" in vehicle.facts else ["road", "track"]
    for year, market, sidecar in product(years, markets, (False, True)):
        assert market is not None
        yield {**vehicle.facts, "model_year": year, "market": market, "sidecar": sidecar}


def _fitted() -> Iterator[Fitted]:
    for run_km in DISTANCES_KM:
        for key in (T1, H2):
            yield fitted_from(COMPILED.parts[key], run_km)
        for lift_mm, grind in product(LIFTS_MM, ("mild", "hot", "wild")):
            yield Fitted(properties={"valve_lift_mm": lift_mm, "grind": grind}, run_km=run_km)


@cache
def every_build(listed: bool) -> tuple[Assignment, ...]:
    """All that can be, with numbers on either side of every number in the atoms.

    ``listed``: builds on machines with a part of the catalog fitted, or all the others.
    """
    return tuple(
        Assignment(
            Machine(facts=facts, fitted={"camshaft": fitted}),
            COMPILED.properties,
            {} if chosen is None else {"camshaft": chosen},
            steps,
        )
        for vehicle in CATALOG.vehicles
        for facts in _facts(vehicle)
        for fitted in _fitted()
        if (fitted.key is not None) == listed
        for chosen in (None, T1, H2)
        for steps in ((), ("cover_off",), ("cover_off", "sidecar_off"), ("sidecar_off",))
        if facts["sidecar"] or "sidecar_off" not in steps
    )


@settings(derandomize=True, deadline=None, max_examples=150)
@given(CONDITIONS)
def test_never_is_said_exactly_where_no_build_meets_the_condition(when: str) -> None:
    found = found_in_rule(Caution(**stated(when=when, kind="fuel")))
    condition = compile_expression(when, COMPILED.scope, kind="flag", where="r")
    in_the_catalog, elsewhere = (
        any(condition.evaluate(build) is True for build in every_build(listed))
        for listed in (True, False)
    )
    said = " ".join(warning.problem for warning in found.warnings)
    assert (found.faults == ()) == (in_the_catalog or elsewhere)
    assert ("hardly ever" in said) == (elsewhere and not in_the_catalog)
    if "says nothing" in said:
        builds = every_build(True) + every_build(False)
        assert all(condition.evaluate(build) is True for build in builds)
