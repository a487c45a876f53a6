"""Branch and bound on the linear relaxation, with the clause search doing the propagation.

At every node: propagate, bound by the relaxation, drop what its reduced costs rule out
against the best choice so far, and only then branch. A first choice to compare with comes
from following the relaxation's own preferences.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from rules.optimum.relaxation import Relaxation, Relaxed
from rules.optimum.search import Search, TooHard


@dataclass(slots=True)
class RelaxedSearch:
    """Minimises one objective. ``costs``: whole numbers by variable; ``unit``: how many of
    them HiGHS counts as 1. Values are whole, so a bound within half of the best one closes a
    branch: the rounding of floating point is far below that. ``best`` may be given to start
    from; it must satisfy the clauses."""

    search: Search
    relaxation: Relaxation
    costs: list[int]
    unit: float
    node_limit: int
    best: list[int] | None = None
    ceilings: Sequence[tuple[list[int], int]] = ()
    """Earlier objectives: what each variable costs there, and what the choice may come to."""
    best_cost: int = 0
    nodes: int = field(default=0)

    def run(self) -> list[int] | None:
        """The true variables of a cheapest choice, or None. Raises TooHard at the limit."""
        if self.best is not None:
            self.best_cost = self._cost(self.best)
        mark = self.search.mark()
        try:
            if self.search.consistent:
                self._node()
        finally:
            self.search.back(mark)
        return self.best

    def run_whole(self) -> None:
        """Leave the rest to HiGHS' own branch and cut; its choice is a cheapest one."""
        relaxed = self.relaxation.solve_whole(self.search.held())
        if relaxed is not None:
            self._record([v + 1 for v, value in enumerate(relaxed.values) if value > 0.5])

    def stripped(self) -> list[int]:
        """The best choice without what nothing asks for (the relaxation may leave free ones on)."""
        chosen = set(self.best or ())
        values = [float(v in chosen) for v in range(1, self.search.model.size + 1)]
        true = self._follow(values)
        if true is None or not chosen.issuperset(true):
            raise RuntimeError("the linear programme gave a choice that breaks a clause")
        return true

    def _node(self) -> None:
        if not self.search.settle() or self._recorded_whole():
            return
        self.nodes += 1
        if self.nodes > self.node_limit:
            raise TooHard
        relaxed = self.relaxation.solve(self.search.held())
        if relaxed is None or self._closed(relaxed.value):
            return
        fractional = relaxed.fractional()
        if not fractional:
            self._record([v + 1 for v, value in enumerate(relaxed.values) if value > 0.5])
            return
        self._improve(relaxed)
        if self._still_open(relaxed) and not self._recorded_whole():
            self._branch(relaxed, fractional)

    def _recorded_whole(self) -> bool:
        """Whether nothing is left to choose; then what holds is recorded."""
        if self.search.open_choices():
            return False
        self._record(self.search.true_now())
        return True

    def _still_open(self, relaxed: Relaxed) -> bool:
        """Whether a better choice may lie here, once what the best one rules out is gone."""
        if self._closed(relaxed.value):
            return False
        return self.search.assume(self._ruled_out(relaxed)) and self.search.settle()

    def _closed(self, bound: float) -> bool:
        return self.best is not None and bound > (self.best_cost - 0.5) / self.unit

    def _cost(self, true: list[int]) -> int:
        return sum(self.costs[variable] for variable in true)

    def _record(self, true: list[int]) -> None:
        """Keep a choice that is better. One that spoils an earlier objective is no choice, and
        no choice with more in it is either, because costs are never negative."""
        if any(sum(costs[v] for v in true) > most for costs, most in self.ceilings):
            return
        cost = self._cost(true)
        if self.best is None or cost < self.best_cost:
            self.best, self.best_cost = true, cost

    def _improve(self, relaxed: Relaxed) -> None:
        """Round the relaxation to a choice, in the hope that it is a good one."""
        true = self._follow(relaxed.values)
        if true is not None:
            self._record(true)

    def _follow(self, values: Sequence[float]) -> list[int] | None:
        """Decide every open choice as ``values`` prefer, or None where that contradicts itself."""
        search = self.search
        mark = search.mark()
        options, place = search.next_options()
        while options:
            liked = max(options, key=lambda v: (values[v - 1], -self.costs[v], -v))
            if not search.assume([liked]):
                break
            options, place = search.next_options(place)
        true = search.true_now() if search.consistent else None
        search.back(mark)
        return true

    def _ruled_out(self, relaxed: Relaxed) -> list[int]:
        """Literals that must hold here, because the opposite costs more than the best choice."""
        if self.best is None:
            return []
        slack = (self.best_cost - 0.5) / self.unit - relaxed.value
        held: list[int] = []
        for column, price in enumerate(relaxed.reduced_costs):
            if price > slack and relaxed.values[column] < 0.5:
                held.append(-(column + 1))
            elif -price > slack and relaxed.values[column] > 0.5:
                held.append(column + 1)
        return held

    def _branch(self, relaxed: Relaxed, fractional: list[int]) -> None:
        values = relaxed.values
        variable = min(fractional, key=lambda v: (abs(values[v - 1] - 0.5), v))
        first = variable if values[variable - 1] >= 0.5 else -variable
        for literal in (first, -first):
            mark = self.search.mark()
            if self.search.assume([literal]):
                self._node()
            self.search.back(mark)
