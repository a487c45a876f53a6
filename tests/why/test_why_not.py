"""Why something is not in the list: each verdict against the list worked out with it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from rules.answer import BuildList
from rules.build import build_list
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog, compile_catalog
from rules.faults import Faulty
from rules.request import BuildRequest
from rules.why import WhyNot, why_not
from tests.reference import brute_force
from tests.reference.generator import TINY, generate
from tests.reference.judge import cost_of
from tests.reference.problem import pose
from tests.seed_data.demo import compiled_demo
from tests.why.examples import TODAY, request_of

FORCED = ("worse", "equal", "not_needed")


def _answer(compiled: CompiledCatalog, request: BuildRequest) -> BuildList:
    return build_list(compiled, request, today=TODAY, edition="law")


def _asked(compiled: CompiledCatalog, request: BuildRequest, key: PartKey) -> WhyNot:
    return why_not(compiled, request, key, today=TODAY, edition="law")


def _held_to_the_list(compiled: CompiledCatalog, request: BuildRequest, found: WhyNot) -> None:
    """Forcing what is said to cost so much more gives just that total."""
    key = next(k for k in (*compiled.parts, *compiled.kits) if str(k) == found.subject)
    base = _answer(compiled, request)
    forced = _answer(compiled, replace(request, parts_wanted=(*request.parts_wanted, key)))
    if found.verdict == "conflict":
        assert forced.status == "conflict"
        assert found.elements
        return
    assert base.totals is not None
    assert forced.totals is not None
    assert found.total == forced.totals.total
    assert found.total_more is not None
    assert forced.totals.total.minor == base.totals.total.minor + found.total_more.minor
    assert forced.totals.labour_minutes == base.totals.labour_minutes + (found.minutes_more or 0)


@pytest.mark.parametrize(
    ("case", "place"),
    [
        ("mild_cam_keeps_springs", "camshaft"),
        ("least_hours", "lifter"),
        ("longest_life", "lifter"),
        ("clutch_for_long_life", "clutch_plate_set"),
        ("least_cost", "rocker_box_gasket"),
    ],
)
def test_every_candidate_is_held_to_the_list(case: str, place: str) -> None:
    compiled, request = compiled_demo(), request_of(case)
    seen: Counter[str] = Counter()
    for part in compiled.parts_of[place]:
        found = _asked(compiled, request, part.key)
        seen[found.verdict] += 1
        assert found.sentences
        if found.verdict in (*FORCED, "conflict"):
            _held_to_the_list(compiled, request, found)
    assert seen["in_list"] == 1
    assert sum(seen.values()) > 2


def test_verdicts_agree_with_enumeration_on_random_catalogs() -> None:
    """The list with the part, judged by the reference that tries every target."""
    seen: Counter[str] = Counter()
    for seed in range(40):
        generated = generate(seed, TINY)
        compiled = compile_catalog(generated.catalog)
        request = replace(generated.request, aim="cost")
        if _answer(compiled, request).status != "valid":
            continue
        for part in Random(seed).sample(list(compiled.parts), 4):
            found = _asked(compiled, request, part)
            seen[found.verdict] += 1
            wanted = replace(request, parts_wanted=(*request.parts_wanted, part))
            problem = pose(replace(generated, request=wanted))
            best = brute_force.solve(problem)
            if found.verdict in (*FORCED, "conflict"):
                assert (best is None) == (found.verdict == "conflict"), (seed, part)
                _held_to_the_list(compiled, request, found)
            if found.verdict in FORCED and best is not None:
                _, minutes = cost_of(problem, best.plan)
                before = _answer(compiled, request).totals
                assert before is not None
                assert minutes == before.labour_minutes + (found.minutes_more or 0), (seed, part)
            if found.verdict in ("does_not_fit", "no_longer_sold", "refused"):
                assert best is None, (seed, part)
    assert {"in_list", "does_not_fit", "conflict", "worse", "not_needed"} <= set(seen), seen


def test_a_number_that_nobody_knows_is_a_fault() -> None:
    with pytest.raises(Faulty) as refused:
        _asked(compiled_demo(), request_of("least_cost"), PartKey("", "XX-0"))
    assert [fault.where for fault in refused.value.faults] == ["/part"]


@pytest.mark.parametrize(
    ("way", "where"),
    [(("renew_nothing", "by_hand"), "/way/operation"), (("renew_oil_pump", "x"), "/way/way")],
)
def test_a_way_that_nobody_knows_is_a_fault(way: tuple[str, str], where: str) -> None:
    with pytest.raises(Faulty) as refused:
        why_not(compiled_demo(), request_of("least_cost"), way, today=TODAY, edition="law")
    assert [fault.where for fault in refused.value.faults] == [where]


def test_a_request_that_cannot_be_met_says_so_first() -> None:
    request = request_of("road_cam_or_old_springs")
    found = _asked(compiled_demo(), request, PartKey("Pellworth", "PW-D52"))
    assert found.verdict == "request_conflict"
    assert found.elements


def test_what_depends_on_a_missing_fact_is_open() -> None:
    request = request_of("cooling_decides_the_gaskets")
    found = _asked(compiled_demo(), request, PartKey("Ostrel", "OS-331"))
    assert found.verdict == "open"
    assert "not known" in found.sentences[0]
