"""Why each place is renewed and each step is done, in sentences."""

from __future__ import annotations

from rules.answer import Reason
from rules.catalog import Job, Limit, Requirement, Step
from rules.demand import Wanted
from rules.expressions import Environment
from rules.listing.context import Context
from rules.listing.sides import shortfall
from rules.model.checks import Check, fires
from rules.speech import in_a_sentence, stopped
from rules.values import Unknown


def place_reasons(context: Context, place: str) -> tuple[Reason, ...]:
    """Every wish, step and rule that asks for the place to be renewed.

    Limits are named only where nobody asked for the part: a wish is reason enough.
    """
    wishes = _wishes(context, place)
    reasons = [
        *wishes,
        *_required(context, place),
        *_spending_steps(context, place),
        *([] if wishes else _mended_limits(context, place)),
    ]
    if not reasons:
        reasons = [_joint_choice(context, place)]
    return tuple(dict.fromkeys(reasons))


def _wishes(context: Context, place: str) -> list[Reason]:
    demand = context.model.demand
    found = [job_reason(job) for job in demand.jobs if place in job.renew]
    found += [
        _wanted_reason(wanted)
        for wanted in demand.wanted
        if context.plan.target[place].key in wanted.parts
    ]
    if place in demand.add_ons:
        found.append(Reason(kind="add_on", ref=place, sentence="Taken as an add-on."))
    return found


def job_reason(job: Job) -> Reason:
    """That a job asks for it."""
    return Reason(kind="job", ref=job.id, sentence=f"Asked for: {in_a_sentence(job.title)}.")


def _wanted_reason(wanted: Wanted) -> Reason:
    if wanted.current.changed:
        sentence = f"Asked for by the old number {wanted.asked}."
    elif wanted.kits:
        sentence = f"In the kit asked for, {wanted.asked}."
    else:
        sentence = "Asked for by its number."
    return Reason(kind="wanted", ref=str(wanted.asked), sentence=sentence)


def _spending_steps(context: Context, place: str) -> list[Reason]:
    if not context.model.reach.has_fitted(place):
        return []
    steps = [context.compiled.steps[name] for name in context.plan.steps]
    return [
        Reason(kind="spent", ref=step.id, sentence=f"Not used again after: {_title(step)}.")
        for step in steps
        if place in step.spends
    ]


def _required(context: Context, place: str) -> list[Reason]:
    return [
        Reason(kind="requirement", ref=compiled.rule.id, sentence=compiled.rule.sentence)
        for compiled in context.compiled.requirements
        if isinstance(compiled.rule, Requirement)
        and compiled.rule.renew == place
        and fires(compiled.when, context.seen) is not False
    ]


def _mended_limits(context: Context, place: str) -> list[Reason]:
    """Rules that would be broken if the place kept what is fitted."""
    before = context.assignment(without=place)
    return [
        _broken_reason(context, check, place, before)
        for check in context.model.reach.active_checks
        if place in check.places
        and check.renew is None
        and check.do is None
        and check.origin[0] == "rule"
        and check.broken(before) is not False
    ]


def _broken_reason(context: Context, check: Check, place: str, before: Environment) -> Reason:
    compiled = context.compiled.rules[check.origin[1]]
    rule = compiled.rule
    label = in_a_sentence(context.label(place))
    said = stopped(rule.sentence)
    if not isinstance(rule, Limit):
        return Reason(kind="requirement", ref=rule.id, sentence=said)
    outcome = check.broken(before)
    if isinstance(outcome, Unknown):
        shown = _not_known(context, outcome)
    else:
        shown = shortfall(compiled.parts[0], before, context.seen, label, rule.unit)
    return Reason(kind="limit", ref=rule.id, sentence=f"{said} {shown}".rstrip())


def _not_known(context: Context, outcome: Unknown) -> str:
    """What the machine as found would have to tell before the place could stay as it is."""
    named = sorted({_spoken(context, name) for name in outcome.missing})
    if not named:
        return "Without it that cannot be said of this machine."
    return f"Without it that depends on {' and '.join(named)}, not known here."


def _spoken(context: Context, name: str) -> str:
    """``vehicle.model_year`` as "the model year", ``fitted.cam.lift_mm`` as "the cam fitted"."""
    where, rest = name.split(".", 1)
    if where == "vehicle":
        return f"the {in_a_sentence(context.compiled.fact_labels[rest])}"
    place = rest.split(".", 1)[0] if where == "fitted" else where
    return f"the {in_a_sentence(context.label(place))} fitted now"


def _joint_choice(context: Context, place: str) -> Reason:
    others = [in_a_sentence(context.label(p)) for p in context.plan.target if p != place][:3]
    with_others = f" together with {', '.join(others)}" if others else ""
    return Reason(
        kind="choice", ref=place, sentence=f"Chosen so that every rule holds{with_others}."
    )


# -- steps ---------------------------------------------------------------------------


def step_reasons(context: Context, step: str, main: dict[str, str]) -> tuple[Reason, ...]:
    """``main``: operations that somebody asked for, with their titles."""
    asked = [
        Reason(kind="operation", ref=operation, sentence=f"Part of: {in_a_sentence(title)}.")
        for operation, title in main.items()
        if step in _way_steps(context, operation)
    ]
    steps = context.compiled.steps
    access = [
        Reason(kind="access", ref=name, sentence=f"Gives access for: {_title(steps[name])}.")
        for name in context.plan.steps
        if step in steps[name].needs
    ]
    required = [
        Reason(kind="requirement", ref=compiled.rule.id, sentence=compiled.rule.sentence)
        for compiled in context.compiled.requirements
        if isinstance(compiled.rule, Requirement)
        and compiled.rule.do == step
        and fires(compiled.when, context.seen) is not False
    ]
    return (*asked, *required, *access)


def _title(step: Step) -> str:
    return in_a_sentence(step.title)


def _way_steps(context: Context, operation: str) -> tuple[str, ...]:
    way_id = context.plan.ways.get(operation)
    ways = context.compiled.operations[operation].ways
    return next((way.steps for way in ways if way.id == way_id), ())
