"""What is worth renewing while it is apart: price now, price later on its own."""

from __future__ import annotations

from dataclasses import dataclass, field

from rules.answer import AddOn
from rules.catalog import Recommendation
from rules.compiled import CompiledRule
from rules.listing.charges import total
from rules.listing.context import Context
from rules.machine import as_built
from rules.model.checks import fires
from rules.model.plan import Plan, read_plan
from rules.model.plan_model import PlanModel, build_model


@dataclass(frozen=True, slots=True)
class Priced:
    """A plan with its total (minor units, tax included) and minutes."""

    plan: Plan
    total: int

    @property
    def minutes(self) -> int:
        return self.plan.labour_minutes


@dataclass(frozen=True, slots=True)
class Offer:
    """An add-on with the plans that price it."""

    place: str
    rule: CompiledRule
    taken: bool
    without: Priced
    together: Priced
    later: Priced

    @property
    def now(self) -> int:
        """What it adds to this visit."""
        return self.together.total - self.without.total

    @property
    def worth(self) -> int:
        """What doing it now saves against doing it later."""
        return self.later.total - self.now


@dataclass(slots=True)
class Workbench:
    """Prices many related plans on one machine: the same demand with other add-ons."""

    context: Context
    _priced: dict[frozenset[str], Priced | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._priced[frozenset(self.context.model.demand.add_ons)] = Priced(
            self.context.plan, total(self.context.model, self.context.plan)
        )

    def with_add_ons(self, places: frozenset[str]) -> Priced | None:
        """The cheapest plan (by the aim) in which all of ``places`` are renewed, too."""
        if places not in self._priced:
            self._priced[places] = _solve(self.context.model, places)
        return self._priced[places]

    def later(self, after: Plan, places: frozenset[str]) -> dict[str, Priced]:
        """Each of ``places`` renewed on its own, on the machine as ``after`` leaves it."""
        machine = as_built(self.context.model.machine, after.target)
        demand = self.context.model.demand.later(places)
        model = build_model(
            self.context.compiled,
            machine,
            demand,
            after=self.context.model,
            changed=frozenset(after.target),
        )
        found = {place: _solve(model, frozenset({place})) for place in sorted(places)}
        return {place: priced for place, priced in found.items() if priced is not None}


def _solve(model: PlanModel, places: frozenset[str]) -> Priced | None:
    solution = model.solver.minimise([model.renew[place] for place in sorted(places)])
    if solution is None:
        return None
    plan = read_plan(model, solution)
    return None if plan.missing else Priced(plan, total(model, plan))


def recommended(context: Context) -> dict[str, CompiledRule]:
    """Part types that some recommendation offers in the finished plan, with the first such rule.

    Those already taken as add-ons count too, judged in the plan that renews them.
    """
    demand = context.model.demand
    found: dict[str, CompiledRule] = {}
    for compiled in context.compiled.recommendations:
        rule = compiled.rule
        if not isinstance(rule, Recommendation) or rule.renew in found:
            continue
        if rule.renew not in context.model.renew:
            continue
        kept = rule.renew not in context.plan.target and rule.renew not in demand.keep
        if (kept or rule.renew in demand.add_ons) and fires(
            compiled.when, context.seen
        ) is not False:
            found[rule.renew] = compiled
    return found


def offers(context: Context, bench: Workbench) -> list[Offer]:
    """Every add-on that can be had now and later, worth most first."""
    rules = recommended(context)
    if not rules:
        return []
    places = frozenset(rules)
    taken = frozenset(context.model.demand.add_ons)
    base = bench.with_add_ons(taken)
    if base is None:
        return []
    later = bench.later(base.plan, places - taken)
    found = [
        offer
        for place in sorted(rules)
        if (offer := _offer(bench, rules[place], place, taken=taken, base=base, later=later))
        is not None
    ]
    return sorted(found, key=lambda offer: (-offer.worth, offer.place))


def _offer(
    bench: Workbench,
    rule: CompiledRule,
    place: str,
    *,
    taken: frozenset[str],
    base: Priced,
    later: dict[str, Priced],
) -> Offer | None:
    if place not in taken:
        together = bench.with_add_ons(taken | {place})
        alone = later.get(place)
        if together is None or alone is None:
            return None
        return Offer(place, rule, False, base, together, alone)
    without = bench.with_add_ons(taken - {place})
    if without is None or place in without.plan.target:
        return None
    alone = bench.later(without.plan, frozenset({place})).get(place)
    return None if alone is None else Offer(place, rule, True, without, base, alone)


def add_on_line(context: Context, offer: Offer, within_budget: bool | None) -> AddOn:
    """An offer as the answer shows it."""
    rule = offer.rule.rule
    part = offer.together.plan.target[offer.place]
    fitted = context.model.machine.fitted.get(offer.place)
    return AddOn(
        part_type=offer.place,
        label=context.label(offer.place),
        rule=rule.id,
        sentence=rule.sentence,
        basis=rule.basis,
        part=part.key,
        title=part.title,
        price_now=context.money(offer.now),
        minutes_now=offer.together.minutes - offer.without.minutes,
        price_later=context.money(offer.later.total),
        minutes_later=offer.later.minutes,
        worth=context.money(offer.worth),
        run_km=fitted.run_km if fitted else None,
        life_km=_life(context, offer),
        layer=context.compiled.part_types[offer.place].layer,
        taken=offer.taken,
        within_budget=within_budget,
    )


def _life(context: Context, offer: Offer) -> int | None:
    """The rule's figure, or the fitted part's own."""
    rule = offer.rule.rule
    if isinstance(rule, Recommendation) and rule.life_km is not None:
        return rule.life_km
    life = context.model.machine.fitted_property(offer.place, "life_km")
    return life if isinstance(life, int) and not isinstance(life, bool) else None
