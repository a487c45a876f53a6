"""Two readings of one machine that bracket the truth.

The strict plan is valid whatever the missing names turn out to be; the hopeful plan takes
every unknown kindly and every unknown amount as nil, so no truth is cheaper. What the
hopeful plan takes on trust is what the answer depends on; where it trusts nothing, it is
the answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rules.fitment import Trilean, fits
from rules.listing.context import Context
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.model.checks import Check, fires, where_check
from rules.model.plan import Plan, read_plan
from rules.model.plan_model import PlanModel, build_model
from rules.model.tables import can_be_asked
from rules.unknown.machines import Inquiry, Told
from rules.unknown.values import values_of
from rules.values import Unknown

BREAK_TRIES = 64
"""Ways tried to find out whether a machine could break a rule just as it came in."""


@dataclass(frozen=True, slots=True)
class Reading:
    """``model`` and ``plan`` (None: nothing valid) are the strict ones, or those of the answer
    where ``trusted`` is empty. ``hopeful`` None: nothing that matters is missing."""

    model: PlanModel
    plan: Plan | None
    trusted: frozenset[str] = frozenset()
    hopeful_model: PlanModel | None = None
    hopeful: Plan | None = None

    @property
    def settled(self) -> bool:
        """Whether the plan is the answer, whatever is still missing."""
        return not self.trusted


def solve(model: PlanModel) -> Plan | None:
    """The model's best plan."""
    solution = model.solver.minimise(model.taken, ties=True)
    return None if solution is None else read_plan(model, solution)


def same_build(one: Plan | None, other: Plan | None) -> bool:
    """Whether two outcomes buy and do the same; None: nothing is valid."""
    if one is None or other is None:
        return one is other
    return one.same_build(other)


def read(inquiry: Inquiry, machine: Machine, told: Told) -> Reading:
    """Solve strictly, and hopefully where something is missing."""
    model = build_model(inquiry.compiled, machine, inquiry.demand)
    plan = solve(model)
    risks = _risks_as_found(inquiry, model, plan, told)
    if not risks and not _anything_open(model, plan):
        return Reading(model, plan)
    kind_model = build_model(inquiry.compiled, machine, inquiry.demand, strict=False)
    kind = solve(kind_model)
    unsound = risks | _not_bracketed(model, kind_model)
    if not unsound:
        if kind is None:
            return Reading(kind_model, None)
        if same_build(plan, kind) and not kind.missing:
            return Reading(model, plan)
    trusted = frozenset(unsound | (set() if kind is None else taken_on_trust(kind_model, kind)))
    if not trusted:
        return Reading(kind_model, kind)
    return Reading(model, plan, trusted, kind_model, kind)


def _anything_open(model: PlanModel, plan: Plan | None) -> bool:
    names = set(model.reach.unknown | (plan.missing if plan else set()))
    names |= {name for unknown in model.unpriced.values() for name in unknown.missing}
    return any(map(can_be_asked, names))


# -- what a plan takes on trust -----------------------------------------------------------


def taken_on_trust(model: PlanModel, plan: Plan) -> set[str]:
    """Names behind everything that is not known to be as the plan needs it."""
    open_: list[Trilean] = [
        *_checks_trusted(model, plan),
        *_permissions_trusted(model, plan),
        *_nothing_trusted(model, plan),
    ]
    found = set(plan.missing)
    for outcome in open_:
        if isinstance(outcome, Unknown):
            found |= outcome.missing
    return {name for name in found if can_be_asked(name)}


def _checks_trusted(model: PlanModel, plan: Plan) -> Iterator[Trilean]:
    """Rules and wishes that something in the plan touches."""
    seen = Context(model, plan).seen
    own = [
        where_check(("job", job.id), place, where)
        for job in model.demand.jobs
        for place, where in model.compiled.job_where[job.id].items()
    ]
    for check in (*model.compiled.checks, *own):
        touched = any(place in plan.target for place in check.places)
        if not touched and not any(step in plan.minutes for step in check.steps):
            continue
        if not _met(model, check, plan):
            yield check.broken(seen)


def _met(model: PlanModel, check: Check, plan: Plan) -> bool:
    """Whether the plan has anyway what the check asks for where it fires."""
    if check.renew is None or check.quantity is None:
        return check.renew in plan.target or check.do in plan.minutes
    asked = model.prices.whole(check.quantity)
    return not isinstance(asked, Unknown) and asked <= plan.quantity.get(check.renew, -1)


def _permissions_trusted(model: PlanModel, plan: Plan) -> Iterator[Trilean]:
    """That parts fit, ways and jobs are offered on such a machine."""
    compiled = model.compiled
    found = model.reach.as_found
    for part in plan.target.values():
        yield fits(compiled.fitment.get(part.key, ()), model.machine.facts)
    for way in plan.ways.items():
        yield fires(compiled.way_when[way], found)
    for job in model.demand.jobs:
        yield fires(compiled.job_when[job.id], found)


def _nothing_trusted(model: PlanModel, plan: Plan) -> Iterator[Trilean]:
    """That steps left out are nothing here, and that steps done find nothing to spend."""
    compiled = model.compiled
    for name in sorted(_steps_called_for(model, plan)):
        if name not in model.step:
            yield fires(compiled.step_when[name], model.reach.as_found)
    for name in plan.steps:
        for place in compiled.steps[name].spends:
            fitted = model.machine.fitted.get(place)
            if fitted is not None and fitted.unsure and place not in plan.target:
                yield fitted.unsure


def _steps_called_for(model: PlanModel, plan: Plan) -> set[str]:
    compiled = model.compiled
    called = {needed for name in plan.steps for needed in compiled.steps[name].needs}
    for operation, way_id in plan.ways.items():
        ways = compiled.operations[operation].ways
        called |= {step for way in ways if way.id == way_id for step in way.steps}
    seen = Context(model, plan).seen
    called |= {c.do for c in compiled.checks if c.do and c.broken(seen) is not False}
    return called


# -- where the bracket would not hold ---------------------------------------------------------


def _not_bracketed(strict: PlanModel, hopeful: PlanModel) -> set[str]:
    """Names that could make a truth better than the hopeful reading.

    A step that may be nothing is left out of the hopeful reading, and some rule may ask
    whether it is done. With the aim "life", a longer-lived part that may not fit sets the
    mark for all others.
    """
    found: set[str] = set()
    compiled, as_found = strict.compiled, strict.reach.as_found
    for name in strict.reach.steps:
        if name not in hopeful.reach.steps and name in compiled.checks_by_step:
            found |= _missing(fires(compiled.step_when[name], as_found))
    if strict.demand.aim == "life":
        for place in hopeful.reach.candidates:
            for part in hopeful.reach.candidates[place]:
                found |= _missing(fits(compiled.fitment.get(part.key, ()), strict.machine.facts))
    return {name for name in found if can_be_asked(name)}


def _missing(outcome: Trilean) -> frozenset[str]:
    return outcome.missing if isinstance(outcome, Unknown) else frozenset()


def _risks_as_found(inquiry: Inquiry, model: PlanModel, plan: Plan | None, told: Told) -> set[str]:
    """Names by which the machine could break a rule just as it came in, which counts."""
    seen = None if plan is None else Context(model, plan).seen
    risks: set[str] = set()
    for check in inquiry.compiled.checks:
        outcome = check.broken(model.reach.as_found)
        if not isinstance(outcome, Unknown) or not any(map(can_be_asked, outcome.missing)):
            continue
        if plan is not None and (
            _met(model, check, plan) or (seen and check.broken(seen) is False)
        ):
            continue
        risks |= _could_break(inquiry, check, model.machine, told)
    return risks


def _could_break(inquiry: Inquiry, check: Check, machine: Machine, told: Told) -> set[str]:
    """The names told on the way to a machine that breaks the check as found; or none."""
    stack: list[tuple[Machine, dict[str, object], Told]] = [(machine, {}, told)]
    tries = 0
    while stack and tries < BREAK_TRIES:
        current, used, answers = stack.pop()
        tries += 1
        outcome = check.broken(Assignment(current, {}, {}, ()))
        if outcome is True:
            return set(used)
        if not isinstance(outcome, Unknown):
            continue
        for name in sorted(outcome.missing):
            values = values_of(inquiry.compiled, current, name) if can_be_asked(name) else ()
            if values:
                break
        else:
            continue
        for value in values:
            further = {**answers, name: value}
            following = inquiry.told(further)
            if following is not None:
                stack.append((following, {**used, name: value}, further))
    return set()
