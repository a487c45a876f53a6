"""A plan read off a solved model: target, supplies, ways, steps, tools."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rules.catalog import Part, PartKey
from rules.model.costs import packs
from rules.model.plan_model import PlanModel
from rules.optimum import Solution


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """``packs``: to buy for each place, what is on hand or in a kit left out. ``target``:
    renewed places; ``kit_of``: places that a kit supplies; ``sent_out``: steps
    done elsewhere; ``minutes``: of each step as done here. ``missing``: names of facts without
    which minutes or quantities cannot be said."""

    target: Mapping[str, Part]
    quantity: Mapping[str, int]
    packs: Mapping[str, int]
    kit_of: Mapping[str, PartKey]
    kits: tuple[PartKey, ...]
    ways: Mapping[str, str]
    steps: tuple[str, ...]
    sent_out: frozenset[str]
    minutes: Mapping[str, int]
    tools: tuple[str, ...]
    fired: frozenset[str]
    missing: frozenset[str]
    solution: Solution = field(compare=False)

    @property
    def labour_minutes(self) -> int:
        """All minutes in this shop."""
        return sum(self.minutes.values())

    def same_build(self, other: Plan) -> bool:
        """Whether two plans buy and do the same, in the same time."""
        return self == other


def read_plan(model: PlanModel, solution: Solution) -> Plan:
    """The plan that a solution stands for."""
    on = solution.true
    target = {
        place: model.compiled.parts[key] for (place, key), v in model.choose.items() if v in on
    }
    sent_out = frozenset(name for name, v in model.sent_out.items() if v in on)
    steps = tuple(name for name, v in model.step.items() if v in on)
    unknown = [u.missing for v, u in model.unpriced.items() if v in on]
    fired = frozenset(rule for rule, v in model.fires.items() if v in on)
    quantity = {place: _quantity(model, place, fired) for place in sorted(target)}
    kit_of = {place: kit for (kit, place, _), v in model.supply.items() if v in on}
    return Plan(
        target=dict(sorted(target.items())),
        quantity=quantity,
        packs={
            place: 0 if place in kit_of else _packs(model, target[place], quantity[place])
            for place in quantity
        },
        kit_of=kit_of,
        kits=tuple(sorted(key for key, v in model.kit.items() if v in on)),
        ways={operation: way for (operation, way), v in model.way.items() if v in on},
        steps=steps,
        sent_out=sent_out,
        minutes={name: _minutes(model, name, sent_out) for name in steps},
        tools=tuple(sorted(name for name, v in model.tool.items() if v in on)),
        fired=fired,
        missing=frozenset().union(*unknown),
        solution=solution,
    )


def _packs(model: PlanModel, part: Part, quantity: int) -> int:
    return packs(part, max(0, quantity - model.demand.on_hand.get(part.key, 0)))


def _quantity(model: PlanModel, place: str, fired: frozenset[str]) -> int:
    raised = [q for rule, q in model.raised.get(place, {}).items() if rule in fired]
    return max([model.quantity[place], *raised])


def _minutes(model: PlanModel, step: str, sent_out: frozenset[str]) -> int:
    send_out = model.compiled.steps[step].send_out
    if step in sent_out and send_out is not None:
        return send_out.minutes
    return model.minutes[step]
