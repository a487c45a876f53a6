"""The set of add-ons worth most within a budget, by exact search over the offers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from rules.listing.add_ons import Offer, Workbench

PLAN_LIMIT = 600
"""Plans priced before the search stops and says that it is not proven."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Add-ons chosen (part types), their total with the plan and what they save later."""

    places: tuple[str, ...]
    total: int
    worth: int
    proven: bool


@dataclass(slots=True)
class BudgetSearch:
    """Depth first over offers, best first; a branch goes when even its free worth is too little.

    worth(A) = sum of later prices of A - (total(plan + A) - total(plan)). A total only grows
    with more add-ons, so a set over the budget is left at once.
    """

    bench: Workbench
    taken: frozenset[str]
    base_total: int
    budget: int
    offers: Sequence[Offer]
    best: Choice = field(init=False)
    _rest: list[int] = field(init=False)
    _priced: int = 0

    def run(self) -> Choice:
        """The best choice; with nothing affordable, the empty one."""
        self.best = Choice((), self.base_total, 0, True)
        ceilings = [offer.later.total for offer in self.offers]
        self._rest = [sum(ceilings[i:]) for i in range(len(ceilings) + 1)]
        self._extend(0, (), 0, 0)
        proven = self._priced <= PLAN_LIMIT
        return Choice(tuple(sorted(self.best.places)), self.best.total, self.best.worth, proven)

    def _extend(self, index: int, chosen: tuple[str, ...], later: int, added: int) -> None:
        if index == len(self.offers) or later - added + self._rest[index] <= self.best.worth:
            return
        offer = self.offers[index]
        self._take(index, offer, chosen, later)
        self._extend(index + 1, chosen, later, added)

    def _take(self, index: int, offer: Offer, chosen: tuple[str, ...], later: int) -> None:
        self._priced += 1
        if self._priced > PLAN_LIMIT:
            return
        more = (*chosen, offer.place)
        priced = self.bench.with_add_ons(self.taken | set(more))
        if priced is None or priced.total > self.budget:
            return
        worth = later + offer.later.total - (priced.total - self.base_total)
        if worth > self.best.worth:
            self.best = Choice(more, priced.total, worth, True)
        added = priced.total - self.base_total
        self._extend(index + 1, more, later + offer.later.total, added)
