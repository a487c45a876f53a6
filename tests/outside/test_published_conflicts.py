"""Conflicts and diagnoses of the literature, and instances of known kind, found again.

Each table below names its source. Where a source prints only part of the sets, or none, the
others were worked out by looking at every subset, and the test does that again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import product

import pytest
from pysat.examples.genhard import CB, GT, PAR, PHP  # type: ignore[import-untyped]
from pysat.examples.hitman import Hitman  # type: ignore[import-untyped]
from pysat.examples.musx import MUSX  # type: ignore[import-untyped]
from pysat.formula import CNF, WCNF  # type: ignore[import-untyped]

from rules.optimum.clauses import ClauseModel
from rules.optimum.conflict_sets import minimal_conflicts, minimal_hitting_sets
from rules.optimum.leavable import Questions, leavable
from tests.conflict.oracles import asking, by_trying_all, found_by_us

Possible = Callable[[frozenset[int]], bool]
Sets = set[frozenset[int]]


def sets(*texts: str) -> Sets:
    """``"15"`` is {1, 5}."""
    return {frozenset(map(int, text)) for text in texts}


@dataclass(frozen=True)
class Published:
    """An over-constrained problem: which subsets of 1..count hold together."""

    source: str
    count: int
    possible: Possible
    conflicts: Sets
    diagnoses: Sets


def _within(budget: int, prices: Mapping[int, int]) -> Possible:
    return lambda kept: sum(prices[one] for one in kept) <= budget


def _convertible(kept: frozenset[int]) -> bool:
    """c1: budget 3000, c2: roof rack 500, c3: convertible 500, c4: CD 500, c5: leather 2600."""
    prices = {2: 500, 3: 500, 4: 500, 5: 2600}
    dear = 1 in kept and sum(prices[one] for one in kept - {1}) > 3000
    return not dear and not {2, 3} <= kept


def _full_adder(kept: frozenset[int]) -> bool:
    """1: X1, 2: X2, 3: A1, 4: A2, 5: O1. Inputs 1, 0 and carry 1; outputs 1 and 0 observed."""
    a, b, carry_in, total, carry_out = 1, 0, 1, 1, 0
    for x1, a1, a2 in product((0, 1), repeat=3):
        gates = {
            1: x1 == a ^ b,
            2: total == x1 ^ carry_in,
            3: a1 == a & b,
            4: a2 == x1 & carry_in,
            5: carry_out == a1 | a2,
        }
        if all(gates[one] for one in kept):
            return True
    return False


def _polybox(kept: frozenset[int]) -> bool:
    """1: A1, 2: A2, 3: M1, 4: M2, 5: M3. A3 B2 C2 D3 E3; F is 10 and not 12, G is 12.

    A box that is not kept may put out anything, so its output is free; whole numbers from
    -20 to 20 are room enough, as every kept equation has a solution there if it has any.
    """
    a, b, c, d, e, f, g = 3, 2, 2, 3, 3, 10, 12
    span = range(-20, 21)
    for x in [a * c] if 3 in kept else span:
        for y in [b * d] if 4 in kept else span:
            if 1 in kept and x + y != f:
                continue
            for z in [c * e] if 5 in kept else span:
                if 2 not in kept or y + z == g:
                    return True
    return False


def _csp(names: int, span: range, *constraints: Callable[..., bool]) -> Possible:
    def possible(kept: frozenset[int]) -> bool:
        chosen = [constraints[one - 1] for one in kept]
        return any(
            all(holds(*values) for holds in chosen) for values in product(span, repeat=names)
        )

    return possible


ONE_TO_THREE = range(1, 4)
TU_GRAZ = (
    "TU Graz test problems (github.com/manleviet/CDRModel, MIT, src/main/resources/{}.mzn): "
    "the sets in the file's own comments"
)

EXAMPLES = [
    Published(
        "U. Junker, QuickXplain, AAAI-04, tables 1 and 2: roof racks 500, CD 500, seat 800, metal "
        "colour 500, luxury 2600 within 3000; the paper prints {r4, r5}, the rest worked out",
        5,
        _within(3000, {1: 500, 2: 500, 3: 800, 4: 500, 5: 2600}),
        sets("15", "25", "35", "45"),
        sets("5", "1234"),
    ),
    Published(
        "B. O'Sullivan, A. Papadopoulos, B. Faltings, P. Pu, Representative Explanations for "
        "Over-Constrained Problems, AAAI 2007: conflicts as printed, diagnoses worked out",
        5,
        _convertible,
        sets("23", "125", "135", "145"),
        sets("12", "13", "25", "35", "234"),
    ),
    Published(
        "R. Reiter, A theory of diagnosis from first principles, Artificial Intelligence 32, 1987: "
        "the full adder (from memory, worked out again)",
        5,
        _full_adder,
        sets("12", "145"),
        sets("1", "24", "25"),
    ),
    Published(
        "J. de Kleer, B. C. Williams, Diagnosing multiple faults, Artificial Intelligence 32, "
        "1987: the polybox",
        5,
        _polybox,
        sets("134", "1235"),
        sets("1", "3", "24", "45"),
    ),
    Published(
        TU_GRAZ.format("csp1"),
        4,
        _csp(
            2,
            range(-10, 11),
            lambda x, _: x > 1,
            lambda x, y: x < y,
            lambda x, _: x < 1,
            lambda _, y: y == -10,
        ),
        sets("13", "24"),
        sets("12", "14", "23", "34"),
    ),
    Published(
        TU_GRAZ.format("csp2"),
        7,
        _csp(
            3,
            ONE_TO_THREE,
            lambda _, v2, __: v2 == 1,
            lambda _, v2, __: v2 > 2,
            lambda _, __, v3: v3 == 1,
            lambda _, v2, __: v2 < 2,
            lambda v1, _, __: v1 > 2,
            lambda _, __, v3: v3 > 2,
            lambda v1, _, __: v1 > 1,
        ),
        sets("12", "24", "36"),
        sets("23", "26", "134", "146"),
    ),
    Published(
        TU_GRAZ.format("csp3"),
        7,
        _csp(
            3,
            ONE_TO_THREE,
            lambda _, v2, __: v2 == 1,
            lambda _, v2, __: v2 > 2,
            lambda _, __, v3: v3 == 1,
            lambda _, v2, __: v2 < 2,
            lambda v1, _, __: v1 > 2,
            lambda _, __, v3: v3 > 0,
            lambda v1, _, __: v1 < 2,
        ),
        sets("12", "24", "57"),
        sets("25", "27", "145", "147"),
    ),
    Published(
        TU_GRAZ.format("csp4"),
        7,
        _csp(
            3,
            ONE_TO_THREE,
            lambda _, v2, __: v2 == 1,
            lambda _, v2, __: v2 > 2,
            lambda _, __, v3: v3 == 1,
            lambda v1, _, __: v1 == 2,
            lambda v1, _, __: v1 >= 2,
            lambda _, __, v3: v3 > 0,
            lambda v1, _, __: v1 <= 2,
        ),
        sets("12"),
        sets("1", "2"),
    ),
    Published(
        TU_GRAZ.format("csp5"),
        7,
        _csp(
            3,
            ONE_TO_THREE,
            lambda _, v2, __: v2 == 3,
            lambda _, v2, __: v2 > 2,
            lambda _, __, v3: v3 == 1,
            lambda _, __, v3: v3 < 2,
            lambda v1, _, __: v1 > 2,
            lambda _, __, v3: v3 > 0,
            lambda v1, _, __: v1 < 2,
        ),
        sets("57"),
        sets("5", "7"),
    ),
    Published(
        "TU Graz csp6.mzn of the same place: its conflicts as printed; its printed diagnoses are "
        "those of csp3 and not of this problem, so the ones worked out are taken",
        7,
        _csp(
            3,
            ONE_TO_THREE,
            lambda v1, v2, _: v2 == v1,
            lambda _, v2, __: v2 < 2,
            lambda _, __, v3: v3 == 1,
            lambda _, __, v3: v3 >= 1,
            lambda v1, _, __: v1 > 2,
            lambda _, __, v3: v3 > 0,
            lambda v1, _, __: v1 == 2,
        ),
        sets("57", "125", "127"),
        sets("15", "17", "25", "27", "57"),
    ),
]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.source.split(",")[0])
def test_published_sets_are_found(example: Published) -> None:
    elements = range(1, example.count + 1)
    assert by_trying_all(elements, example.possible) == (example.conflicts, example.diagnoses)
    conflicts, diagnoses = found_by_us(elements, asking(example.possible))
    assert (conflicts, diagnoses) == (example.conflicts, example.diagnoses)
    assert set(minimal_hitting_sets(conflicts, elements)) == diagnoses
    assert set(minimal_hitting_sets(diagnoses, elements)) == conflicts


def test_hitting_sets_of_reiters_collection() -> None:
    """R. Reiter 1987, section 4, figure (from memory; the sets by PySAT's Hitman as well)."""
    collection = sets("245", "123", "135", "246", "24", "235", "16")
    expected = sets("12", "134", "145", "236", "256", "346")
    assert set(minimal_hitting_sets(collection, range(1, 7))) == expected
    with Hitman(bootstrap_with=[sorted(one) for one in collection], htype="sorted") as hitman:
        assert {frozenset(one) for one in hitman.enumerate()} == expected


# -- clause sets of a known kind ------------------------------------------------------------


def _questions(clauses: Iterable[list[int]]) -> tuple[list[int], Questions[int]]:
    """Each clause an element of its own, numbered from 0."""
    listed = list(clauses)
    model = ClauseModel()
    for _ in range(max(abs(literal) for clause in listed for literal in clause)):
        model.variable()
    for index, clause in enumerate(listed):
        model.add(clause, index)
    elements = list(range(len(listed)))
    return elements, Questions(leavable(model, elements), work=200_000)


@pytest.mark.parametrize(
    ("formula", "clauses"),
    [
        (PHP(2), 9),
        (PHP(3), 22),
        (PHP(4), 45),
        (PAR(2), 35),
    ],
    ids=["PHP 2", "PHP 3", "PHP 4", "PAR 2"],
)
def test_formulas_that_are_minimally_unsatisfiable_are_their_own_only_conflict(
    formula: CNF, clauses: int
) -> None:
    """Pigeon hole and parity principle formulas (python-sat's genhard, MIT): leaving any clause
    out makes them satisfiable, so every single clause is a correction and all are the conflict."""
    elements, questions = _questions(formula.clauses)
    assert len(elements) == clauses
    found = minimal_conflicts(elements, questions.ask, most=5, asks=10_000)
    assert found.complete
    assert found.sets == (tuple(elements),)
    assert set(found.counterparts) == {(one,) for one in elements}


@pytest.mark.parametrize(
    ("formula", "clauses"),
    [(GT(3), 12), (GT(4), 34), (CB(2), 32)],
    ids=["GT 3", "GT 4", "CB 2"],
)
def test_the_smallest_conflict_is_no_larger_than_another_extractor_finds(
    formula: CNF, clauses: int
) -> None:
    """Ordering and mutilated chessboard formulas (python-sat's genhard); MUSX finds some set."""
    assert len(formula.clauses) == clauses
    elements, questions = _questions(formula.clauses)
    found = minimal_conflicts(elements, questions.ask, most=1, asks=10_000)
    soft = WCNF()
    for clause in formula.clauses:
        soft.append(clause, weight=1)
    with MUSX(soft, verbosity=0) as extractor:
        other = extractor.compute()
    assert len(found.sets) == 1
    assert len(found.sets[0]) <= len(other)
    kept = frozenset(found.sets[0])
    assert not questions.ask(kept).possible
    assert all(questions.ask(kept - {one}).possible for one in kept)
