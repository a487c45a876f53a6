"""Ask a clause model for its optimum, again and again, sharing the work between questions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rules.optimum.clauses import ClauseModel, Origin
from rules.optimum.relaxation import Relaxation
from rules.optimum.relaxed_search import RelaxedSearch
from rules.optimum.search import Search, TooHard

PLAIN_NODES = 8
"""Branchings (or choices open at the start) past which the linear relaxation takes over."""

TIE_NODES = 24
"""Relaxations spent on a tie-break that need not decide; past it the first best one stays."""

RELAXED_NODES = 160
"""Relaxations after which HiGHS' own branch and cut takes over: about what that costs."""


@dataclass(frozen=True, slots=True)
class Objective:
    """How to read one aim out of a packed cost: ``(cost >> shift) & mask``.

    ``unit``: how many of it HiGHS counts as 1. ``must``: decides even where ties do not matter.
    """

    shift: int
    mask: int
    unit: int
    must: bool = True

    def of(self, cost: int) -> int:
        """This aim's whole number."""
        return (cost >> self.shift) & self.mask


@dataclass(frozen=True, slots=True)
class Solution:
    """A cheapest choice; ``proven``: no cheaper one satisfies the clauses."""

    true: frozenset[int]
    cost: int
    method: Literal["reductions", "search", "highs"]
    choices_open: int
    nodes: int
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Impossible:
    """Nothing satisfies the clauses; those of ``core`` alone already clash (not minimal)."""

    core: frozenset[Origin]


class Solver:
    """Keeps one search and, once needed, one linear programme for a model.

    ``objectives``: the aims packed into the costs, first things first. The plain search
    honours every digit of the packed cost; the linear one the listed objectives in turn.
    """

    def __init__(
        self,
        model: ClauseModel,
        objectives: Sequence[Objective],
        plain_nodes: int = PLAIN_NODES,
    ) -> None:
        self.model = model
        self._objectives = objectives
        self._plain_nodes = plain_nodes
        self._search = Search(model)
        self._relaxation: Relaxation | None = None
        self._hard = False
        self._costs = [[o.of(cost) for cost in model.costs] for o in objectives]

    def minimise(self, assumed: Sequence[int] = (), *, ties: bool = False) -> Solution | None:
        """A cheapest choice in which every literal of ``assumed`` holds, or None.

        ``ties``: let every objective decide between equals, not only those that must.
        """
        search = self._search
        mark = search.mark()
        try:
            if not search.assume(assumed):
                return None
            return self._cheapest(search, ties)
        finally:
            search.back(mark)

    def _cheapest(self, search: Search, ties: bool) -> Solution | None:
        choices = search.open_choices()
        if choices and (self._hard or choices > self._plain_nodes):
            return self._by_relaxation(search, choices, ties)
        try:
            true = search.minimise(self._plain_nodes)
        except TooHard:
            # What was too hard once will be again: related questions go straight on.
            self._hard = True
            return self._by_relaxation(search, choices, ties)
        if true is None:
            return None
        method: Literal["reductions", "search"] = "search" if search.nodes else "reductions"
        return Solution(frozenset(true), self.model.cost_of(true), method, choices, search.nodes)

    def _by_relaxation(self, search: Search, choices: int, ties: bool) -> Solution | None:
        if self._relaxation is None:
            scaled = [self._scaled(index) for index in range(len(self._objectives))]
            self._relaxation = Relaxation(self.model, scaled)
        caps: list[float] = []
        ceilings: list[tuple[list[int], int]] = []
        nodes, proven = 0, True
        best: list[int] | None = None
        for index, objective in enumerate(self._objectives):
            if index and not (objective.must or ties):
                break
            self._relaxation.aim(index, caps)
            limit = RELAXED_NODES if objective.must else TIE_NODES
            run = RelaxedSearch(
                search, self._relaxation, self._costs[index], objective.unit, limit, best, ceilings
            )
            finished = self._finishes(run)
            if not finished and objective.must:
                run.run_whole()
                finished = True
            nodes += run.nodes
            best = run.best
            if not finished or run.best is None:
                proven = finished or not objective.must
                break
            caps.append((run.best_cost + 0.5) / objective.unit)
            ceilings = [*ceilings, (self._costs[index], run.best_cost)]
        if best is None:
            if proven:
                return None
            raise TooHard
        true = run.stripped()
        cost = self.model.cost_of(true)
        return Solution(frozenset(true), cost, "highs", choices, nodes, proven)

    @staticmethod
    def _finishes(run: RelaxedSearch) -> bool:
        """Whether the search came to its end."""
        try:
            run.run()
        except TooHard:
            return False
        return True

    def _scaled(self, index: int) -> list[float]:
        unit = self._objectives[index].unit
        return [cost / unit for cost in self._costs[index][1:]]

    def why_impossible(self, assumed: Iterable[int] = ()) -> Impossible | None:
        """The origins of some clauses that clash, or None when something is possible."""
        search = Search(self.model)
        if search.assume(assumed) and search.possible():
            return None
        return Impossible(frozenset(search.core))


def possible_with(
    model: ClauseModel, origins: frozenset[Origin], assumed: Sequence[int] = ()
) -> Impossible | None:
    """Whether the clauses of ``origins`` (and those without an origin) can hold together,
    with the literals of ``assumed``.

    None: they can. Otherwise the origins, among them, that clash.
    """
    left_out = {origin for origin in model.origins if origin is not None} - origins
    search = Search(model, without=left_out)
    if search.assume(assumed) and search.possible():
        return None
    return Impossible(frozenset(origin for origin in search.core if origin is not None))


def minimal_clash(
    model: ClauseModel, core: Iterable[Origin], assumed: Sequence[int] = ()
) -> tuple[Origin, ...]:
    """A minimal set of origins that clash, within ``core``, by deleting one at a time.

    Origins are tried in the order of their text, so equal models give equal sets.
    """
    kept = sorted((origin for origin in set(core) if origin is not None), key=repr)
    for origin in list(kept):
        if origin not in kept:
            continue
        smaller = frozenset(kept) - {origin}
        clash = possible_with(model, smaller, assumed)
        if clash is not None:
            kept = [other for other in kept if other in clash.core]
    return tuple(kept)
