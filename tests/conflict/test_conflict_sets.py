"""The enumeration: complete, minimal, smallest first, dual, bounded and repeatable."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pysat.examples.hitman import Hitman  # type: ignore[import-untyped]
from pysat.solvers import Solver as PysatSolver  # type: ignore[import-untyped]

from rules.optimum.clauses import ClauseModel
from rules.optimum.conflict_sets import (
    OutOfWorkError,
    Verdict,
    minimal_conflicts,
    minimal_corrections,
    minimal_hitting_sets,
)
from rules.optimum.learning import Learner
from rules.optimum.leavable import Questions, leavable
from rules.optimum.search import TooHard
from tests.conflict.oracles import asking, by_trying_all, found_by_us, minimal

ELEMENTS = tuple(range(1, 8))
families = st.lists(st.frozensets(st.sampled_from(ELEMENTS), min_size=1), max_size=8)
Clauses = list[list[int]]
VARIABLES = 5


@st.composite
def clause_sets(draw: st.DrawFn) -> Clauses:
    """Small clause sets, most of which cannot hold together."""
    literal = st.sampled_from([v for n in range(1, VARIABLES + 1) for v in (n, -n)])
    clause = st.lists(literal, min_size=1, max_size=3, unique_by=abs)
    return draw(st.lists(clause, min_size=4, max_size=11))


@given(families)
def test_duality(family: list[frozenset[int]]) -> None:
    """Minimal corrections are the minimal hitting sets of the minimal conflicts, and back."""

    def possible(kept: frozenset[int]) -> bool:
        return not any(clash <= kept for clash in family)

    conflicts, corrections = found_by_us(ELEMENTS, asking(possible))
    assert conflicts == minimal(family)
    assert (conflicts, corrections) == by_trying_all(ELEMENTS, possible)
    assert set(minimal_hitting_sets(conflicts, ELEMENTS)) == corrections
    if conflicts:
        assert set(minimal_hitting_sets(corrections, ELEMENTS)) == conflicts


@given(families, st.integers(1, 4))
def test_fewer_are_the_smallest_of_all(family: list[frozenset[int]], most: int) -> None:
    ask = asking(lambda kept: not any(clash <= kept for clash in family))
    everything = minimal_conflicts(ELEMENTS, ask, most=100, asks=10_000)
    some = minimal_conflicts(ELEMENTS, ask, most=most, asks=10_000)
    assert some.sets == everything.sets[:most]
    assert some.complete == (len(everything.sets) <= most)
    assert some == minimal_conflicts(ELEMENTS, ask, most=most, asks=10_000)


@given(families, st.integers(0, 12))
def test_no_more_is_asked_than_granted(family: list[frozenset[int]], asks: int) -> None:
    """What was found before the work ran out stands, and nothing else is claimed."""
    asked = 0

    def ask(kept: frozenset[int]) -> Verdict[int]:
        nonlocal asked
        asked += 1
        clash = next((one for one in family if one <= kept), None)
        return Verdict(True) if clash is None else Verdict(False, clash)

    found = minimal_corrections(ELEMENTS, ask, most=100, asks=asks)
    assert asked <= asks
    _, corrections = by_trying_all(ELEMENTS, lambda kept: not any(c <= kept for c in family))
    assert {frozenset(one) for one in found.sets} <= corrections
    assert not found.complete or {frozenset(one) for one in found.sets} == corrections


def test_a_question_that_is_too_hard_ends_the_search_without_a_claim() -> None:
    def ask(_: frozenset[int]) -> Verdict[int]:
        raise OutOfWorkError

    found = minimal_conflicts(ELEMENTS, ask, most=3, asks=100)
    assert (found.sets, found.complete) == ((), False)


def test_an_impossible_frame_has_no_correction_and_the_empty_conflict() -> None:
    def ask(_: frozenset[int]) -> Verdict[int]:
        return Verdict(False)

    assert minimal_corrections(ELEMENTS, ask, most=9, asks=99).sets == ()
    assert minimal_conflicts(ELEMENTS, ask, most=9, asks=99).sets == ((),)


def test_what_holds_together_has_no_conflict_and_the_empty_correction() -> None:
    def ask(_: frozenset[int]) -> Verdict[int]:
        return Verdict(True)

    assert minimal_conflicts(ELEMENTS, ask, most=9, asks=99).sets == ()
    assert minimal_corrections(ELEMENTS, ask, most=9, asks=99).sets == ((),)


# -- against another solver -----------------------------------------------------------------


def _model(clauses: Clauses) -> ClauseModel:
    model = ClauseModel()
    for _ in range(VARIABLES):
        model.variable()
    for index, clause in enumerate(clauses):
        model.add(clause, index)
    return model


def _by_pysat(clauses: Clauses) -> tuple[set[frozenset[int]], set[frozenset[int]]]:
    """Conflicts and corrections by implicit hitting sets with MiniSat and Hitman (python-sat)."""
    marks = {index: VARIABLES + 1 + index for index in range(len(clauses))}
    conflicts: set[frozenset[int]] = set()
    corrections: set[frozenset[int]] = set()
    with PysatSolver("minisat22") as solver, Hitman(htype="sorted") as hitman:
        for index, clause in enumerate(clauses):
            solver.add_clause([*clause, -marks[index]])
        while (left_out := hitman.get()) is not None:
            if solver.solve([m for i, m in marks.items() if i not in left_out]):
                corrections.add(frozenset(left_out))
                hitman.block(left_out)
                continue
            kept = [i for i in marks if i not in left_out]
            for one in list(kept):
                if not solver.solve([marks[i] for i in kept if i != one]):
                    kept.remove(one)
            conflicts.add(frozenset(kept))
            hitman.hit(kept)
    return conflicts, corrections


@given(clause_sets())
def test_same_sets_as_another_solver_finds(clauses: Clauses) -> None:
    model = _model(clauses)
    elements = [index for index in range(len(clauses)) if index in model.origins]
    questions = Questions(leavable(model, elements))
    assert found_by_us(elements, questions.ask) == _by_pysat(clauses)


@st.composite
def questions_with_groups(draw: st.DrawFn) -> tuple[Clauses, list[list[int]], list[list[int]]]:
    """Clauses, groups of which at most one is true, and a row of assumptions to make."""
    size = 8
    literal = st.sampled_from([v for n in range(1, size + 1) for v in (n, -n)])
    clause = st.lists(literal, min_size=1, max_size=4, unique_by=abs)
    group = st.lists(st.integers(1, size), min_size=2, max_size=4, unique=True)
    assumed = st.lists(literal, max_size=5, unique_by=abs)
    return (
        draw(st.lists(clause, max_size=24)),
        draw(st.lists(group, max_size=2)),
        draw(st.lists(assumed, min_size=1, max_size=6)),
    )


@given(questions_with_groups())
def test_one_learner_answers_a_row_of_questions_as_another_solver_does(
    asked: tuple[Clauses, list[list[int]], list[list[int]]],
) -> None:
    clauses, groups, rows = asked
    model = ClauseModel()
    for _ in range(8):
        model.variable()
    for clause in clauses:
        model.add(clause)
    for group in groups:
        model.exclusive(group)
    learner = Learner(model, 100_000)
    with PysatSolver("cadical153", bootstrap_with=clauses) as solver:
        for group in groups:
            for place, one in enumerate(group):
                for other in group[place + 1 :]:
                    solver.add_clause([-one, -other])
        for assumed in rows:
            clash = learner.clash(assumed)
            assert (clash is None) == solver.solve(assumed)
            if clash is not None:
                assert clash <= set(assumed)
                assert not solver.solve(sorted(clash))


def test_a_learner_stops_when_its_work_is_used_up() -> None:
    """Six pigeons in five holes take more than three dead ends."""
    model = ClauseModel()
    at = {(pigeon, hole): model.variable() for pigeon in range(6) for hole in range(5)}
    for pigeon in range(6):
        model.add(at[pigeon, hole] for hole in range(5))
    for hole in range(5):
        model.exclusive([at[pigeon, hole] for pigeon in range(6)])
    with pytest.raises(TooHard):
        Learner(model, 3).clash([])
    assert Learner(model, 100_000).clash([]) == frozenset()
