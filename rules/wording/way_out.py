"""Why it cannot be done, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, Conflict, ConflictElement, Repair
from rules.wording.layout import (
    amount,
    entry,
    filled,
    heading,
    hours,
    money_width,
    notes,
    numbered,
    plural,
    sourced,
)

_time_width: Final = 13


def conflicts(build: BuildList, width: int) -> list[str]:
    """Why nothing can hold, as a proof that a person can follow."""
    lines: list[str] = []
    for place, conflict in enumerate(build.conflicts, start=1):
        title = "Why it cannot be done"
        lines += [""] if lines else []
        lines += heading(f"{title} ({place})" if len(build.conflicts) > 1 else title, width)
        lines += _proof(conflict, width)
    return lines


def _proof(conflict: Conflict, width: int) -> list[str]:
    if len(conflict.elements) == 1:
        opening = "This alone makes it impossible:"
    else:
        opening = "These cannot hold together; without any one of them the others can:"
    lines = filled(opening, width, " ", hang=1)
    for element in conflict.elements:
        lines += filled(shown_element(element), width, "  - ", hang=4)
    return lines


def shown_element(element: ConflictElement) -> str:
    """An element in words, with what it rests on and what it comes to here."""
    return f"{grounded(element)} {element.detail}".rstrip()


def grounded(element: ConflictElement) -> str:
    """Its sentence with what it rests on. A job that is not offered rests on a condition as the
    catalog writes it: that is for its keeper, not for a customer."""
    condition = element.kind == "job" and element.basis.startswith("job ")
    return sourced(element.sentence, "" if condition else element.basis)


def repairs(build: BuildList, width: int) -> list[str]:
    """Every smallest change of the wish that mends it, with what the changed build comes to."""
    if not build.repairs:
        return []
    currency = build.repairs[0].total.currency
    columns = [("work", _time_width), (currency, money_width)]
    lines = heading("What mends it", width, columns)
    for place, repair in enumerate(build.repairs, start=1):
        figures = [(hours(repair.labour_minutes), _time_width), amount(repair.total)]
        lines += entry(repair.sentence, width, figures, mark=numbered(place))
        lines += notes(_about(repair), width)
    return [*lines, *filled("Totals of the whole changed build, tax included.", width, " ", hang=1)]


def _about(repair: Repair) -> Iterator[str]:
    count = len(repair.renews)
    if count:
        places = "; ".join(f"{part.label} {part.part}" for part in repair.renews)
        yield f"Renews {plural(count, 'place')}: {places}."
    else:
        yield "Renews nothing."
    for ask in repair.asks:
        yield f"It holds in any case, but may come out otherwise once this is known: {ask.question}"
