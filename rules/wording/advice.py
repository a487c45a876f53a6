"""What to know beyond the lines: limits, figures, add-ons, cautions, questions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import (
    AddOn,
    AskedFact,
    BudgetAnswer,
    BuildList,
    CautionLine,
    FigureLine,
    MarginLine,
)
from rules.speech import in_a_sentence, spared
from rules.wording.layout import (
    amount,
    entry,
    filled,
    heading,
    hours,
    listed,
    money_width,
    notes,
    numbered,
    spoken,
    titled,
)
from rules.wording.sources import cited
from rules.wording.sums import spoken_range

_margin_width: Final = 16
_kind_width: Final = 17
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


def margins(build: BuildList, width: int) -> list[str]:
    """Every limit that was checked, and by how much it holds."""
    if not build.margins:
        return []
    lines = heading("Limits that were checked", width, [("to spare", _margin_width)])
    for line in build.margins:
        sentence = cited(build, line.sentence, line.basis)
        lines += entry(sentence, width, [(_margin(line), _margin_width)])
        lines += notes([line.numbers], width)
    return lines


def _margin(line: MarginLine) -> str:
    return "holds" if line.margin is None else spared(line.margin, line.unit)


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
    """What else is worth renewing: its price now, later on its own, and the difference.

    What saves nothing stands in one line of its own, so that it does not bury the rest.
    """
    if not build.add_ons:
        return []
    full = [line for line in build.add_ons if line.taken or line.worth.minor > 0]
    columns = [(name, money_width) for name in ("now", "later", "saved")]
    lines = heading("Worth doing while it is apart", width, columns if full else ())
    for line in full:
        figures = [amount(line.price_now), amount(line.price_later), amount(line.worth)]
        lines += entry(f"{line.label}{_taken(build, line)}", width, figures)
        lines += notes(_about_add_on(build, line), width)
    lines += _no_dearer(build, [line for line in build.add_ons if line not in full], width)
    return [*lines, *filled(_what_prices_are(build, bool(full)), width, " ", hang=1)]


def _no_dearer(build: BuildList, rest: list[AddOn], width: int) -> list[str]:
    if not rest:
        return []
    said = "; ".join(_in_short(build, line) for line in rest)
    return entry(f"No dearer later: {said}.", width)


def _in_short(build: BuildList, line: AddOn) -> str:
    part = f", {line.part}" if line.part is not None else ""
    price = f"{line.price_now.amount} now, {line.price_later.amount} later"
    label = in_a_sentence(line.label)
    source = cited(build, "", line.basis).removeprefix(".")
    return f"{label}{part} ({price}){source}{_taken(build, line)}"


def _what_prices_are(build: BuildList, columns: bool) -> str:
    to = "the safe plan" if build.status == "needs_facts" else "this job"
    alone = "Later: alone, once this job is done. With tax."
    return f"Now: added to {to} by itself. {alone}" if columns else "With tax."


def _taken(build: BuildList, line: AddOn) -> str:
    """While facts are missing the budget is judged by the range, not add-on by add-on."""
    if build.status == "needs_facts" and not line.taken:
        return ""
    fits = {True: ", in budget", False: ", past budget", None: ""}
    return " (TAKEN, in the list)" if line.taken else fits[line.within_budget]


def _about_add_on(build: BuildList, line: AddOn) -> Iterator[str]:
    yield cited(build, line.sentence, line.basis)
    yield f"{_distance(line)} {hours(line.minutes_now)} now, {hours(line.minutes_later)} later."
    if line.part is not None:
        yield f"{line.title} ({line.part})"


def _distance(line: AddOn) -> str:
    run = "Distance run not known" if line.run_km is None else f"Has run {line.run_km} km"
    return f"{run}, lasts about {line.life_km} km." if line.life_km is not None else f"{run}."


def budget(build: BuildList, width: int) -> list[str]:
    """What the budget buys."""
    answer = build.budget
    if answer is None:
        return []
    text = _in_cases(build, answer) if build.status == "needs_facts" else _bought(build, answer)
    return [*heading("Budget", width), *filled(text, width, " ", hang=1)]


def _in_cases(build: BuildList, answer: BudgetAnswer) -> str:
    """The budget held against the range that the total lies in."""
    has, low, high = answer.budget.minor, build.total_from, build.total_to
    can = " that can be done" if any(line.kind == "impossible" for line in build.depends) else ""
    if high is not None and has >= high.minor:
        verdict = f"enough in every case{can}"
    elif low is not None and has < low.minor:
        verdict = "not enough in any case"
    elif low is not None and high is not None:
        verdict = "enough in some cases and not in others"
    else:
        return f"Whether {answer.budget} is enough is open until the total is bounded."
    total = f"the total is {spoken_range(build)}"
    return f"{answer.budget} is {verdict}: {total}. Add-ons are chosen once that is settled."


def _bought(build: BuildList, answer: BudgetAnswer) -> str:
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
    return text


def cautions(build: BuildList, width: int) -> list[str]:
    """Safety, emission and licence notes, kind by kind."""
    if not build.cautions:
        return []
    lines = heading("Cautions", width)
    by_kind: dict[str, list[CautionLine]] = {}
    for line in build.cautions:
        by_kind.setdefault(line.kind, []).append(line)
    for kind, alike in by_kind.items():
        label = spoken(kind).capitalize()
        for line in alike:
            sentence = cited(build, line.sentence, line.basis)
            lines += titled(f" {label}", sentence, width, _kind_width)
            label = ""
    return lines


def remarks(build: BuildList, width: int) -> list[str]:
    """The engine's notes."""
    if not build.notes:
        return []
    lines = [line for note in build.notes for line in entry(note, width)]
    return [*heading("Notes", width), *lines]
