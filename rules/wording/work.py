"""What is done: operations and their ways, steps in working order, tools, work sent out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, StepLine, ToolLine
from rules.wording.layout import (
    amount,
    entry,
    heading,
    hours,
    money_width,
    notes,
    numbered,
    plural,
    spoken,
)

_time_width: Final = 13
_minutes_width: Final = 6


def operations(build: BuildList, width: int) -> list[str]:
    """Each operation, the way chosen for it, and what it would take on its own."""
    if not build.operations:
        return []
    lines = heading("How it is done", width, [("on its own", _time_width)])
    for line in build.operations:
        way = f": {line.way_title}" if line.way_title and line.way_title != line.title else ""
        figures = [(hours(line.minutes_alone), _time_width)]
        lines += entry(f"{line.title}{way}", width, figures)
    return lines


def steps(build: BuildList, width: int) -> list[str]:
    """The bench's list. What several operations share is marked, and charged once."""
    if not build.steps:
        return []
    currency = build.steps[0].amount.currency
    columns = [("min", _minutes_width), (currency, money_width)]
    lines = heading("Work, in order", width, columns)
    names = _Names(build)
    for place, step in enumerate(build.steps, start=1):
        figures = [(str(step.minutes), _minutes_width), amount(step.amount)]
        lines += entry(step.title, width, figures, mark=numbered(place))
        lines += notes(names.about(step), width)
    return lines


class _Names:
    """What operations, tools and part types are called in this build list."""

    def __init__(self, build: BuildList) -> None:
        self.operations = {line.operation: line.title for line in build.operations}
        self.tools = {line.tool: line.title for line in build.tools}
        self.part_types = {line.part_type: line.label.lower() for line in build.parts}

    def about(self, step: StepLine) -> Iterator[str]:
        """The lines below a step."""
        yield self._purpose(step)
        if step.sent_out:
            yield "Sent out; the minutes are our handling"
        if step.tools and not step.sent_out:
            yield f"Tools: {self._called(step.tools, self.tools)}"
        if step.spends:
            yield f"Spends {self._called(step.spends, self.part_types)}"
        yield step.note

    def _purpose(self, step: StepLine) -> str:
        if not step.shared_by:
            return "; ".join(reason.sentence.rstrip(".") for reason in step.reasons[:1])
        served = self._called(step.shared_by, self.operations)
        if len(step.shared_by) == 1:
            return f"For: {served}"
        return f"SHARED, charged once, for: {served}"

    @staticmethod
    def _called(names: tuple[str, ...], titles: dict[str, str]) -> str:
        return "; ".join(titles.get(name, spoken(name)) for name in names)


def tools(build: BuildList, width: int) -> list[str]:
    """What to lay out, and how it is had."""
    if not build.tools:
        return []
    lines = heading("Special tools", width, [(build.tools[0].amount.currency, money_width)])
    for tool in build.tools:
        lines += entry(f"{tool.title}: {_how(tool)}", width, [amount(tool.amount)])
    return lines


def _how(tool: ToolLine) -> str:
    if tool.how == "owned":
        return "own"
    wait = "" if tool.lead_days is None else f", {plural(tool.lead_days, 'day')} to get"
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
    return lines
