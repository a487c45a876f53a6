"""Repairs on generated catalogs: valid when chosen, at the price that was said, smallest, all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from typing import Any, Final

import pytest

from rules.answer import BuildList, Repair
from rules.build import build_list
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog, compile_catalog
from rules.conflict import CONFLICTS_SHOWN, REPAIRS_SHOWN, apply
from rules.request import BuildRequest
from tests.optimum.answers import TODAY, answered
from tests.reference import cp_sat
from tests.reference.formulation import Formulation
from tests.reference.generator import MEDIUM, SMALL, TINY, Generated, Shape, generate
from tests.reference.problem import pose

SERIES: Final = [(TINY, 0, 90, 30), (TINY, 200, 90, 20), (SMALL, 0, 60, 15), (MEDIUM, 0, 20, 6)]
Change = tuple[str, str]


def _conflicts(shape: Shape, first: int, count: int) -> Iterator[tuple[Generated, BuildList]]:
    for seed in range(first, first + count):
        generated = generate(seed, shape)
        answer = answered(generated)
        if answer.status == "conflict":
            yield generated, answer


@pytest.mark.parametrize(("shape", "first", "count", "least"), SERIES)
def test_a_repair_chosen_gives_what_it_said(
    shape: Shape, first: int, count: int, least: int
) -> None:
    checked = 0
    for generated, answer in _conflicts(shape, first, count):
        compiled = compile_catalog(generated.catalog)
        for repair in answer.repairs:
            mended = _built(compiled, apply(generated.request, repair))
            _is_as_said(mended, repair)
            checked += 1
    assert checked >= least


def _built(compiled: CompiledCatalog, request: BuildRequest) -> BuildList:
    return build_list(compiled, request, today=TODAY, edition="generated")


def _is_as_said(mended: BuildList, repair: Repair) -> None:
    said = (mended.machine, repair.sentence)
    assert mended.status == "valid", said
    assert mended.totals is not None
    assert mended.totals.total == repair.total, said
    assert mended.totals.labour_minutes == repair.labour_minutes, said
    bought = {(line.part_type, line.part) for line in mended.parts}
    assert bought == {(part.part_type, part.part) for part in repair.renews}, said


@pytest.mark.parametrize(("shape", "first", "count", "least"), SERIES[:3])
def test_cheapest_first_within_the_caps_and_each_once(
    shape: Shape, first: int, count: int, least: int
) -> None:
    checked = 0
    for _, answer in _conflicts(shape, first, count):
        assert 1 <= len(answer.conflicts) <= CONFLICTS_SHOWN
        assert len(answer.repairs) <= REPAIRS_SHOWN
        totals = [repair.total.minor for repair in answer.repairs]
        assert totals == sorted(totals)
        assert len({repair.patch for repair in answer.repairs}) == len(totals)
        assert answer.repairs or answer.notes
        checked += 1
    assert checked >= least


# -- smallest, and all of them: against a solver that knows nothing of clauses' origins --------


def _wishes(request: BuildRequest) -> list[Change]:
    """Everything that could be let go of, one by one; tools as the request leaves them."""
    return [
        *(("job", job) for job in request.jobs),
        *(("wanted", str(key)) for key in request.parts_wanted),
        *(("refused", str(key)) for key in request.parts_refused),
        *(("keep", place) for place in request.keep),
        *(("add_on", place) for place in request.add_ons),
    ]


def _without(request: BuildRequest, dropped: frozenset[Change]) -> BuildRequest:
    def kept(kind: str, values: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(one for one in values if (kind, str(one)) not in dropped)

    return replace(
        request,
        jobs=kept("job", request.jobs),
        parts_wanted=kept("wanted", request.parts_wanted),
        parts_refused=kept("refused", request.parts_refused),
        keep=kept("keep", request.keep),
        add_ons=kept("add_on", request.add_ons),
    )


def _possible(generated: Generated, request: BuildRequest, tools: frozenset[str]) -> bool:
    """By CP-SAT over the written definition; ``tools`` are at hand for nothing."""
    problem = pose(generated, request)
    had = {name: 0 if name in tools else price for name, price in problem.tool_price.items()}
    return cp_sat.possible(Formulation(replace(problem, tool_price=had)))


def _smallest(generated: Generated) -> set[frozenset[Change]]:
    """Minimal sets of wishes and of tools nobody has without which something is possible."""
    request = generated.request
    lacking = [name for name, price in pose(generated).tool_price.items() if price is None]
    changes = [*_wishes(request), *(("tool", name) for name in lacking)]
    found: set[frozenset[Change]] = set()
    for size in range(len(changes) + 1):
        for chosen in map(frozenset, combinations(changes, size)):
            if any(known <= chosen for known in found):
                continue
            tools = frozenset(name for kind, name in chosen if kind == "tool")
            if _possible(generated, _without(request, chosen), tools):
                found.add(chosen)
    return found


@pytest.mark.parametrize(("first", "count", "least"), [(300, 60, 12), (500, 60, 12)])
def test_every_smallest_change_is_offered_and_no_other(first: int, count: int, least: int) -> None:
    """But those after which nothing would be asked for, and nothing else can take the place."""
    checked = 0
    for generated, answer in _conflicts(TINY, first, count):
        if len(_wishes(generated.request)) > 6:
            continue
        smallest = _smallest(generated)
        offered = {_changes(repair) for repair in answer.repairs}
        assert offered <= smallest, generated
        for change in smallest - offered:
            rest = _without(generated.request, change)
            assert not (rest.jobs or rest.parts_wanted or rest.add_ons), (generated, change)
        checked += bool(smallest)
    assert checked >= least


def _changes(repair: Repair) -> frozenset[Change]:
    return frozenset((change.kind, change.ref) for change in repair.changes)


# -- what a client sends -----------------------------------------------------------------------


def test_a_number_without_its_brand_is_let_go_of_all_the_same() -> None:
    """The request may spell numbers in any way that finds them."""
    checked = 0
    for generated, answer in _conflicts(TINY, 0, 120):
        request = generated.request
        loose = replace(
            request,
            parts_wanted=tuple(PartKey("", key.number.lower()) for key in request.parts_wanted),
            parts_refused=tuple(PartKey("", key.number.lower()) for key in request.parts_refused),
        )
        compiled = compile_catalog(generated.catalog)
        again = _built(compiled, loose)
        assert (again.conflicts, again.notes) == (answer.conflicts, answer.notes)
        assert [one.sentence for one in again.repairs] == [one.sentence for one in answer.repairs]
        for repair in again.repairs:
            _is_as_said(_built(compiled, apply(loose, repair)), repair)
            checked += any(change.kind in ("wanted", "refused") for change in repair.changes)
    assert checked >= 8
