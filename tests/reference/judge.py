"""Sections 3, 4 and 6 of docs/model.md as a judgement of one plan: faults, and its cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rules.catalog import Exclusion, Limit, Part, PartKey, Requirement

from .problem import Problem, Work
from .terms import World

SLACK = 1e-9
Key = tuple[int, int, int, int]
"""What is minimised: two figures by the aim, then places renewed, then the sum of ranks."""


@dataclass(frozen=True)
class Plan:
    """``target``: the part for each renewed place. ``supply``: the kit a place is filled from,
    None for single packs. ``sent_out``: those of ``steps`` that another workshop does."""

    target: Mapping[str, PartKey]
    steps: frozenset[str]
    sent_out: frozenset[str]
    kits: frozenset[PartKey]
    supply: Mapping[str, PartKey | None]


def world_of(problem: Problem, target: Mapping[str, Part], steps: frozenset[str]) -> World:
    """The machine as found together with the target."""
    after = dict(problem.found)
    after.update({place: problem.occupants[part.key] for place, part in target.items()})
    return World(problem.facts, problem.found, after, frozenset(target), steps)


# Section 4


def limit_broken(problem: Problem, limit: Limit, world: World) -> bool:
    """The limit does not hold although its ``when`` does, and no empty place is to blame."""
    if not problem.holds(limit.when, world):
        return False
    return problem.term(limit.limit).read(world.with_slack(SLACK)) is False


def unmet(problem: Problem, rule: Requirement, world: World) -> bool:
    """The requirement fires and what it requires is not so."""
    if not problem.holds(rule.when, world):
        return False
    if rule.renew is not None:
        return rule.renew not in world.renewed
    if rule.do is not None:
        return rule.do in problem.works and rule.do not in world.doing
    return not problem.holds(rule.where, world)


def together(problem: Problem, rule: Exclusion, world: World) -> bool:
    """Everything that may not be together is."""
    return problem.holds(rule.when, world) and all(
        problem.holds(text, world) for text in rule.not_together
    )


def broken_rules(problem: Problem, world: World) -> list[str]:
    """The ids of the rules that this target and these steps break."""
    broken = []
    for rule in problem.rules:
        if (
            (isinstance(rule, Limit) and limit_broken(problem, rule, world))
            or (isinstance(rule, Requirement) and unmet(problem, rule, world))
            or (isinstance(rule, Exclusion) and together(problem, rule, world))
        ):
            broken.append(rule.id)
    return broken


def unmet_demands(problem: Problem, target: Mapping[str, PartKey], world: World) -> list[str]:
    """What the request asks and this target does not give, other than operations and kits."""
    demands = problem.demands
    missing = [f"{place} is not renewed" for place in sorted(demands.renew - set(target))]
    missing += [f"{place} is not kept" for place in sorted(demands.keep & set(target))]
    missing += [
        f"{key} is not the target of {place}"
        for place, key in demands.targets.items()
        if target.get(place) != key
    ]
    missing += [
        f"{place} is not {term.text}"
        for place, term in demands.wheres
        if term.read(world) is not True
    ]
    return missing + (["asks for two parts in one place"] if demands.impossible else [])


# Section 3


def quantities(problem: Problem, world: World) -> dict[str, int]:
    """Pieces for each renewed place, the largest that anything asks for."""
    needed = {place: problem.quantity[place] for place in world.renewed}
    for rule in problem.rules:
        if not isinstance(rule, Requirement) or rule.renew not in needed:
            continue
        if rule.quantity is not None and problem.holds(rule.when, world):
            raised = problem.whole(rule.quantity)
            needed[rule.renew] = max(needed[rule.renew], raised)
    return needed


def undone_work(problem: Problem, renewed: frozenset[str], steps: frozenset[str]) -> list[str]:
    """Access, operations and spent parts that these steps leave open."""
    works = [problem.works[step] for step in steps]
    undone = [f"{one.id} needs {need}" for one in works for need in one.needs - steps]
    undone += [
        f"{one.id} spends {place}"
        for one in works
        for place in (one.spends & set(problem.found)) - renewed
    ]
    undone += [
        f"{one} is not done"
        for one in sorted(operations(problem, renewed))
        if not any(way <= steps for way in problem.ways[one].values())
    ]
    return undone


def undone_shop(problem: Problem, plan: Plan) -> Iterator[str]:
    """Steps done nowhere: sent out without an offer, or without the tool."""
    for one in (problem.works[step] for step in plan.steps):
        if one.id in plan.sent_out and one.sent_price is None:
            yield f"{one.id} cannot be sent out"
        if one.id not in plan.sent_out:
            yield from (
                f"{tool} cannot be had for {one.id}"
                for tool in one.tools
                if problem.tool_price[tool] is None
            )


def wrong_supply(problem: Problem, plan: Plan, needed: Mapping[str, int]) -> Iterator[str]:
    """Kits that may not or must be bought, and places that a kit does not fill."""
    buyable = {kit.key: kit for kit in problem.kits}
    yield from (f"{key} may not be bought" for key in plan.kits - set(buyable))
    yield from (f"{key} is wanted" for key in problem.demands.kits - plan.kits)
    for place, key in plan.target.items():
        kit = plan.supply[place]
        if kit is None:
            continue
        if kit not in plan.kits:
            yield f"{place} is supplied from {kit}, which is not bought"
        elif problem.pieces(buyable[kit], key) < problem.short(key, needed[place]):
            yield f"{kit} does not hold {needed[place]} of {key}"


def faults(problem: Problem, plan: Plan) -> list[str]:
    """Every reason why the plan is not valid; empty when it is."""
    listed = {p.key: p for place in plan.target for p in problem.candidates[place]}
    strangers = [f"{key} is no candidate" for key in plan.target.values() if key not in listed]
    strangers += [f"{one} is nothing here" for one in plan.steps - set(problem.works)]
    if strangers:
        return strangers
    target = {place: listed[key] for place, key in plan.target.items()}
    world = world_of(problem, target, plan.steps)
    return [
        *broken_rules(problem, world),
        *unmet_demands(problem, plan.target, world),
        *undone_work(problem, world.renewed, plan.steps),
        *undone_shop(problem, plan),
        *wrong_supply(problem, plan, quantities(problem, world)),
    ]


# Section 6


def step_cost(problem: Problem, work: Work, *, sent_out: bool) -> tuple[int, int]:
    """Exact cost and minutes of one step without its tools."""
    cost = sum(
        problem.exact("consumable", uses * problem.price(one))
        for one, uses in work.consumables.items()
    )
    minutes = work.minutes
    if sent_out:
        assert work.sent_price is not None
        assert work.sent_minutes is not None
        cost += problem.exact("sent_out", work.sent_price)
        minutes = work.sent_minutes
    return cost + problem.exact("labour", problem.labour(minutes)), minutes


def work_cost(problem: Problem, steps: frozenset[str], sent_out: frozenset[str]) -> tuple[int, int]:
    """Exact cost and minutes of all steps, every tool paid for once."""
    each = [step_cost(problem, problem.works[one], sent_out=one in sent_out) for one in steps]
    tools = {tool for one in steps - sent_out for tool in problem.works[one].tools}
    hired = sum(problem.exact("tool", problem.tool_price[tool] or 0) for tool in tools)
    return sum(cost for cost, _ in each) + hired, sum(minutes for _, minutes in each)


def goods_cost(problem: Problem, plan: Plan) -> int:
    """Exact cost of the packs and kits."""
    parts = {part.key: part for part in problem.catalog.parts}
    listed = {p.key: p for place in plan.target for p in problem.candidates[place]}
    target = {place: listed[key] for place, key in plan.target.items()}
    needed = quantities(problem, world_of(problem, target, plan.steps))
    singles = sum(
        pack_cost(problem, parts[key], needed[place])
        for place, key in plan.target.items()
        if plan.supply[place] is None
    )
    return singles + sum(
        problem.exact("kit", kit.price) for kit in problem.kits if kit.key in plan.kits
    )


def pack_cost(problem: Problem, part: Part, quantity: int) -> int:
    """Exact cost of the whole packs that hold so many pieces, less those on hand."""
    return problem.exact("part", problem.packs(part, quantity) * part.price)


def life_lost(problem: Problem, target: Mapping[str, PartKey]) -> int:
    """Kilometres by which the parts fall short of the longest-lived candidates."""
    lost = 0
    for place, key in target.items():
        lives = {part.key: part.life_km or 0 for part in problem.candidates[place]}
        lost += max(lives.values()) - lives[key]
    return lost


def ranks(problem: Problem, target: Mapping[str, PartKey], steps: frozenset[str]) -> int:
    """The last tie-break: parts by brand and number, ways by id, each counted from 0."""
    parts = sum(
        sorted(part.key for part in problem.catalog.parts if part.part_type == place).index(key)
        for place, key in target.items()
    )
    return parts + sum(
        min(
            sorted(problem.all_ways[one]).index(way)
            for way, needed in problem.ways[one].items()
            if needed <= steps
        )
        for one in operations(problem, frozenset(target))
    )


def operations(problem: Problem, renewed: frozenset[str]) -> frozenset[str]:
    """The operations that the renewed places and the jobs need."""
    needed = {problem.operation_of[place] for place in renewed}
    return problem.demands.operations | needed


def key_of(
    problem: Problem,
    cost: int,
    minutes: int,
    target: Mapping[str, PartKey],
    steps: frozenset[str],
) -> Key:
    """What the plan is judged by."""
    first, second = {
        "cost": (cost, minutes),
        "hours": (minutes, cost),
        "life": (life_lost(problem, target), cost),
    }[problem.aim]
    return first, second, len(target), ranks(problem, target, steps)


def cost_of(problem: Problem, plan: Plan) -> tuple[int, int]:
    """Exact cost and minutes of a plan."""
    work, minutes = work_cost(problem, plan.steps, plan.sent_out)
    return goods_cost(problem, plan) + work, minutes


def judge(problem: Problem, plan: Plan) -> Key:
    """The key of a plan that is taken to be valid."""
    cost, minutes = cost_of(problem, plan)
    return key_of(problem, cost, minutes, plan.target, plan.steps)
