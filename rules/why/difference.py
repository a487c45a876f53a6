"""How a list with something forced differs from the list without, and what made the choice."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rules.answer import BuildList
from rules.compiled import CompiledCatalog
from rules.listing.context import money


@dataclass(frozen=True, slots=True)
class Difference:
    """The list with it, less the list without: minor units with tax, minutes, places."""

    total: int
    minutes: int
    places: int

    @classmethod
    def between(cls, without: BuildList, with_it: BuildList) -> Difference:
        """Both lists must have totals."""
        if without.totals is None or with_it.totals is None:
            raise ValueError("a list without totals cannot be compared")
        return cls(
            total=with_it.totals.total.minor - without.totals.total.minor,
            minutes=with_it.totals.labour_minutes - without.totals.labour_minutes,
            places=len(with_it.parts) - len(without.parts),
        )

    @property
    def none(self) -> bool:
        """Whether money and time are the same."""
        return not self.total and not self.minutes


def in_words(
    compiled: CompiledCatalog, without: BuildList, with_it: BuildList, difference: Difference
) -> Iterator[str]:
    """The sum in one sentence, and where it does not decide, what does."""
    amount = str(money(compiled, abs(difference.total)))
    money_said = _more(amount, difference.total, "the same total")
    time_said = _more(f"{abs(difference.minutes)} min", difference.minutes, "the same time")
    if difference.none:
        yield "With it the list is valid, and comes to the same total and the same time."
    else:
        yield f"With it the list is valid. It comes to {money_said} and takes {time_said}."
    for kind, label, added in _added(without, with_it):
        yield f"It also brings {kind}: {', '.join(added)}{label}."
    yield from _deciding(without, difference)


def _more(size: str, difference: int, same: str) -> str:
    if not difference:
        return same
    return f"{size} {'more' if difference > 0 else 'less'}"


def _added(without: BuildList, with_it: BuildList) -> Iterator[tuple[str, str, list[str]]]:
    before = {line.part_type for line in without.parts}
    places = [line.label.lower() for line in with_it.parts if line.part_type not in before]
    if places:
        yield "parts", "", places
    known = {line.tool for line in without.tools}
    tools = [line.title for line in with_it.tools if line.tool not in known]
    if tools:
        yield "tools", "", tools


def _deciding(without: BuildList, difference: Difference) -> Iterator[str]:
    if without.aim == "hours" and difference.total < 0:
        yield "The aim is least hours."
    if without.aim == "life" and difference.total <= 0:
        yield "The aim is longest life: it, or what it brings, falls short of the parts chosen."
    if not difference.none or without.aim == "life":
        return
    if difference.places > 0:
        yield "Between equals the list that renews fewer places is taken."
    else:
        yield "Between equals brand and number decide, in the order of the alphabet."
