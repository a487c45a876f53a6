"""Conflicts of generated catalogs: all of them, against MiniSat and Hitman on the same clauses.

That each is sufficient and minimal by the written definition, without these clauses, is
checked beside the optimum.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import pytest
from pysat.examples.hitman import Hitman  # type: ignore[import-untyped]
from pysat.solvers import Solver as PysatSolver  # type: ignore[import-untyped]

from rules.compiled import compile_catalog
from rules.conflict.wish import origins_of
from rules.demand import resolve
from rules.identify import identify
from rules.model.checks import Origin
from rules.model.plan_model import PlanModel, build_model
from rules.optimum.clauses import ClauseModel
from rules.optimum.conflict_sets import minimal_conflicts, minimal_corrections
from rules.optimum.leavable import Questions, leavable
from tests.optimum.answers import answered
from tests.reference.generator import SMALL, TINY, Shape, generate

PLENTY: Final = 100_000
MANY: Final = 40
"""Catalogs with more minimal conflicts than this are left to the tests of the caps."""


def _impossible(shape: Shape, first: int, count: int) -> Iterator[tuple[int, PlanModel]]:
    for seed in range(first, first + count):
        generated = generate(seed, shape)
        compiled = compile_catalog(generated.catalog)
        request = generated.request
        model = build_model(compiled, identify(compiled, request), resolve(compiled, request))
        if model.solver.why_impossible(model.taken):
            yield seed, model


class _Other:
    """The same clauses in another solver, each origin with a mark that turns its clauses on."""

    def __init__(self, model: PlanModel) -> None:
        clauses: ClauseModel = model.clauses
        self.origins = origins_of(clauses)
        self.mark = {o: clauses.size + 1 + place for place, o in enumerate(self.origins)}
        self.solver = PysatSolver("minisat22")
        for clause, origin in zip(clauses.clauses, clauses.origins, strict=True):
            mark = [-self.mark[origin]] if isinstance(origin, tuple) else []
            self.solver.add_clause([*clause, *mark])
        for group, _ in clauses.at_most_one:
            for place, one in enumerate(group):
                for other in group[place + 1 :]:
                    self.solver.add_clause([-one, -other])
        self.taken = model.taken

    def possible(self, kept: frozenset[Origin]) -> bool:
        return bool(self.solver.solve([*self.taken, *(self.mark[o] for o in sorted(kept))]))

    def all_sets(self, most: int) -> tuple[set[frozenset[Origin]], set[frozenset[Origin]]] | None:
        """Minimal conflicts and corrections; None: more than ``most`` of them."""
        everything = frozenset(self.origins)
        conflicts: set[frozenset[Origin]] = set()
        corrections: set[frozenset[Origin]] = set()
        with Hitman(htype="sorted") as hitman:
            while (left_out := hitman.get()) is not None:
                if len(conflicts) + len(corrections) > most:
                    return None
                kept = everything - frozenset(left_out)
                if self.possible(kept):
                    corrections.add(frozenset(left_out))
                    hitman.block(left_out)
                    continue
                for one in sorted(kept):
                    if not self.possible(kept - {one}):
                        kept -= {one}
                conflicts.add(kept)
                hitman.hit(sorted(kept))
        return conflicts, corrections


@pytest.mark.parametrize(
    ("shape", "first", "count", "least"), [(TINY, 0, 80, 25), (SMALL, 0, 40, 6)]
)
def test_all_minimal_conflicts_and_corrections(
    shape: Shape, first: int, count: int, least: int
) -> None:
    checked = 0
    for seed, model in _impossible(shape, first, count):
        other = _Other(model)
        expected = other.all_sets(MANY)
        if expected is None:
            continue
        questions = Questions(leavable(model.clauses, other.origins), model.taken, PLENTY)
        conflicts = minimal_conflicts(other.origins, questions.ask, most=PLENTY, asks=PLENTY)
        corrections = minimal_corrections(other.origins, questions.ask, most=PLENTY, asks=PLENTY)
        assert conflicts.complete, seed
        assert corrections.complete, seed
        found = ({frozenset(c) for c in conflicts.sets}, {frozenset(c) for c in corrections.sets})
        assert found == expected, seed
        checked += 1
    assert checked >= least


def test_what_is_cited_alone_still_fails_and_less_of_it_does_not() -> None:
    checked = 0
    for seed, model in _impossible(SMALL, 100, 60):
        other = _Other(model)
        questions = Questions(leavable(model.clauses, other.origins), model.taken)
        for cited in minimal_conflicts(other.origins, questions.ask, most=12, asks=250).sets:
            kept = frozenset(cited)
            assert not other.possible(kept), (seed, cited)
            assert all(other.possible(kept - {one}) for one in kept), (seed, cited)
            checked += 1
    assert checked >= 20


def test_the_same_request_gives_the_same_explanation() -> None:
    for seed in range(60):
        first, second = answered(generate(seed, TINY)), answered(generate(seed, TINY))
        assert (first.conflicts, first.repairs, first.notes) == (
            second.conflicts,
            second.repairs,
            second.notes,
        )
