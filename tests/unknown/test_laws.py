"""What is said while facts are missing is never contradicted once they are told."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.shapes.request import BuildListRequest
from rules.answer import BuildList, OneAnswer
from rules.build import build_list
from rules.compiled import CompiledCatalog, compile_catalog
from rules.request import Aim, BuildRequest
from tests.reference.generator import SMALL, TINY, Shape, generate
from tests.seed_data.demo import compiled_demo, demo_catalog
from tests.unknown.completions import (
    Values,
    broken_promises,
    build_of,
    told_in_full,
    without,
)

TODAY = date(2031, 3, 4)
LAW = settings(derandomize=True, deadline=None, max_examples=25)

VALUES: Values = {
    "market": ("home", "export"),
    "odometer_km": (0, 20_000, 45_001, 90_000),
    "model_year": (),
}
"""Of the generator's facts, those that a configuration may leave open."""

LEFT_OUT = st.frozensets(
    st.sampled_from(["market", "model_year", "odometer_km", "vehicle", "fitted"]),
    min_size=1,
    max_size=3,
)
GAPS: tuple[frozenset[str], ...] = (
    frozenset({"market"}),
    frozenset({"vehicle"}),
    frozenset({"fitted", "market"}),
    frozenset({"vehicle", "market", "model_year"}),
    frozenset({"odometer_km", "market"}),
)


def answer(compiled: CompiledCatalog, request: BuildRequest) -> BuildList:
    return build_list(compiled, request, today=TODAY, edition="law")


def _check(
    seed: int, shape: Shape, names: frozenset[str], seen: Counter[str], aim: Aim = "cost"
) -> None:
    generated = generate(seed, shape)
    compiled = compile_catalog(generated.catalog)
    asked = replace(without(generated.request, names), aim=aim)
    before = answer(compiled, asked)
    full = list(told_in_full(generated.catalog, asked, VALUES))
    after = [answer(compiled, one) for one in full]
    where = (seed, sorted(names))
    seen[before.status] += 1
    seen["certain lines"] += len(before.always)
    seen["bounded"] += before.total_to is not None
    facts = [ask.fact.removeprefix("vehicle.") for ask in before.asks]
    for one in after:
        if before.status == "needs_facts":
            assert broken_promises(before, one) == [], where
        elif one.status != "needs_facts":
            assert build_of(one) == build_of(before), where
    _one_build_for_each_answer(compiled, facts, full, after, where)
    _answers_keep_their_range(before, full, after, where)


def _one_build_for_each_answer(
    compiled: CompiledCatalog,
    facts: list[str],
    full: list[BuildRequest],
    after: list[BuildList],
    where: object,
) -> None:
    """Facts that are not asked for do not matter: with those asked told, there is one build."""
    builds: dict[tuple[object, ...], object] = {}
    for request, one in zip(full, after, strict=True):
        if one.status == "needs_facts" or any(f.startswith("fitted.") for f in facts):
            continue
        vehicle = compiled.vehicles[request.vehicle_id or ""]
        key = tuple(vehicle.facts.get(name, request.facts.get(name)) for name in facts)
        assert builds.setdefault(key, build_of(one)) == build_of(one), (where, key)


def _answers_keep_their_range(
    before: BuildList, full: list[BuildRequest], after: list[BuildList], where: object
) -> None:
    question = before.next_question
    if question is None or question.fact != "vehicle.market":
        return
    said = {one.says: one for one in question.answers}
    for request, one in zip(full, after, strict=True):
        market = request.facts.get("market")
        if isinstance(market, str) and market in said:
            assert _within(said[market], one), (where, market)


def _within(said: OneAnswer, answer: BuildList) -> bool:
    if answer.totals is None:
        return True
    total = answer.totals.total.minor
    low = said.total_from is None or said.total_from.minor <= total
    high = said.total_to is None or total <= said.total_to.minor
    return not said.impossible and low and high


@LAW
@given(st.integers(0, 99_999), st.sampled_from([TINY, TINY, SMALL]), LEFT_OUT)
def test_nothing_said_before_is_contradicted(
    seed: int, shape: Shape, names: frozenset[str]
) -> None:
    _check(seed, shape, names, Counter())


def test_nothing_is_contradicted_on_many_catalogs() -> None:
    """Fixed seeds, with a count of what was met, so that the law is not held by default."""
    seen: Counter[str] = Counter()
    for names in GAPS:
        for seed in range(16):
            _check(seed, TINY, names, seen)
        for seed in range(3):
            _check(seed, SMALL, names, seen)
    assert seen["needs_facts"] >= 15, seen
    assert seen["certain lines"] >= 60, seen
    assert seen["bounded"] >= 12, seen


DEMO = (
    "market_decides_the_camshaft",
    "cooling_decides_the_gaskets",
    "year_decides_the_tensioner",
    "distance_decides_the_pulley",
    "belt_lies_in_the_open_primary",
    "exchange_pump_with_deposit",
    "sintered_pads_on_old_discs",
    "clutch_for_least_cost",
)
DEMO_VALUES: Values = {
    "market": ("road_strict", "road_basic", "closed_course"),
    "cooling": ("air_oil", "liquid"),
    "odometer_km": (12_000, 79_999, 80_000, 120_000),
    "model_year": (),
}


@pytest.mark.parametrize("case", DEMO)
def test_nothing_is_contradicted_on_the_demo_catalog(case: str) -> None:
    catalog, compiled = demo_catalog(), compiled_demo()
    written = next(dict(one.request) for one in catalog.cases if one.id == case)
    asked = BuildListRequest.model_validate(written).to_request(2)
    asked = without(asked, frozenset({"market", "odometer_km"}))
    before = answer(compiled, asked)
    full = list(told_in_full(catalog, asked, DEMO_VALUES))[::3]
    after = [answer(compiled, one) for one in full]
    assert len(full) > 1
    for one in after:
        if before.status == "needs_facts":
            assert broken_promises(before, one) == []
        else:
            assert build_of(one) == build_of(before)
    asks = [ask.fact.removeprefix("vehicle.") for ask in before.asks]
    _one_build_for_each_answer(compiled, asks, full, after, case)
    _answers_keep_their_range(before, full, after, case)
