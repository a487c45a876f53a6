"""Branch and bound on the linear relaxation, with the clause search doing the propagation."""

from __future__ import annotations

from dataclasses import dataclass, field

from rules.optimum.relaxation import Relaxation, Relaxed
from rules.optimum.search import Search, TooHard


@dataclass(slots=True)
class RelaxedSearch:
    """Minimises one objective. ``costs``: whole numbers by variable; ``unit``: how many of
    them HiGHS counts as 1. Values are whole, so a bound within half of the best one closes a
    branch: the rounding of floating point is far below that."""

    search: Search
    relaxation: Relaxation
    costs: list[int]
    unit: float
    node_limit: int
    best: list[int] | None = None
    best_cost: int = 0
    nodes: int = field(default=0)

    def run(self) -> list[int] | None:
        """The true variables of a cheapest choice, or None. Raises TooHard at the limit."""
        if self.search.consistent:
            self._node()
        return self.best

    def _node(self) -> None:
        if self.search.open_choices() == 0:
            self._record(self.search.true_now())
            return
        self.nodes += 1
        if self.nodes > self.node_limit:
            raise TooHard
        relaxed = self.relaxation.solve(self.search.held())
        if relaxed is None or self._closed(relaxed.value):
            return
        fractional = relaxed.fractional()
        if not fractional:
            self._take(relaxed)
            return
        self._branch(relaxed, fractional)

    def _closed(self, bound: float) -> bool:
        return self.best is not None and bound > (self.best_cost - 0.5) / self.unit

    def _take(self, relaxed: Relaxed) -> None:
        """A whole-valued relaxation: what it leaves off is off, and nothing cheaper exists here."""
        search = self.search
        mark = search.mark()
        off = [-(column + 1) for column, value in enumerate(relaxed.values) if value < 0.5]
        if not search.assume(off) or not self._record_stripped():
            raise RuntimeError("the linear programme gave a choice that breaks a clause")
        search.back(mark)

    def _record_stripped(self) -> bool:
        """Record what is left when everything that nothing asks for is off."""
        stripped = self.search.minimise()
        if stripped is None:
            return False
        self._record(stripped)
        return True

    def _record(self, true: list[int]) -> None:
        cost = sum(self.costs[variable] for variable in true)
        if self.best is None or cost < self.best_cost:
            self.best, self.best_cost = true, cost

    def _branch(self, relaxed: Relaxed, fractional: list[int]) -> None:
        values = relaxed.values
        variable = min(fractional, key=lambda v: (abs(values[v - 1] - 0.5), v))
        first = variable if values[variable - 1] >= 0.5 else -variable
        for literal in (first, -first):
            mark = self.search.mark()
            if self.search.assume([literal]):
                self._node()
            self.search.back(mark)
