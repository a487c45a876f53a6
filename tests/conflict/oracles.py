"""Ways to answer "does this hold together?" for the enumeration under test."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from itertools import combinations

from rules.optimum.conflict_sets import Ask, Verdict, minimal_conflicts, minimal_corrections

PLENTY = 100_000


def asking(possible: Callable[[frozenset[int]], bool]) -> Ask[int]:
    """An answer whose witness of a clash is simply everything that was asked."""

    def ask(kept: frozenset[int]) -> Verdict[int]:
        return Verdict(True) if possible(kept) else Verdict(False, kept)

    return ask


def found_by_us(
    elements: Sequence[int], ask: Ask[int]
) -> tuple[set[frozenset[int]], set[frozenset[int]]]:
    """All minimal conflicts and all minimal corrections, in full and smallest first."""
    conflicts = minimal_conflicts(elements, ask, most=PLENTY, asks=PLENTY)
    corrections = minimal_corrections(elements, ask, most=PLENTY, asks=PLENTY)
    for found in (conflicts, corrections):
        assert found.complete
        assert [len(one) for one in found.sets] == sorted(len(one) for one in found.sets)
        assert len(set(found.sets)) == len(found.sets)
    return {frozenset(c) for c in conflicts.sets}, {frozenset(c) for c in corrections.sets}


def minimal(sets: Iterable[frozenset[int]]) -> set[frozenset[int]]:
    """Those that contain no other."""
    listed = set(sets)
    return {one for one in listed if not any(other < one for other in listed)}


def by_trying_all(
    elements: Collection[int], possible: Callable[[frozenset[int]], bool]
) -> tuple[set[frozenset[int]], set[frozenset[int]]]:
    """Minimal conflicts and corrections by looking at every subset."""
    everything = frozenset(elements)
    subsets = [
        frozenset(chosen)
        for size in range(len(everything) + 1)
        for chosen in combinations(sorted(everything), size)
    ]
    holds = {one: possible(one) for one in subsets}
    conflicts = minimal(one for one in subsets if not holds[one])
    corrections = minimal(one for one in subsets if holds[everything - one])
    return conflicts, corrections
