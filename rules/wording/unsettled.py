"""While facts are missing: what holds in every case, what depends, and what to ask first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from rules.answer import BuildList, CaseLine, NextQuestion, OneAnswer
from rules.money import Money
from rules.wording.layout import filled, heading, notes

_says: Final = {
    "impossible": "Or else",
    "place": "Renewed, with one part or another",
    "part": "Parts",
    "kit": "Kits",
    "step": "Steps",
    "sent_out": "Sent out",
    "tool": "Tools",
    "consumable": "Consumables",
}


def unsettled(build: BuildList, width: int) -> list[str]:
    """Nothing while all is settled."""
    if build.next_question is None:
        return []
    blocks = [
        filled(_range(build.total_from, build.total_to), width, " ", hang=1),
        _first(build.next_question, width),
        _lines("In every case:", build.always, width),
        _lines("Only in some cases:", build.depends, width),
    ]
    lines = heading("What is certain already", width)
    for block in blocks:
        lines += block
    return lines


def _range(low: Money | None, high: Money | None) -> str:
    if low is None and high is None:
        return "No bounds can be given for the total yet."
    if low is None:
        return f"The total is at most {high}, where it can be done."
    if high is None:
        return f"The total is at least {low}."
    if low == high:
        return f"The total is {low} in every case that can be done."
    return f"The total lies between {low} and {high}."


def _first(question: NextQuestion, width: int) -> list[str]:
    lines = filled(f"Ask first: {question.question}", width, " ", hang=3)
    return lines + notes((_answer(one) for one in question.answers), width)


def _answer(one: OneAnswer) -> str:
    if one.impossible:
        return f"{one.says}: it cannot be done"
    low, high = one.total_from, one.total_to
    if low is not None and low == high:
        return f"{one.says}: {low}"
    if low is None or high is None:
        return f"{one.says}: still open"
    return f"{one.says}: {low} to {high}"


def _lines(title: str, lines: Iterable[CaseLine], width: int) -> list[str]:
    said = list(_grouped(lines))
    return [*filled(title, width, " ", hang=1), *notes(said, width)] if said else []


def _grouped(lines: Iterable[CaseLine]) -> Iterator[str]:
    by_kind: dict[str, list[str]] = {}
    for line in lines:
        by_kind.setdefault(line.kind, []).append(_line(line))
    for kind, texts in by_kind.items():
        yield f"{_says[kind]}: {'; '.join(texts)}"


def _line(line: CaseLine) -> str:
    return line.title if line.part is None else f"{line.title} ({line.part})"
