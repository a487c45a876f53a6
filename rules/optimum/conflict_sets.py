"""Minimal conflicts and corrections of anything that can be asked "does this hold together?".

A *conflict* is a set of elements that cannot hold together; a *correction* a set whose
leaving out lets the rest hold. Each is the other's set of minimal hitting sets (Reiter,
"A theory of diagnosis from first principles", Artificial Intelligence 32, 1987), so both are
found by one search: guess the smallest set that meets everything known of the other side,
probe it, and learn from the answer. What it finds is minimal and comes smallest first.
Nothing here knows of clauses or solvers.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Generic, TypeVar

E = TypeVar("E", bound=Hashable)

HITTING_NODES = 20_000
"""Nodes of one search for a smallest hitting set; past it the work counts as used up."""


class OutOfWorkError(Exception):
    """The work that was granted is used up; what was found so far stands."""


@dataclass(frozen=True, slots=True)
class Verdict(Generic[E]):
    """Whether the asked elements hold together, and if not, what says so.

    ``witness``: where it is possible, elements that hold together with all that was asked
    (the more, the fewer questions follow); where it is not, a part of what was asked that
    cannot hold together.
    """

    possible: bool
    witness: frozenset[E] = frozenset()


Ask = Callable[[frozenset[E]], Verdict[E]]
"""Whether elements hold together. May raise OutOfWorkError."""


@dataclass(frozen=True, slots=True)
class Found(Generic[E]):
    """Minimal sets, smallest first, each in the order of the elements. ``complete``: all of
    them. ``counterparts``: minimal sets of the other side met on the way."""

    sets: tuple[tuple[E, ...], ...]
    counterparts: tuple[tuple[E, ...], ...]
    complete: bool


def minimal_conflicts(elements: Sequence[E], ask: Ask[E], *, most: int, asks: int) -> Found[E]:
    """The smallest minimal conflicts, up to ``most`` of them, with at most ``asks`` questions.

    The same elements in the same order and the same answers give the same sets.
    """
    everything = frozenset(elements)
    remembering = _Remembering(ask, asks)

    def lacks(guess: frozenset[E]) -> frozenset[E] | None:
        # From all elements down: what clashes with the guess or by itself is let go of.
        around = everything
        while not (verdict := remembering(around)).possible:
            loose = verdict.witness - guess
            if not loose:
                return None
            around -= loose
        return around | verdict.witness

    return _Enumeration(elements, lacks, most).run()


def minimal_corrections(elements: Sequence[E], ask: Ask[E], *, most: int, asks: int) -> Found[E]:
    """The smallest minimal corrections, up to ``most`` of them, with at most ``asks`` questions.

    Empty and complete where the frame in which ``ask`` answers is impossible by itself.
    """
    everything = frozenset(elements)
    remembering = _Remembering(ask, asks)

    def lacks(guess: frozenset[E]) -> frozenset[E] | None:
        verdict = remembering(everything - guess)
        return None if verdict.possible else everything - verdict.witness

    return _Enumeration(elements, lacks, most).run()


@dataclass(slots=True)
class _Remembering(Generic[E]):
    """``ask``, at most so many times; what an earlier answer settles is not asked again."""

    ask: Ask[E]
    left: int
    possible: list[frozenset[E]] = field(default_factory=list)
    clashes: list[frozenset[E]] = field(default_factory=list)

    def __call__(self, kept: frozenset[E]) -> Verdict[E]:
        clash = next((known for known in self.clashes if known <= kept), None)
        if clash is not None:
            return Verdict(False, clash)
        around = next((known for known in self.possible if kept <= known), None)
        if around is not None:
            return Verdict(True, around)
        if self.left <= 0:
            raise OutOfWorkError
        self.left -= 1
        verdict = self.ask(kept)
        if verdict.possible:
            self.possible.append(kept | verdict.witness)
        else:
            self.clashes.append(verdict.witness)
        return verdict


@dataclass(slots=True)
class _Enumeration(Generic[E]):
    """Minimal sets with a property that every superset shares.

    ``lacks`` gives None for a set that has the property, or else a set around it that lacks it.
    """

    elements: Sequence[E]
    lacks: Callable[[frozenset[E]], frozenset[E] | None]
    most: int
    found: list[frozenset[E]] = field(default_factory=list)
    others: list[frozenset[E]] = field(default_factory=list)

    def run(self) -> Found[E]:
        complete = False
        with suppress(OutOfWorkError):
            complete = self._enumerate()
        return Found(self._ordered(self.found), self._ordered(self.others), complete)

    def _enumerate(self) -> bool:
        guesses = _Guesses(self.elements, self.others, self.found)
        while (guess := guesses.next()) is not None:
            if len(self.found) == self.most:
                return False
            around = self.lacks(guess)
            if around is None:
                self.found.append(guess)
            else:
                self.others.append(frozenset(self.elements) - self._grown(around))
        return True

    def _grown(self, lacking: frozenset[E]) -> frozenset[E]:
        """The largest set around ``lacking`` that still lacks the property, element by element."""
        for element in self.elements:
            if element not in lacking:
                lacking = self.lacks(lacking | {element}) or lacking
        return lacking

    def _ordered(self, sets: Iterable[frozenset[E]]) -> tuple[tuple[E, ...], ...]:
        return tuple(tuple(e for e in self.elements if e in chosen) for chosen in sets)


@dataclass(slots=True)
class _Guesses(Generic[E]):
    """Smallest sets that meet every one of ``to_hit`` and contain none of ``barred``.

    Both lists only grow, so the smallest size never shrinks.
    """

    elements: Sequence[E]
    to_hit: list[frozenset[E]]
    barred: list[frozenset[E]]
    size: int = 0
    _left: int = 0
    _cut: bool = False

    def next(self) -> frozenset[E] | None:
        """The next guess; None: there is none of any size."""
        if any(not hit for hit in self.to_hit) or any(not bar for bar in self.barred):
            return None
        self._left = HITTING_NODES
        while True:
            self._cut = False
            guess = self._search(frozenset(), frozenset())
            if guess is not None or not self._cut:
                return guess
            self.size += 1

    def _search(self, chosen: frozenset[E], refused: frozenset[E]) -> frozenset[E] | None:
        self._left -= 1
        if self._left < 0:
            raise OutOfWorkError
        unhit = [hit - refused for hit in self.to_hit if not hit & chosen]
        if not unhit:
            return chosen
        if len(chosen) + _apart(unhit) > self.size:
            self._cut = True
            return None
        narrowest = min(unhit, key=len)
        for element in self.elements:
            if element not in narrowest:
                continue
            more = chosen | {element}
            if not any(bar <= more for bar in self.barred):
                guess = self._search(more, refused)
                if guess is not None:
                    return guess
            refused |= {element}
        return None


def _apart(sets: Iterable[frozenset[E]]) -> int:
    """How many of the sets, taken smallest first, have nothing in common: at least so many
    elements are needed to hit them all."""
    met: frozenset[E] = frozenset()
    count = 0
    for one in sorted(sets, key=len):
        if not one & met:
            met |= one
            count += 1
    return count


def minimal_hitting_sets(sets: Iterable[frozenset[E]], elements: Sequence[E]) -> list[frozenset[E]]:
    """All minimal sets that meet every one of ``sets``, smallest first.

    Raises OutOfWorkError where one of them is too hard to find.
    """
    found: list[frozenset[E]] = []
    guesses = _Guesses(elements, list(sets), found)
    while (guess := guesses.next()) is not None:
        found.append(guess)
    return found
