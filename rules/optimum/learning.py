"""Whether clauses can hold together, asked again and again, with clause learning.

Conflict-driven clause learning as in Eén and Sörensson, "An extensible SAT-solver" (SAT 2003):
what one question taught is kept for the next, and where assumptions cannot hold, the answer
names those that clash. Variables are decided in their order, false first, so the same
questions in the same order give the same answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rules.optimum.clauses import ClauseModel
from rules.optimum.search import TooHard

Literals = Sequence[int]

_FACTS, _ASSUMED = 0, 1
"""Levels: what holds in any case, and what holds under the assumptions."""


class Learner:
    """One model, many questions. ``work``: conflicts that all questions together may meet."""

    def __init__(self, model: ClauseModel, work: int) -> None:
        size = model.size
        self.work = work
        # Indexed by literal: a negative one counts from the end of the list.
        self._value = [0] * (2 * size + 1)
        self._watched: list[list[list[int]]] = [[] for _ in range(2 * size + 1)]
        self._level = [0] * (size + 1)
        self._reason: list[Literals | None] = [None] * (size + 1)
        self._saved = [-1] * (size + 1)
        self._rivals: list[list[int]] = [[] for _ in range(size + 1)]
        self._trail: list[int] = []
        self._starts: list[int] = []
        self._done = 0
        self._next = 1
        self._size = size
        self.true: frozenset[int] = frozenset()
        """The variables that were true when assumptions last could hold."""
        self._sound = self._load(model)

    def _load(self, model: ClauseModel) -> bool:
        for group, _ in model.at_most_one:
            for variable in group:
                self._rivals[variable].extend(other for other in group if other != variable)
        for clause in model.clauses:
            if len(clause) > 1:
                self._watch(list(clause))
        units = [clause for clause in model.clauses if len(clause) < 2]
        if any(not clause or not self._set(clause[0], clause) for clause in units):
            return False
        return self._propagate() is None

    # -- questions ---------------------------------------------------------------

    def clash(self, assumed: Iterable[int]) -> frozenset[int] | None:
        """Literals of ``assumed`` that cannot hold together; None: all of them can.

        Raises TooHard when the work is used up.
        """
        if not self._sound:
            return frozenset()
        try:
            self._assume(assumed)
            self._decide()
            self.true = frozenset(literal for literal in self._trail if literal > 0)
        except _ClashError as clash:
            return clash.literals
        finally:
            self._back_to(_FACTS)
        return None

    def _assume(self, assumed: Iterable[int]) -> None:
        self._starts.append(len(self._trail))
        for literal in assumed:
            if not self._set(literal, None):
                raise _ClashError(self._assumptions_behind([-literal]) | {literal})
            self._settle()

    def _decide(self) -> None:
        watched = self._watched
        while (variable := self._open()) is not None:
            literal = variable * self._saved[variable]
            self._starts.append(len(self._trail))
            self._set(literal, None)
            if literal < 0 and not watched[variable]:
                self._done += 1  # nothing can follow
            else:
                self._settle()

    def _open(self) -> int | None:
        value, variable = self._value, self._next
        while variable <= self._size and value[variable]:
            variable += 1
        self._next = variable
        return variable if variable <= self._size else None

    def _settle(self) -> None:
        """Propagate, and learn from each conflict until none is left."""
        while (broken := self._propagate()) is not None:
            if len(self._starts) <= _ASSUMED:
                raise _ClashError(self._assumptions_behind(broken))
            self.work -= 1
            if self.work < 0:
                raise TooHard
            learned, level = self._learn(broken)
            self._back_to(max(level, _ASSUMED))
            if len(learned) > 1:
                self._watch(learned)
            self._set(learned[0], learned)

    # -- propagation ---------------------------------------------------------------

    def _set(self, literal: int, reason: Literals | None) -> bool:
        """False: the opposite holds already."""
        value = self._value
        if value[literal]:
            return value[literal] > 0
        value[literal], value[-literal] = 1, -1
        variable = abs(literal)
        self._level[variable] = len(self._starts)
        self._reason[variable] = reason
        self._trail.append(literal)
        return True

    def _watch(self, clause: list[int]) -> None:
        self._watched[clause[0]].append(clause)
        self._watched[clause[1]].append(clause)

    def _propagate(self) -> Literals | None:
        """A clause that is broken, or None."""
        while self._done < len(self._trail):
            literal = self._trail[self._done]
            self._done += 1
            if literal > 0:
                for rival in self._rivals[literal]:
                    if not self._set(-rival, (-rival, -literal)):
                        return -rival, -literal
            broken = self._visit(-literal)
            if broken is not None:
                return broken
        return None

    def _visit(self, false: int) -> Literals | None:
        """Clauses that watch a literal which has just become false."""
        value, watching = self._value, self._watched[false]
        if not watching:
            return None
        still: list[list[int]] = []
        self._watched[false] = still
        for index, clause in enumerate(watching):
            if clause[0] == false:
                clause[0], clause[1] = clause[1], false
            if value[clause[0]] > 0 or not self._rewatch(clause):
                still.append(clause)
                if not self._set(clause[0], clause):
                    still.extend(watching[index + 1 :])
                    return clause
        return None

    def _rewatch(self, clause: list[int]) -> bool:
        value = self._value
        for place in range(2, len(clause)):
            other = clause[place]
            if value[other] >= 0:
                clause[1], clause[place] = other, clause[1]
                self._watched[other].append(clause)
                return True
        return False

    def _back_to(self, level: int) -> None:
        if len(self._starts) <= level:
            return
        start = self._starts[level]
        value, saved = self._value, self._saved
        for literal in self._trail[start:]:
            value[literal] = value[-literal] = 0
            variable = abs(literal)
            saved[variable] = 1 if literal > 0 else -1
            self._next = min(self._next, variable)
        del self._trail[start:], self._starts[level:]
        self._done = start

    # -- learning ------------------------------------------------------------------

    def _learn(self, broken: Literals) -> tuple[list[int], int]:
        """The clause of the first unique implication point, and the level it sends back to."""
        now, level = len(self._starts), self._level
        seen: set[int] = set()
        lower: list[int] = []
        open_, place = 0, len(self._trail)
        reason: Literals = broken
        while True:
            for literal in reason:
                variable = abs(literal)
                if variable in seen or level[variable] == _FACTS:
                    continue
                seen.add(variable)
                if level[variable] == now:
                    open_ += 1
                else:
                    lower.append(literal)
            place -= 1
            while abs(self._trail[place]) not in seen:
                place -= 1
            found = self._trail[place]
            open_ -= 1
            if not open_:
                break
            reason = self._reason[abs(found)] or ()
        lower.sort(key=lambda literal: -level[abs(literal)])
        return [-found, *lower], level[abs(lower[0])] if lower else _ASSUMED

    def _assumptions_behind(self, literals: Literals) -> frozenset[int]:
        """Assumed literals from which it follows that all of ``literals`` are false."""
        seen = {abs(literal) for literal in literals}
        behind: list[int] = []
        for literal in reversed(self._trail):
            variable = abs(literal)
            if variable not in seen or self._level[variable] == _FACTS:
                continue
            reason = self._reason[variable]
            if reason is None:
                behind.append(literal)
            else:
                seen.update(map(abs, reason))
        return frozenset(behind)


class _ClashError(Exception):
    """The assumptions cannot hold together."""

    def __init__(self, literals: frozenset[int]) -> None:
        super().__init__()
        self.literals = literals
