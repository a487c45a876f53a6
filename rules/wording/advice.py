"""What to know beyond the lines: limits, figures, add-ons, cautions, questions, conflicts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import AddOn, AskedFact, BuildList, CautionLine, Conflict, FigureLine, MarginLine
from rules.money import Money
from rules.wording.layout import (
    entry,
    filled,
    heading,
    hours,
    listed,
    notes,
    number,
    numbered,
    plural,
    sourced,
    spoken,
)

_price_width: Final = 22
_margin_width: Final = 16
_figure_width: Final = 12


def asks(build: BuildList, width: int) -> list[str]:
    """The facts to find out, and only those."""
    if not build.asks:
        return []
    lines = heading("To find out", width)
    for place, ask in enumerate(build.asks, start=1):
        lines += entry(ask.question, width, mark=numbered(place))
        lines += notes(_how_to_say(ask), width)
    return lines


def _how_to_say(ask: AskedFact) -> Iterator[str]:
    unit = f" in {ask.unit}" if ask.unit else ""
    choices = ", ".join(str(choice) for choice in ask.choices)
    yield f"{ask.fact}{unit}{': ' + choices if choices else ''}"


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
        lines += filled(sourced(element.sentence, element.basis), width, "  - ", hang=4)
    return lines


def margins(build: BuildList, width: int) -> list[str]:
    """Every limit that was checked, and by how much it holds."""
    if not build.margins:
        return []
    lines = heading("Limits", width, [("margin", _margin_width)])
    for line in build.margins:
        lines += entry(line.sentence, width, [(_margin(line), _margin_width)])
        lines += notes([f"{line.numbers} [{line.basis}]"], width)
    return lines


def _margin(line: MarginLine) -> str:
    if line.margin is None:
        return "holds"
    return f"{number(line.margin)} {line.unit}" if line.unit else number(line.margin)


def figures(build: BuildList, width: int) -> list[str]:
    """Engine arithmetic before and after."""
    if not build.figures:
        return []
    lines = heading("Figures", width, [("as found", _figure_width), ("after", _figure_width)])
    for line in build.figures:
        columns = [(line.as_found or "not known", _figure_width), (_after(line), _figure_width)]
        unit = f", {line.unit}" if line.unit else ""
        lines += entry(f"{line.label}{unit}", width, columns)
    return lines


def _after(line: FigureLine) -> str:
    if line.after is None:
        return "not known"
    return "the same" if line.after == line.as_found else line.after


def add_ons(build: BuildList, width: int) -> list[str]:
    """What else is worth renewing: its price now against later."""
    if not build.add_ons:
        return []
    columns = [("now, with this", _price_width), ("later, alone", _price_width)]
    lines = heading("While it is apart", width, columns)
    for line in build.add_ons:
        now = (_price(line.price_now, line.minutes_now), _price_width)
        later = (_price(line.price_later, line.minutes_later), _price_width)
        lines += entry(line.label, width, [now, later])
        lines += notes(_about_add_on(line), width)
    return lines


def _price(price: Money, minutes: int) -> str:
    return f"{price.amount} + {hours(minutes)}"


def _about_add_on(line: AddOn) -> Iterator[str]:
    if line.part is not None:
        yield f"{line.part}, {line.title}"
    yield sourced(line.sentence, line.basis)
    yield _distance(line)
    yield _worth(line)


def _distance(line: AddOn) -> str:
    run = "distance run not known" if line.run_km is None else f"has run {line.run_km} km"
    life = "" if line.life_km is None else f", expected to last {line.life_km} km"
    return f"{run[0].upper()}{run[1:]}{life}"


def _worth(line: AddOn) -> str:
    if line.taken:
        return "TAKEN: it is in the list above"
    fits = {True: "; within the budget", False: "; past the budget", None: ""}
    if line.worth.minor > 0:
        return f"Waiting costs {line.worth} more{fits[line.within_budget]}"
    return f"Waiting costs nothing{fits[line.within_budget]}"


def budget(build: BuildList, width: int) -> list[str]:
    """What the budget buys."""
    answer = build.budget
    if answer is None:
        return []
    labels = {line.part_type: line.label for line in build.add_ons}
    chosen = listed(labels.get(name, spoken(name)) for name in answer.add_ons)
    proven = "no better choice exists" if answer.proven else "not proven the best choice"
    if not answer.reached:
        text = f"{answer.budget} does not cover the job, which comes to {answer.total}."
    elif not answer.add_ons:
        text = f"{answer.budget} covers the job, and no add-on besides."
    else:
        text = (
            f"{answer.budget} covers the job and these add-ons: {chosen}. Together {answer.total};"
            f" done later they would cost {answer.worth} more ({proven})."
        )
    return [*heading("Budget", width), *filled(text, width, " ", hang=1)]


def cautions(build: BuildList, width: int) -> list[str]:
    """Safety, emission and licence notes."""
    if not build.cautions:
        return []
    lines = heading("Cautions", width)
    for line in build.cautions:
        lines += entry(_caution(line), width)
    return lines


def _caution(line: CautionLine) -> str:
    kind = spoken(line.kind)
    return f"{kind[:1].upper()}{kind[1:]}: {sourced(line.sentence, line.basis)}"


def remarks(build: BuildList, width: int) -> list[str]:
    """The engine's notes."""
    if not build.notes:
        return []
    lines = [line for note in build.notes for line in entry(note, width)]
    return [*heading("Notes", width), *lines]


def how_sure(build: BuildList, width: int) -> list[str]:
    """The last line: how the answer was closed."""
    if build.proof is None:
        return []
    methods = {
        "reductions": "by forced choices alone",
        "search": "by complete search",
        "highs": "by branch and bound (HiGHS)",
        "none": "without a proof",
    }
    open_ = plural(build.proof.choices_open, "choice")
    return filled(f"Closed {methods[build.proof.method]}; {open_} left open for it.", width)
