"""What is done: operations and their ways, steps in working order, tools, work sent out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, StepLine, ToolLine
from rules.speech import in_a_sentence
from rules.wording.layout import (
    amount,
    entry,
    heading,
    hours,
    listed,
    money_width,
    notes,
    numbered,
    plural,
    spoken,
)
from rules.wording.sums import together

_time_width: Final = 13
_minutes_width: Final = 6
_named_at_most: Final = 4
"""Operations that share a step are named up to so many, and only counted beyond."""

_stages: Final = {
    "strip": "On the way in (each minute covers taking off and putting back)",
    "work": "The work, from the inside out",
    "finish": "Set, filled, checked and tried",
}


def operations(build: BuildList, width: int) -> list[str]:
    """Each operation with what it would take on its own, what rules ask for besides, and how
    that adds up to the labour charged."""
    besides = [step for step in build.steps if not step.shared_by]
    if not build.operations and not besides:
        return []
    lines = heading("How it is done", width, [("on its own", _time_width)])
    for line in build.operations:
        way = f": {line.way_title}" if line.way_title and line.way_title != line.title else ""
        lines += entry(f"{line.title}{way}", width, _time(line.minutes_alone))
    for step in besides:
        lines += entry(f"Required besides: {in_a_sentence(step.title)}", width, _time(step.minutes))
    return [*lines, *_adding_up(build, len(build.operations) + len(besides), width)]


def _adding_up(build: BuildList, rows: int, width: int) -> list[str]:
    totals = build.totals
    if totals is None or rows < 2:
        return []
    saved = totals.saved_minutes_by_overlap
    less = entry("Less shared work, done once", width, _time(-saved)) if saved else []
    rule = ("-" * (_time_width - 1)).rjust(width)
    return [*less, rule, *entry("Labour", width, _time(totals.labour_minutes))]


def _time(minutes: int) -> list[tuple[str, int]]:
    return [(hours(minutes), _time_width)]


def steps(build: BuildList, width: int) -> list[str]:
    """The bench's list, stage by stage. What several operations share is charged once."""
    if not build.steps:
        return []
    currency = build.steps[0].amount.currency
    columns = [("min", _minutes_width), (currency, money_width)]
    lines = heading("Work, in order", width, columns)
    names, stage = _Names(build), ""
    for place, step in enumerate(build.steps, start=1):
        if step.stage != stage:
            lines += [*([""] if stage else []), *entry(f"{_stages[step.stage]}:", width)]
            stage = step.stage
        figures = [(str(step.minutes), _minutes_width), amount(step.amount)]
        lines += entry(step.title, width, figures, mark=numbered(place))
        lines += notes(names.about(step), width)
    if build.totals is not None:
        lines += together(build, build.totals.labour, len(build.steps), width)
    return lines


class _Names:
    """What operations, tools and part types are called in this build list."""

    def __init__(self, build: BuildList) -> None:
        self.operations = {line.operation: line.title for line in build.operations}
        self.tools = {line.tool: line.title for line in build.tools}
        self.part_types = {line.part_type: line.label for line in build.parts}

    def about(self, step: StepLine) -> Iterator[str]:
        """The lines below a step."""
        yield self._purpose(step)
        if step.sent_out:
            yield "Sent out: the minutes are our handling"
        if step.tools and not step.sent_out:
            yield f"Tools: {listed(self.tools.get(name, spoken(name)) for name in step.tools)}"
        if step.spends:
            spent = (self.part_types.get(name, spoken(name)) for name in step.spends)
            yield f"Takes new: {listed(map(in_a_sentence, spent))}"
        yield step.note

    def _purpose(self, step: StepLine) -> str:
        if not step.shared_by:
            return "; ".join(reason.sentence.rstrip(".") for reason in step.reasons[:1])
        if len(step.shared_by) > _named_at_most:
            return f"Once for {plural(len(step.shared_by), 'operation')}"
        titles = (self.operations.get(name, spoken(name)) for name in step.shared_by)
        return f"{'Once for' if len(step.shared_by) > 1 else 'For'} {_named(titles)}"


def _named(titles: Iterator[str]) -> str:
    return listed(map(in_a_sentence, titles))


def tools(build: BuildList, width: int) -> list[str]:
    """What is hired or bought, and what to lay out of the shop's own."""
    if not build.tools:
        return []
    lines = heading("Special tools", width, [(build.tools[0].amount.currency, money_width)])
    paid = [tool for tool in build.tools if tool.how != "owned"]
    for tool in paid:
        lines += entry(f"{tool.title}: {_how(tool)}", width, [amount(tool.amount)])
    own = [tool.title for tool in build.tools if tool.how == "owned"]
    if own:
        lines += entry(f"Our own, not charged: {'; '.join(own)}", width)
    if build.totals is not None:
        lines += together(build, build.totals.tools, len(paid), width)
    return lines


def _how(tool: ToolLine) -> str:
    if tool.how == "owned":
        return "own"
    wait = ", time to get it not known"
    if tool.lead_days is not None:
        wait = f", {plural(tool.lead_days, 'day')} to get" if tool.lead_days else ""
    if tool.how == "hired" or tool.purchase is None:
        return f"{'hire' if tool.how == 'hired' else 'buy'}{wait}"
    resale = f" less {tool.resale.amount} resale" if tool.resale and tool.resale.minor else ""
    return f"buy for {tool.purchase.amount}{resale}{wait}"


def sent_out(build: BuildList, width: int) -> list[str]:
    """Steps that another workshop does."""
    if not build.sent_out:
        return []
    lines = heading("Sent out", width, [(build.sent_out[0].amount.currency, money_width)])
    for line in build.sent_out:
        away = f"{line.title}, {plural(line.lead_days, 'day')} away"
        lines += entry(away, width, [amount(line.amount)])
    if build.totals is not None:
        lines += together(build, build.totals.sent_out, len(build.sent_out), width)
    return lines
