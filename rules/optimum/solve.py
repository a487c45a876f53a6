"""Ask a clause model for its optimum, again and again, sharing the work between questions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rules.optimum.clauses import ClauseModel, Origin
from rules.optimum.highs import LinearProgramme
from rules.optimum.search import Search, TooHard

NODE_LIMIT = 300
"""Branchings after which the linear programme takes over: about the time that it needs."""


@dataclass(frozen=True, slots=True)
class Solution:
    """A cheapest choice, proven: no cheaper one satisfies the clauses."""

    true: frozenset[int]
    cost: int
    method: Literal["reductions", "search", "highs"]
    choices_open: int
    nodes: int


@dataclass(frozen=True, slots=True)
class Impossible:
    """Nothing satisfies the clauses; those of ``core`` alone already clash (not minimal)."""

    core: frozenset[Origin]


class Solver:
    """Keeps one search and, once needed, one linear programme for a model."""

    def __init__(
        self, model: ClauseModel, cost_unit: int, node_limit: int = NODE_LIMIT
    ) -> None:
        """``cost_unit``: what counts as 1 for HiGHS, so that its tolerances mean something."""
        self.model = model
        self._cost_unit = cost_unit
        self._node_limit = node_limit
        self._search = Search(model)
        self._programme: LinearProgramme | None = None

    def minimise(self, assumed: Sequence[int] = ()) -> Solution | None:
        """A cheapest choice in which every literal of ``assumed`` holds, or None."""
        search = self._search
        mark = search.mark()
        try:
            if not search.assume(assumed):
                return None
            return self._cheapest(search)
        finally:
            search.back(mark)

    def _cheapest(self, search: Search) -> Solution | None:
        choices = search.open_choices()
        try:
            true = search.minimise(self._node_limit)
            method: Literal["reductions", "search", "highs"] = (
                "reductions" if search.nodes == 0 else "search"
            )
        except TooHard:
            true = self._by_programme(search)
            method = "highs"
        if true is None:
            return None
        return Solution(
            frozenset(true), self.model.cost_of(true), method, choices, search.nodes
        )

    def _by_programme(self, search: Search) -> list[int] | None:
        if self._programme is None:
            self._programme = LinearProgramme(self.model, self._cost_unit)
        found = self._programme.minimise(search.decided())
        if found is None:
            return None
        chosen = set(found)
        # HiGHS may leave free variables on; the search strips what nothing asks for.
        mark = search.mark()
        off = [-v for v in range(1, self.model.size + 1) if v not in chosen]
        stripped = search.minimise() if search.assume(off) else None
        search.back(mark)
        if stripped is None:
            raise RuntimeError("HiGHS gave a choice that breaks a clause")
        return stripped

    def why_impossible(self, assumed: Iterable[int] = ()) -> Impossible | None:
        """The origins of some clauses that clash, or None when something is possible."""
        search = Search(self.model)
        if search.assume(assumed) and search.possible():
            return None
        return Impossible(frozenset(search.core))


def possible_with(model: ClauseModel, origins: frozenset[Origin]) -> Impossible | None:
    """Whether the clauses of ``origins`` (and those without an origin) can hold together.

    None: they can. Otherwise the origins, among them, that clash.
    """
    left_out = {origin for origin in model.origins if origin is not None} - origins
    search = Search(model, without=left_out)
    if search.possible():
        return None
    return Impossible(frozenset(origin for origin in search.core if origin is not None))


def minimal_clash(model: ClauseModel, core: Iterable[Origin]) -> tuple[Origin, ...]:
    """A minimal set of origins that clash, within ``core``, by deleting one at a time.

    Origins are tried in the order of their text, so equal models give equal sets.
    """
    kept = sorted((origin for origin in set(core) if origin is not None), key=repr)
    for origin in list(kept):
        if origin not in kept:
            continue
        smaller = frozenset(kept) - {origin}
        clash = possible_with(model, smaller)
        if clash is not None:
            kept = [other for other in kept if other in clash.core]
    return tuple(kept)
