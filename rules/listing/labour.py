"""Labour lines: operations as asked, steps in working order, and what overlap saves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from rules.answer import OperationLine, Reason, StepLine
from rules.catalog import Stage, Step
from rules.listing.context import Context
from rules.listing.reasons import job_reason, place_reasons, step_reasons


@dataclass(frozen=True, slots=True)
class Labour:
    """``saved``: minutes and money (minor units) that shared steps save against the
    operations done one by one."""

    operations: tuple[OperationLine, ...]
    steps: tuple[StepLine, ...]
    saved_minutes: int
    saved: int


def labour(context: Context) -> Labour:
    """Operations that somebody or some rule asks for, and the steps of the whole plan."""
    main = _main_operations(context)
    closures = {operation: _closure(context, operation) for operation in main}
    uses = {
        step: [operation for operation, steps in closures.items() if step in steps]
        for step in context.plan.steps
    }
    minutes = context.plan.minutes
    return Labour(
        operations=tuple(
            _operation_line(context, name, reasons, closures[name])
            for name, reasons in main.items()
        ),
        steps=tuple(_step_line(context, step, uses[step], main) for step in working_order(context)),
        saved_minutes=sum(minutes[s] * (len(by) - 1) for s, by in uses.items() if by),
        saved=sum(
            context.model.prices.labour(minutes[s]) * (len(by) - 1) for s, by in uses.items() if by
        ),
    )


def _main_operations(context: Context) -> dict[str, tuple[Reason, ...]]:
    """Operations with a reason of their own: more than renewing what another step destroys."""
    found: dict[str, list[Reason]] = {}
    for place in context.plan.target:
        operation = context.compiled.operation_of.get(place)
        reasons = [r for r in place_reasons(context, place) if r.kind != "spent"]
        if operation is not None and reasons:
            found.setdefault(operation.id, []).extend(reasons)
    for job in context.model.demand.jobs:
        for name in job.operations:
            found.setdefault(name, []).append(job_reason(job))
    return {name: tuple(dict.fromkeys(found[name])) for name in sorted(found)}


def _closure(context: Context, operation: str) -> frozenset[str]:
    """All steps that the operation needs on its own, by the way chosen, access included."""
    way_id = context.plan.ways[operation]
    ways = context.compiled.operations[operation].ways
    stack = [s for way in ways if way.id == way_id for s in way.steps]
    seen: set[str] = set()
    while stack:
        step = stack.pop()
        if step in seen or step not in context.plan.minutes:
            continue
        seen.add(step)
        stack.extend(context.compiled.steps[step].needs)
    return frozenset(seen)


def _operation_line(
    context: Context, name: str, reasons: tuple[Reason, ...], steps: frozenset[str]
) -> OperationLine:
    operation = context.compiled.operations[name]
    way_id = context.plan.ways[name]
    way = next(way for way in operation.ways if way.id == way_id)
    return OperationLine(
        operation=name,
        title=operation.title,
        way=way_id,
        way_title=way.title,
        minutes_alone=sum(context.plan.minutes[step] for step in steps),
        reasons=reasons,
    )


def _step_line(
    context: Context, name: str, used_by: list[str], main: dict[str, tuple[Reason, ...]]
) -> StepLine:
    step = context.compiled.steps[name]
    plan = context.plan
    titles = {operation: context.compiled.operations[operation].title for operation in main}
    spent = tuple(p for p in step.spends if context.model.reach.has_fitted(p))
    return StepLine(
        step=name,
        title=step.title,
        layer=step.layer,
        minutes=plan.minutes[name],
        amount=context.money(context.model.prices.labour(plan.minutes[name])),
        sent_out=name in plan.sent_out,
        shared_by=tuple(used_by),
        tools=() if name in plan.sent_out else step.tools,
        spends=spent,
        stage=step.stage,
        note=step.note,
        reasons=step_reasons(context, name, titles),
    )


_STAGES: Final[Mapping[Stage, int]] = {"strip": 0, "work": 1, "finish": 2}


def working_order(context: Context) -> list[str]:
    """The plan's steps as a bench does them.

    Taken apart from the outside inwards, then the work and what is set, filled and tried,
    from the inside outwards. A step comes after those that it needs (but a finish is last
    of all) and after those of its own stage that it waits for.
    """
    steps = context.compiled.steps
    waits = {name: _waits_for(context, steps[name]) for name in context.plan.steps}
    todo = set(waits)
    order: list[str] = []
    while todo:
        # The catalog check lets no ring through; without it a ring would end here in order.
        ready = [name for name in todo if not waits[name] & todo] or list(todo)
        following = min(ready, key=lambda name: (*_turn(context, steps[name]), name))
        order.append(following)
        todo.remove(following)
    return order


def _waits_for(context: Context, step: Step) -> frozenset[str]:
    steps = context.compiled.steps
    needed = {s for s in step.needs if step.stage == "finish" or steps[s].stage != "finish"}
    return frozenset(needed | {s for s in step.after if steps[s].stage == step.stage})


def _turn(context: Context, step: Step) -> tuple[int, int]:
    depth = context.depth(step.layer)
    return _STAGES[step.stage], depth if step.stage == "strip" else -depth
