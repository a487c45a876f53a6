"""All wanted parts put on the machine together: the build list, or what cannot be together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from rules.answer import BuildList, Conflict, ConflictElement
from rules.build import build_list
from rules.bundle.stock import Stock
from rules.catalog import Limit, PartKey
from rules.compiled import CompiledCatalog
from rules.listing.sides import numbers_of
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.request import BuildRequest

MOST_CONFLICTS: Final = 8
"""Conflicts that are taken apart one by one; a list with more is not a bundle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A minimal conflict. ``keys``: the wanted parts in it; ``sentence`` says why."""

    conflict: Conflict
    keys: tuple[PartKey, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """``build`` None: nothing was asked for, or what is asked for cannot be. ``wanted``: what
    is fitted of the list; ``set_aside``: one part out of each clash."""

    build: BuildList | None
    wanted: tuple[PartKey, ...]
    set_aside: tuple[PartKey, ...] = ()
    clashes: tuple[Clash, ...] = ()


@dataclass
class Bench:
    """Solves for one machine and one stock."""

    compiled: CompiledCatalog
    machine: Machine
    request: BuildRequest
    stock: Stock
    today: date
    edition: str

    def fit(self) -> Fitting:
        """Everything wanted, but for one part out of each conflict."""
        clashes = [self._one_place(place) for place in sorted(self.stock.clashes)]
        aside = [key for keys in self.stock.clashes.values() for key in keys[1:]]
        wanted = set(self.stock.wanted)
        for _ in range(MOST_CONFLICTS):
            build = self.build(wanted)
            if build is None or build.status != "conflict":
                return _fitting(build, wanted, aside, clashes)
            clash = self._clash(build.conflicts[0], wanted)
            clashes.append(clash)
            if not clash.keys:
                return _fitting(None, wanted, aside, clashes)
            given_up = min(clash.keys, key=self._hold)
            aside.append(given_up)
            wanted.discard(given_up)
        return _fitting(None, wanted, aside, clashes)

    def build(self, wanted: set[PartKey]) -> BuildList | None:
        """The cheapest build with these parts; None where nothing is asked for at all."""
        if not (wanted or self.request.jobs):
            return None
        request = replace(
            self.request,
            parts_wanted=tuple(sorted(wanted)),
            parts_on_hand=self.stock.on_hand,
        )
        return build_list(self.compiled, request, today=self.today, edition=self.edition)

    def _hold(self, key: PartKey) -> tuple[bool, int, PartKey]:
        """What speaks for keeping a part: a job renews its place; then what it costs."""
        part = self.compiled.parts[key]
        asked = {place for job in self.request.jobs for place in self.compiled.jobs[job].renew}
        return part.part_type in asked, part.price, key

    # -- saying why ------------------------------------------------------------------

    def _one_place(self, place: str) -> Clash:
        keys = self.stock.clashes[place][:2]
        label = self.compiled.part_types[place].label.lower()
        elements = tuple(
            ConflictElement(
                kind="wanted",
                ref=str(key),
                sentence=f"{key} is on the list as {label}.",
                basis="the list",
            )
            for key in keys
        )
        conflict = Conflict(elements=elements)
        sentence = f"A machine takes one kind of {label}."
        return Clash(conflict=conflict, keys=self.stock.clashes[place], sentence=sentence)

    def _clash(self, conflict: Conflict, wanted: set[PartKey]) -> Clash:
        named = {e.ref for e in conflict.elements if e.kind == "wanted"}
        keys = tuple(sorted(key for key in wanted if str(key) in named))
        chosen = {self.compiled.parts[key].part_type: key for key in keys}
        said = [self._said(e, chosen) for e in conflict.elements if e.kind != "wanted"]
        return Clash(conflict=conflict, keys=keys, sentence=" ".join(said))

    def _said(self, element: ConflictElement, chosen: Mapping[str, PartKey]) -> str:
        sentence = element.sentence
        compiled = self.compiled.rules.get(element.ref) if element.kind == "rule" else None
        if compiled is None or not isinstance(compiled.rule, Limit):
            return sentence
        seen = Assignment(self.machine, self.compiled.properties, chosen, ())
        numbers = numbers_of(compiled.parts[0], seen, compiled.rule.unit)
        return f"{sentence} Here: {numbers}." if numbers else sentence


def _fitting(
    build: BuildList | None, wanted: set[PartKey], aside: list[PartKey], clashes: list[Clash]
) -> Fitting:
    return Fitting(
        build=build,
        wanted=tuple(sorted(wanted)),
        set_aside=tuple(aside),
        clashes=tuple(clashes),
    )
