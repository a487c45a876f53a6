"""Why each place is renewed and each step is done, in sentences."""

from __future__ import annotations

from rules.answer import Reason
from rules.catalog import Limit, Requirement
from rules.expressions import Environment, Expression
from rules.listing.context import Context
from rules.model.checks import Check, fires
from rules.values import Outcome


def place_reasons(context: Context, place: str) -> tuple[Reason, ...]:
    """Every wish, step and rule that asks for the place to be renewed."""
    reasons = [
        *_wishes(context, place),
        *_spending_steps(context, place),
        *_required(context, place),
        *_mended_limits(context, place),
    ]
    if not reasons:
        reasons = [_joint_choice(context, place)]
    return tuple(dict.fromkeys(reasons))


def _wishes(context: Context, place: str) -> list[Reason]:
    demand = context.model.demand
    found = [
        Reason(kind="job", ref=job.id, sentence=f"{job.title}: {job.wish}")
        for job in demand.jobs
        if place in job.renew
    ]
    for wanted in demand.wanted:
        if context.plan.target[place].key in wanted.parts:
            sentence = f"{wanted.asked} was asked for."
            found.append(Reason(kind="wanted", ref=str(wanted.asked), sentence=sentence))
    if place in demand.add_ons:
        found.append(Reason(kind="add_on", ref=place, sentence="Taken as an add-on."))
    return found


def _spending_steps(context: Context, place: str) -> list[Reason]:
    if not context.model.reach.has_fitted(place):
        return []
    steps = [context.compiled.steps[name] for name in context.plan.steps]
    return [
        Reason(kind="spent", ref=step.id, sentence=f"Does not survive: {_lower(step.title)}.")
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
        _broken_reason(context, check, before)
        for check in context.model.reach.active_checks
        if place in check.places
        and check.renew is None
        and check.do is None
        and check.origin[0] == "rule"
        and check.broken(before) is not False
    ]


def _broken_reason(context: Context, check: Check, before: Environment) -> Reason:
    compiled = context.compiled.rules[check.origin[1]]
    kind = "limit" if isinstance(compiled.rule, Limit) else "requirement"
    sentence = compiled.rule.sentence
    if isinstance(compiled.rule, Limit):
        numbers = numbers_of(compiled.parts[0], before, compiled.rule.unit)
        if numbers:
            sentence = f"{sentence} Kept as found: {numbers}."
    return Reason(kind=kind, ref=compiled.rule.id, sentence=sentence)  # type: ignore[arg-type]


def _joint_choice(context: Context, place: str) -> Reason:
    others = [context.label(p) for p in context.plan.target if p != place][:3]
    return Reason(
        kind="choice",
        ref=place,
        sentence=f"Part of the cheapest choice that holds together with {', '.join(others)}.",
    )


def numbers_of(limit: Expression, env: Environment, unit: str | None) -> str:
    """``11.2 mm, allowed 10.4 mm``; empty where the limit compares no numbers."""
    sides = limit.sides(env)
    if sides is None or not limit.has_margin:
        return ""
    left, right = (_number(side, unit) for side in sides)
    if left is None or right is None:
        return ""
    return f"{left}, at most {right}" if limit.left_is_bounded else f"{left}, at least {right}"


def _number(side: Outcome, unit: str | None) -> str | None:
    if isinstance(side, bool) or not isinstance(side, int | float):
        return None
    text = f"{side:.3f}".rstrip("0").rstrip(".") if isinstance(side, float) else str(side)
    return f"{text} {spoken_unit(unit)}".strip()


def spoken_unit(unit: str | None) -> str:
    """A unit as people write it: ``n_per_mm`` is N/mm."""
    spoken = {
        "n": "N",
        "n_per_mm": "N/mm",
        "g_s": "g/s",
        "l_s": "L/s",
        "m_s": "m/s",
        "kw": "kW",
        "nm": "N·m",
        "kpa": "kPa",
        "mpa": "MPa",
        "deg": "°",
        "w": "W",
        "a": "A",
        "v": "V",
    }
    return "" if unit is None else spoken.get(unit, unit)


# -- steps ---------------------------------------------------------------------------


def step_reasons(context: Context, step: str, main: dict[str, str]) -> tuple[Reason, ...]:
    """``main``: operations that somebody asked for, with their titles."""
    asked = [
        Reason(kind="operation", ref=operation, sentence=f"Part of: {_lower(title)}.")
        for operation, title in main.items()
        if step in _way_steps(context, operation)
    ]
    steps = context.compiled.steps
    access = [
        Reason(kind="access", ref=name, sentence=f"Gives access for: {_lower(steps[name].title)}.")
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


def _way_steps(context: Context, operation: str) -> tuple[str, ...]:
    way_id = context.plan.ways.get(operation)
    ways = context.compiled.operations[operation].ways
    return next((way.steps for way in ways if way.id == way_id), ())


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]
