"""Every target, every set of steps, every send-out, every way to buy: docs/model.md literally.

For tiny catalogs only: about (candidates + 1) ** part types targets and 2 ** steps step sets.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, combinations, product
from typing import TypeVar

from rules.catalog import Kit, Part, PartKey

from .judge import (
    Key,
    Plan,
    broken_rules,
    key_of,
    pack_cost,
    quantities,
    undone_work,
    unmet_demands,
    work_cost,
    world_of,
)
from .problem import Problem

Item = TypeVar("Item")


@dataclass(frozen=True)
class Best:
    """The least key, its exact cost and minutes, and one plan that has it."""

    key: Key
    cost: int
    minutes: int
    plan: Plan


@dataclass(frozen=True)
class _Labour:
    steps: frozenset[str]
    sent_out: frozenset[str]
    cost: int
    minutes: int
    spent: frozenset[str]


def subsets(items: list[Item]) -> Iterator[tuple[Item, ...]]:
    """Every subset, the empty one first."""
    return chain.from_iterable(combinations(items, size) for size in range(len(items) + 1))


def solve(problem: Problem) -> Best | None:
    """The best valid plan, or None when nothing is valid."""
    if problem.demands.impossible:
        return None
    labours = list(_labours(problem))
    best: Best | None = None
    for target in _targets(problem):
        keys = {place: part.key for place, part in target.items()}
        world = world_of(problem, target, frozenset())
        if unmet_demands(problem, keys, world):
            continue
        for labour in labours:
            found = _complete(problem, target, labour)
            if found is not None and (best is None or found.key < best.key):
                best = found
    return best


def _targets(problem: Problem) -> Iterator[dict[str, Part]]:
    options = [(None, *problem.candidates[place]) for place in problem.places]
    for chosen in product(*options):
        pairs = zip(problem.places, chosen, strict=True)
        yield {place: part for place, part in pairs if part is not None}


def _labours(problem: Problem) -> Iterator[_Labour]:
    """For each closed set of steps the cheapest and the quickest places to do them."""
    for names in subsets(sorted(problem.works)):
        steps = frozenset(names)
        if any(problem.works[one].needs - steps for one in steps):
            continue
        spent = frozenset().union(*(problem.works[one].spends for one in steps))
        done = [
            _Labour(steps, sent, *work_cost(problem, steps, sent), spent & set(problem.found))
            for sent in _sendings(problem, steps)
        ]
        if done:
            by_hours = problem.aim == "hours"
            yield min(
                done,
                key=lambda one: (one.minutes, one.cost) if by_hours else (one.cost, one.minutes),
            )


def _sendings(problem: Problem, steps: frozenset[str]) -> Iterator[frozenset[str]]:
    """The sets of steps that could be sent out so that the rest can be done in the shop."""
    offered = [one for one in sorted(steps) if problem.works[one].sent_price is not None]
    for names in subsets(offered):
        rest = steps - set(names)
        tools = {tool for one in rest for tool in problem.works[one].tools}
        if all(problem.tool_price[tool] is not None for tool in tools):
            yield frozenset(names)


def _complete(problem: Problem, target: Mapping[str, Part], labour: _Labour) -> Best | None:
    renewed = frozenset(target)
    if not labour.spent <= renewed or undone_work(problem, renewed, labour.steps):
        return None
    world = world_of(problem, target, labour.steps)
    if broken_rules(problem, world):
        return None
    goods, kits, supply = _cheapest_goods(problem, target, quantities(problem, world))
    keys = {place: part.key for place, part in target.items()}
    cost = goods + labour.cost
    return Best(
        key_of(problem, cost, labour.minutes, keys, labour.steps),
        cost,
        labour.minutes,
        Plan(keys, labour.steps, labour.sent_out, kits, supply),
    )


def _cheapest_goods(
    problem: Problem, target: Mapping[str, Part], needed: Mapping[str, int]
) -> tuple[int, frozenset[PartKey], dict[str, PartKey | None]]:
    """Over every set of kits that includes the wanted ones."""
    bought: list[tuple[int, frozenset[PartKey], dict[str, PartKey | None]]] = []
    for kits in subsets(list(problem.kits)):
        keys = frozenset(kit.key for kit in kits)
        if not problem.demands.kits <= keys:
            continue
        supply = {place: _from_kit(problem, kits, target[place], needed[place]) for place in target}
        cost = sum(problem.exact("kit", kit.price) for kit in kits) + sum(
            pack_cost(problem, target[place], needed[place])
            for place, kit in supply.items()
            if kit is None
        )
        bought.append((cost, keys, supply))
    return min(bought, key=lambda one: one[0])


def _from_kit(problem: Problem, kits: tuple[Kit, ...], part: Part, needed: int) -> PartKey | None:
    """A kit that is bought anyway and holds enough costs nothing more."""
    short = problem.short(part.key, needed)
    holding = [kit.key for kit in kits if problem.pieces(kit, part.key) >= short]
    return holding[0] if holding else None
