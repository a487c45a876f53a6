"""The bundle check as plain text: the same bytes for the terminal and for ``text/plain``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from rules.bundle.answer import BundleCheck, LineVerdict, MissingPart
from rules.bundle.words import amount as pieces
from rules.bundle.words import packs
from rules.wording.layout import (
    amount,
    clean,
    entry,
    filled,
    heading,
    listed,
    money_width,
    notes,
    numbered,
    titled,
)
from rules.wording.sums import money
from rules.wording.way_out import shown_element

_quantity_width: Final = 16


def render_bundle(check: BundleCheck, width: int = 88) -> str:
    """The bundle check as text of at most ``width`` columns (64 or more), ending with a line
    end. Pure: the same check gives the same text."""
    if width < 64:
        raise ValueError(f"a bundle check needs 64 columns, not {width}")
    blocks = (section(check, width) for section in _sections)
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(check: BundleCheck, width: int) -> list[str]:
    edition = f"edition {check.edition}, {check.made_on.isoformat()}"
    return [
        *_ends("BUNDLE CHECK", check.catalog, width),
        *_ends(check.machine.label, edition, width),
        "=" * width,
        *titled("Machine", ", ".join(check.machine.told) or "as listed", width),
        *titled("Jobs", _jobs(check), width),
        *titled("Answer", check.summary, width),
        *_totals(check, width),
    ]


def _ends(left: str, right: str, width: int) -> list[str]:
    left, right = clean(left), clean(right)
    if len(left) + len(right) + 2 <= width:
        return [f"{left:{width - len(right)}}{right}"]
    return [*filled(left, width), *filled(right, width)]


def _jobs(check: BundleCheck) -> str:
    if not check.jobs:
        return "none named: all that fits is to be fitted"
    return listed(job.replace("_", " ") for job in check.jobs)


def _totals(check: BundleCheck, width: int) -> list[str]:
    completion, own = check.completion, check.own_parts
    if completion is None or completion.totals is None or own is None:
        return []
    safe = ", by the plan that is safe whatever the answer is"
    known = safe if completion.status == "needs_facts" else ""
    text = f"{completion.totals.total} with tax and labour{known}; your own parts would have been"
    return titled("To complete", f"{text} {own} here before tax", width)


def _lines(check: BundleCheck, width: int) -> list[str]:
    lines = heading("The list, line by line", width)
    for line in check.lines:
        lines += entry(_line(line), width, mark=numbered(line.at))
        lines += notes((finding.sentence for finding in line.findings), width)
    return lines


def _line(line: LineVerdict) -> str:
    if line.part is None:
        return line.written
    title = f", {line.title}" if line.title else ""
    return f"{line.quantity} × {line.part}{title}"


def _missing(check: BundleCheck, width: int) -> list[str]:
    if not check.missing:
        return []
    currency = check.missing[0].amount.currency
    columns = [("to buy", _quantity_width), (currency, money_width)]
    lines = heading("Still missing", width, columns)
    for place, part in enumerate(check.missing, start=1):
        count = packs(part.packs, part.pack_quantity, part.counted_in)
        figures = [(count, _quantity_width), amount(part.amount)]
        lines += entry(f"{part.part}, {part.title}", width, figures, mark=numbered(place))
        lines += notes(_why(part), width)
    return lines


def _why(part: MissingPart) -> Iterable[str]:
    yield part.sentence
    if part.on_hand:
        need, have = (pieces(n, part.counted_in) for n in (part.quantity, part.on_hand))
        yield f"{need} needed, {have} on the list."


def _spare(check: BundleCheck, width: int) -> list[str]:
    if not check.spare:
        return []
    lines = heading("Can go back", width)
    for row in check.spare:
        text = f"Line {row.at}: {row.packs} × {row.part}. {row.sentence}"
        lines += entry(text, width)
    return lines


def _conflicts(check: BundleCheck, width: int) -> list[str]:
    if not check.conflicts:
        return []
    lines = heading("Cannot be together", width)
    for conflict in check.conflicts:
        lines += filled("Leave any one out, and the rest can:", width, hang=2)
        for element in conflict.elements:
            lines += entry(shown_element(element), width, mark=" - ")
    if check.set_aside and check.completion is not None:
        lines += filled(f"What follows goes without {listed(map(str, check.set_aside))}.", width)
    return lines


def _asks(check: BundleCheck, width: int) -> list[str]:
    if not check.asks:
        return []
    lines = heading("To be found out", width)
    for place, ask in enumerate(check.asks, start=1):
        lines += entry(ask.question, width, mark=numbered(place))
    return lines


def _money(check: BundleCheck, width: int) -> list[str]:
    return [] if check.completion is None else money(check.completion, width)


_sections: Final[tuple[Callable[[BundleCheck, int], list[str]], ...]] = (
    _head,
    _lines,
    _conflicts,
    _asks,
    _missing,
    _spare,
    _money,
)
