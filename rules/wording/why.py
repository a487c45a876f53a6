"""Why a line is in the list, and why something is not, as plain text."""

from __future__ import annotations

from typing import Final

from rules.why.answer import Why, WhyNot
from rules.wording.layout import entry, filled, heading, numbered, titled
from rules.wording.way_out import grounded

_width: Final = 88


def render_why(answer: Why, width: int = _width) -> str:
    """Every shortest chain as numbered sentences, ending with a line end."""
    offered = answer.kind == "add_on"
    title = "Why it is offered" if offered else "Why it is in the list"
    lines = [*heading(title, width), *titled("Line", answer.title, width)]
    for place, chain in enumerate(answer.chains):
        if place:
            lines += filled("Or, as directly:", width, " ", hang=1)
        for number, link in enumerate(chain.links, start=1):
            lines += entry(link.sentence, width, mark=numbered(number))
    if answer.more:
        lines += filled("There are others as direct.", width, " ", hang=1)
    return _text(lines)


def render_why_not(answer: WhyNot, width: int = _width) -> str:
    """The verdict in sentences, with what stands against it, ending with a line end."""
    named = f"{answer.title} ({answer.subject})" if answer.title else answer.subject
    lines = [*heading(_heading(answer), width), *titled("Asked", named, width)]
    for sentence in answer.sentences:
        lines += filled(sentence, width, " ", hang=1)
    for element in answer.elements:
        lines += filled(grounded(element), width, "  - ", hang=4)
    if answer.total is not None:
        lines += filled(f"Total with it: {answer.total}.", width, " ", hang=1)
    return _text(lines)


def _heading(answer: WhyNot) -> str:
    return "It is in the list" if answer.verdict == "in_list" else "Why it is not in the list"


def _text(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"
