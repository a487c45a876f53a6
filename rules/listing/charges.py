"""Every amount of a plan, once: the single source of lines, totals and tax."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rules.compiled import CompiledCatalog
from rules.model.costs import EXACT_PER_MINOR, tool_choice
from rules.model.plan import Plan
from rules.model.plan_model import PlanModel
from rules.money import half_up


@dataclass(frozen=True, slots=True)
class Charge:
    """An amount in minor units before tax. ``kind`` decides its tax class."""

    kind: str
    ref: str
    amount: int


def charges(model: PlanModel, plan: Plan) -> list[Charge]:
    """All charges of a plan, in a fixed order. Owned tools and kit-supplied parts cost nothing."""
    return [
        *_goods(model, plan),
        *_consumables(model, plan),
        *(Charge("labour", s, model.prices.labour(plan.minutes[s])) for s in plan.steps),
        *_tools(model, plan),
        *_sent_out(model, plan),
    ]


def _goods(model: PlanModel, plan: Plan) -> Iterable[Charge]:
    for place, part in plan.target.items():
        if place not in plan.kit_of:
            yield Charge("part", place, plan.packs[place] * part.price)
    for key in plan.kits:
        yield Charge("kit", str(key), model.compiled.kits[key].price)


def consumable_uses(model: PlanModel, plan: Plan) -> dict[str, int]:
    """Uses of each consumable over all steps."""
    uses: dict[str, int] = {}
    for name in plan.steps:
        for consumable, count in model.compiled.steps[name].consumables.items():
            uses[consumable] = uses.get(consumable, 0) + count
    return dict(sorted(uses.items()))


def _consumables(model: PlanModel, plan: Plan) -> Iterable[Charge]:
    for name, uses in consumable_uses(model, plan).items():
        yield Charge("consumable", name, uses * model.compiled.consumables[name].price)


def _tools(model: PlanModel, plan: Plan) -> Iterable[Charge]:
    for name in plan.tools:
        choice = tool_choice(model.compiled.tools[name], name in model.demand.tools_owned)
        yield Charge("tool", name, choice.price or 0)


def _sent_out(model: PlanModel, plan: Plan) -> Iterable[Charge]:
    for name in sorted(plan.sent_out):
        send_out = model.compiled.steps[name].send_out
        if send_out is not None:
            yield Charge("sent_out", name, send_out.price)


@dataclass(frozen=True, slots=True)
class Tax:
    """Tax of one class: what was taxed, and the tax, half up on the catalog's basis."""

    tax_class: str
    taxed: int
    tax: int


def taxes(compiled: CompiledCatalog, listed: Iterable[Charge]) -> list[Tax]:
    """Tax by class, classes in order of id; classes with nothing to tax are left out."""
    policy = compiled.catalog.policy
    by_class: dict[str, list[int]] = {}
    for charge in listed:
        by_class.setdefault(policy.tax_of[charge.kind], []).append(charge.amount)
    return [
        Tax(name, sum(amounts), _tax(compiled, name, amounts))
        for name, amounts in sorted(by_class.items())
        if any(amounts)
    ]


def _tax(compiled: CompiledCatalog, tax_class: str, amounts: list[int]) -> int:
    rate = compiled.tax_classes[tax_class].basis_points
    if compiled.catalog.policy.tax_basis == "line":
        return sum(half_up(amount * rate, EXACT_PER_MINOR) for amount in amounts)
    return half_up(sum(amounts) * rate, EXACT_PER_MINOR)


def total(model: PlanModel, plan: Plan) -> int:
    """What the customer pays for a plan, tax included, deposits not."""
    listed = charges(model, plan)
    tax = sum(tax.tax for tax in taxes(model.compiled, listed))
    return sum(charge.amount for charge in listed) + tax
