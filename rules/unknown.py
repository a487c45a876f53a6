"""Missing facts: does the answer depend on them, and if so, which are worth asking?

Two readings bracket the truth. The strict plan holds whatever the missing facts turn out
to be; the hopeful one takes every unknown kindly. Where both are the same build, nothing
missing matters. Otherwise every way the facts could turn out is tried, and the smallest
set of facts that tells the different answers apart is asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from rules.answer import AskedFact
from rules.catalog import Vehicle
from rules.compiled import CompiledCatalog
from rules.demand import Demand
from rules.identify import MODEL_YEAR, machine_from, with_fitted
from rules.listing.context import Context
from rules.machine import Machine
from rules.model.checks import Check
from rules.model.plan import Plan, read_plan
from rules.model.plan_model import PlanModel, build_model
from rules.model.tables import can_be_asked
from rules.request import BuildRequest
from rules.values import Unknown, Value

COMPLETION_LIMIT = 256
"""Ways the facts could turn out that are tried; past it every open fact is asked for."""


@dataclass(frozen=True, slots=True)
class Settled:
    """The model and plan to answer with (None: nothing valid), and what to ask first."""

    model: PlanModel
    plan: Plan | None
    asks: tuple[str, ...]


def settle(
    compiled: CompiledCatalog, request: BuildRequest, machine: Machine, demand: Demand
) -> Settled:
    """Solve, and find out whether anything missing matters."""
    model = build_model(compiled, machine, demand)
    plan = solve(model)
    names = _open_names(model, plan)
    if not names:
        return Settled(model, plan, ())
    hopeful_model = build_model(compiled, machine, demand, strict=False)
    hopeful = solve(hopeful_model)
    if _same(plan, hopeful) and not (hopeful and hopeful.missing):
        return Settled(model, plan, ())
    return _ask(compiled, request, Settled(model, plan, ()), names, hopeful_model, hopeful)


def solve(model: PlanModel) -> Plan | None:
    """The model's best plan."""
    solution = model.solver.minimise(model.taken, ties=True)
    return None if solution is None else read_plan(model, solution)


def _open_names(model: PlanModel, plan: Plan | None) -> frozenset[str]:
    names = model.reach.unknown | model.reach.tables.unknown | (plan.missing if plan else set())
    return frozenset(name for name in names if can_be_asked(name))


def _same(one: Plan | None, other: Plan | None) -> bool:
    if one is None or other is None:
        return one is other
    return one.same_build(other)


def _ask(
    compiled: CompiledCatalog,
    request: BuildRequest,
    strict: Settled,
    names: frozenset[str],
    hopeful_model: PlanModel,
    hopeful: Plan | None,
) -> Settled:
    machine, demand = strict.model.machine, strict.model.demand
    facts = _facts_to_try(compiled, names)
    tried = list(_completions(compiled, machine, facts)) if facts else []
    if not tried or len(tried) > COMPLETION_LIMIT:
        asks = tuple(sorted(_behind(hopeful_model, hopeful) or names))
        return Settled(strict.model, strict.plan, asks)
    outcomes: list[tuple[Mapping[str, Value], PlanModel, Plan | None]] = []
    fitted_asks: set[str] = set()
    for vehicle, values in tried:
        full = machine_from(compiled, (vehicle,), {**machine.facts, **values})
        inner = settle_fitted(compiled, with_fitted(compiled, full, request.fitted), demand)
        outcomes.append((values, inner.model, inner.plan))
        fitted_asks |= set(inner.asks)
    separating = _separating(facts, outcomes)
    if separating or fitted_asks:
        asks = (*(f"vehicle.{name}" for name in separating), *sorted(fitted_asks))
        return Settled(strict.model, strict.plan, asks)
    _, model, plan = outcomes[0]
    return Settled(model, plan, ())


def _facts_to_try(compiled: CompiledCatalog, names: frozenset[str]) -> list[str]:
    """Facts among ``names`` in the keeper's order, those with a question first."""
    listed = [name for name in compiled.facts if f"vehicle.{name}" in names]
    return sorted(listed, key=lambda name: compiled.facts[name].question is None)


def settle_fitted(compiled: CompiledCatalog, machine: Machine, demand: Demand) -> Settled:
    """As ``settle``, where only what is fitted can still be unknown."""
    model = build_model(compiled, machine, demand)
    plan = solve(model)
    if not _open_names(model, plan):
        return Settled(model, plan, ())
    hopeful_model = build_model(compiled, machine, demand, strict=False)
    hopeful = solve(hopeful_model)
    if _same(plan, hopeful):
        return Settled(model, plan, ())
    return Settled(model, plan, tuple(sorted(_behind(hopeful_model, hopeful))))


def _behind(model: PlanModel, plan: Plan | None) -> set[str]:
    """What the hopeful plan takes on trust: names behind checks that are unknown in it."""
    if plan is None:
        return set()
    seen = Context(model, plan).seen
    found: set[str] = set(plan.missing)
    for check in _open_checks(model, plan):
        outcome = check.broken(seen)
        if isinstance(outcome, Unknown):
            found |= outcome.missing
    return {name for name in found if can_be_asked(name)}


def _open_checks(model: PlanModel, plan: Plan) -> Iterable[Check]:
    """Checks that something in the plan touches."""
    for check in model.compiled.checks:
        if any(p in plan.target for p in check.places) or any(
            s in plan.minutes for s in check.steps
        ):
            yield check


# -- how the facts could turn out -------------------------------------------------------


def _completions(
    compiled: CompiledCatalog, machine: Machine, facts: list[str]
) -> Iterable[tuple[Vehicle, dict[str, Value]]]:
    """Configurations and values of ``facts``, one of each kind that the rules can tell apart."""
    seen: set[tuple[object, ...]] = set()
    for vehicle in machine.candidates:
        options = [_values(compiled, vehicle, name) for name in facts]
        read = tuple(v for n, v in sorted(vehicle.facts.items()) if n in compiled.read_facts)
        for chosen in product(*options):
            if (read, chosen) in seen:
                continue
            seen.add((read, chosen))
            yield (
                vehicle,
                {
                    name: value
                    for name, value in zip(facts, chosen, strict=True)
                    if value is not None
                },
            )
            if len(seen) > COMPLETION_LIMIT:
                return


def _values(compiled: CompiledCatalog, vehicle: Vehicle, name: str) -> tuple[Value | None, ...]:
    """Values that the fact could have on this configuration; (None,): cannot be listed."""
    if name in vehicle.facts:
        return (vehicle.facts[name],)
    if name == MODEL_YEAR:
        years = compiled.telling_values(name) or {vehicle.model_year_from}
        inside = {min(max(int(y), vehicle.model_year_from), vehicle.model_year_to) for y in years}
        return tuple(sorted(inside))
    definition = compiled.facts[name]
    if definition.kind == "flag":
        return (False, True)
    if definition.values:
        return definition.values
    if definition.kind == "text" or name in compiled.opaque_facts:
        return (None,)
    low, high = definition.minimum, definition.maximum
    numbers = [v for v in compiled.telling_values(name) if not isinstance(v, bool | str)]
    inside_range = [v for v in numbers if (low is None or v >= low) and (high is None or v <= high)]
    return tuple(sorted(inside_range)) or (None,)


def _separating(
    facts: list[str], outcomes: list[tuple[Mapping[str, Value], PlanModel, Plan | None]]
) -> tuple[str, ...]:
    """The smallest set of facts that tells different builds apart; empty: all are the same."""
    for size in range(len(facts) + 1):
        for chosen in combinations(facts, size):
            if _tells_apart(chosen, outcomes):
                return chosen
    return tuple(facts)


def _tells_apart(
    chosen: tuple[str, ...], outcomes: list[tuple[Mapping[str, Value], PlanModel, Plan | None]]
) -> bool:
    builds: dict[tuple[Value | None, ...], Plan | None] = {}
    for values, _, plan in outcomes:
        key = tuple(values.get(name) for name in chosen)
        if key in builds and not _same(builds[key], plan):
            return False
        builds[key] = plan
    return True


def asked(compiled: CompiledCatalog, names: tuple[str, ...]) -> tuple[AskedFact, ...]:
    """Names as questions for a person."""
    return tuple(_asked(compiled, name) for name in names)


def _asked(compiled: CompiledCatalog, name: str) -> AskedFact:
    if name.startswith("vehicle."):
        definition = compiled.facts[name.removeprefix("vehicle.")]
        return AskedFact(
            fact=name,
            question=definition.question or f"What is the machine's {definition.label.lower()}?",
            unit=definition.unit,
            choices=definition.values,
        )
    _, part_type, property_name = name.split(".", 2)
    label = compiled.part_types[part_type].label.lower()
    if property_name == "run_km":
        question = f"How far has the fitted {label} run?"
        return AskedFact(fact=name, question=question, unit="km", choices=())
    declared = {f.name: f for f in compiled.part_types[part_type].properties}
    field = declared.get(property_name)
    what = field.label.lower() if field else property_name.replace("_", " ")
    question = (field.question if field else None) or f"What is the {what} of the fitted {label}?"
    choices = field.values if field else ()
    return AskedFact(
        fact=name, question=question, unit=field.unit if field else None, choices=choices
    )
