"""What goes with a plan besides its lines: cautions, margins of limits, engine figures."""

from __future__ import annotations

from rules.answer import CautionLine, FigureLine, MarginLine
from rules.catalog import Caution, Figure, Limit
from rules.compiled import CompiledRule
from rules.expressions import Environment, Expression
from rules.listing.context import Context
from rules.listing.sides import numbers_of
from rules.model.checks import fires
from rules.speech import spoken_unit


def cautions(context: Context) -> tuple[CautionLine, ...]:
    """Cautions of the steps done, the parts renewed and the market. Not known: shown."""
    found = [_caution(context, compiled) for compiled in context.compiled.cautions]
    return tuple(line for line in found if line is not None)


def _caution(context: Context, compiled: CompiledRule) -> CautionLine | None:
    rule = compiled.rule
    if not isinstance(rule, Caution) or fires(compiled.when, context.seen) is False:
        return None
    steps = [s for s in rule.steps if s in context.plan.minutes]
    parts = [p for p in rule.parts if p in context.plan.target]
    if (rule.steps or rule.parts) and not (steps or parts):
        return None
    titles = [context.compiled.steps[s].title for s in steps]
    return CautionLine(
        rule=rule.id,
        kind=rule.kind,
        sentence=rule.sentence,
        basis=rule.basis,
        because=(*titles, *(context.label(p) for p in parts)),
    )


def margins(context: Context) -> tuple[MarginLine, ...]:
    """Limits that a renewed place takes part in, each with what it has to spare."""
    found = [_margin(context, compiled) for compiled in context.compiled.limits]
    return tuple(line for line in found if line is not None)


def _margin(context: Context, compiled: CompiledRule) -> MarginLine | None:
    rule, limit = compiled.rule, compiled.parts[0]
    if not isinstance(rule, Limit):
        return None
    touched = any(place in context.plan.target for place, _ in limit.reads.target)
    if not touched or fires(compiled.when, context.seen) is not True:
        return None
    if limit.evaluate(context.seen) is not True:
        return None
    margin = limit.margin(context.seen)
    number = margin if isinstance(margin, float) else None
    return MarginLine(
        rule=rule.id,
        sentence=rule.sentence,
        basis=rule.basis,
        margin=None if number is None else round(number, 6),
        unit=rule.unit,
        numbers=numbers_of(limit, context.seen, rule.unit),
    )


def figures(context: Context) -> tuple[FigureLine, ...]:
    """Engine arithmetic before and after, where the build changes it or it can be shown."""
    found = [_figure(context, *row) for row in context.compiled.figures]
    return tuple(line for line in found if line is not None)


def _figure(
    context: Context, figure: Figure, value: Expression, when: Expression | None
) -> FigureLine | None:
    if not any(place in context.plan.target for place, _ in value.reads.target):
        return None
    if fires(when, context.seen) is not True:
        return None
    before = _shown(figure, value, context.found)
    after = _shown(figure, value, context.seen)
    if before is None and after is None:
        return None
    return FigureLine(
        figure=figure.id,
        label=figure.label,
        unit=spoken_unit(figure.unit) or None,
        as_found=before,
        after=after,
    )


def _shown(figure: Figure, value: Expression, env: Environment) -> str | None:
    outcome = value.evaluate(env)
    if isinstance(outcome, bool) or not isinstance(outcome, int | float):
        return None
    return f"{outcome:.{figure.digits}f}"
