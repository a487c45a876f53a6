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

    def stripped(self) -> list[int]:
        """The best choice without what nothing asks for (the relaxation may leave free ones on)."""
        chosen = set(self.best or ())
        search = self.search
        mark = search.mark()
        off = [-v for v in range(1, search.model.size + 1) if v not in chosen]
        true = search.minimise() if search.assume(off) else None
        search.back(mark)
        if true is None:
            raise RuntimeError("the linear programme gave a choice that breaks a clause")
        return true

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
            self._record([v + 1 for v, value in enumerate(relaxed.values) if value > 0.5])
            return
        self._branch(relaxed, fractional)

    def _closed(self, bound: float) -> bool:
        return self.best is not None and bound > (self.best_cost - 0.5) / self.unit

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
