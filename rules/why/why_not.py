"""Why a part, a kit or a way is not in the list: tried, not guessed.

What fits and may be bought is wanted as well, and the list is worked out again: it then
clashes with something, comes dearer, or comes to the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from rules.answer import BuildList
from rules.build import build_list
from rules.catalog import Kit, Part, PartKey
from rules.compiled import CompiledCatalog
from rules.demand import resolve
from rules.faults import Fault, Faulty
from rules.fitment import verdict
from rules.identify import find_number, identify
from rules.listing.context import money
from rules.machine import Machine
from rules.request import BuildRequest
from rules.speech import in_a_sentence
from rules.supersession import follow
from rules.values import Unknown
from rules.why.answer import Verdict, WhyNot
from rules.why.difference import Difference, in_words
from rules.why.ways import why_not_way

Way = tuple[str, str]
"""An operation and one of its ways."""


def why_not(
    compiled: CompiledCatalog,
    request: BuildRequest,
    subject: PartKey | Way,
    *,
    today: date,
    edition: str,
) -> WhyNot:
    """Why ``subject`` is not in the build list of ``request``.

    A PartKey without a brand is found by its number. Raises Faulty when the request is wrong
    or the catalog knows no such part, kit or way.
    """
    base = build_list(compiled, request, today=today, edition=edition)
    if not isinstance(subject, PartKey):
        return why_not_way(compiled, request, subject, base)
    faults: list[Fault] = []
    key = find_number(compiled, subject, "/part", faults)
    if key is None:
        raise Faulty(faults)
    return _Number(compiled, request, base, key).answer(today)


@dataclass(slots=True)
class _Number:
    """One number asked about."""

    compiled: CompiledCatalog
    request: BuildRequest
    base: BuildList
    key: PartKey

    def answer(self, today: date) -> WhyNot:
        """The first of the reasons that holds, in the order in which a counter would check."""
        machine = identify(self.compiled, self.request)
        demand = resolve(self.compiled, self.request)
        kit = self.compiled.kits.get(self.key)
        part = self.compiled.parts.get(self.key)
        current = follow(self.key, self.compiled.replaced_by)
        if current.changed:
            return self._superseded(current.current)
        if self.key in self._listed():
            return self._said("in_list", f"{self.key} is in the list.")
        if self.key in demand.refused:
            return self._said("refused", f"{self.key} is refused in the request.")
        for one in [part] if part else self._inside(kit):
            reason = self._not_to_be_had(one, machine)
            if reason is not None:
                return self._said(*reason)
        if self.base.status == "conflict":
            sentence = "Nothing at all is valid as asked, with it or without."
            elements = self.base.conflicts[0].elements if self.base.conflicts else ()
            return replace(self._said("request_conflict", sentence), elements=elements)
        return self._tried(today, self._kit_words(kit) if kit else self._place_words(part))

    def _said(self, found: Verdict, *sentences: str) -> WhyNot:
        item = self.compiled.parts.get(self.key) or self.compiled.kits.get(self.key)
        return WhyNot(
            subject=str(self.key),
            title=item.title if item else "",
            edition=self.base.edition,
            verdict=found,
            sentences=tuple(sentence for sentence in sentences if sentence),
        )

    def _listed(self) -> set[PartKey]:
        return {line.part for line in self.base.parts} | {line.kit for line in self.base.kits}

    def _superseded(self, today: tuple[PartKey, ...]) -> WhyNot:
        now = " and ".join(map(str, today))
        listed = [str(key) for key in today if key in self._listed()]
        in_list = f"Of that, the list has {' and '.join(listed)}." if listed else ""
        sentence = f"{self.key} is an old number; today it is {now}."
        return replace(self._said("superseded", sentence, in_list), today=today)

    def _inside(self, kit: Kit | None) -> list[Part]:
        return [self.compiled.parts[c.part] for c in kit.contents] if kit else []

    def _not_to_be_had(self, part: Part, machine: Machine) -> tuple[Verdict, str] | None:
        """Withdrawn, or not for this machine; of a kit, the first such part in it."""
        holds = "" if part.key == self.key else f"{self.key} holds {part.key}. "
        if part.status != "current":
            return "no_longer_sold", f"{holds}{part.key} is no longer sold."
        if part.key in self.compiled.replaced_by:
            return "superseded", f"{holds}{part.key} is an old number."
        statements = self.compiled.fitment.get(part.key, ())
        found = verdict(statements, machine.facts, self.compiled.fact_labels)
        reasons = "; ".join(found.reasons)
        if found.fits is False:
            return "does_not_fit", f"{holds}{part.key} does not fit this machine: {reasons}."
        if isinstance(found.fits, Unknown):
            return "open", f"{holds}Whether {part.key} fits {reasons}."
        return None

    # -- tried ---------------------------------------------------------------------

    def _tried(self, today: date, opening: str) -> WhyNot:
        wanted = (*self.request.parts_wanted, self.key)
        request = replace(self.request, parts_wanted=wanted)
        forced = build_list(self.compiled, request, today=today, edition=self.base.edition)
        if forced.status == "conflict":
            sentence = "With it nothing is valid: these cannot hold together."
            said = self._said("conflict", opening, sentence)
            return replace(said, elements=forced.conflicts[0].elements)
        if forced.totals is None or self.base.totals is None:
            facts = ", ".join(ask.question for ask in (*self.base.asks, *forced.asks)[:1])
            return self._said("open", opening, f"That depends on what is not known: {facts}")
        return self._compared(forced, opening)

    def _compared(self, forced: BuildList, opening: str) -> WhyNot:
        difference = Difference.between(self.base, forced)
        unneeded = not self._places() & {line.part_type for line in self.base.parts}
        found: Verdict = "equal" if difference.none else "worse"
        sentences = in_words(self.compiled, self.base, forced, difference)
        said = self._said("not_needed" if unneeded else found, opening, *sentences)
        return replace(
            said,
            total=money(self.compiled, forced.totals.total.minor) if forced.totals else None,
            total_more=money(self.compiled, difference.total),
            minutes_more=difference.minutes,
        )

    def _places(self) -> set[str]:
        kit, part = self.compiled.kits.get(self.key), self.compiled.parts.get(self.key)
        return {one.part_type for one in ([part] if part else self._inside(kit))}

    def _place_words(self, part: Part | None) -> str:
        if part is None:
            return ""
        label = in_a_sentence(self.compiled.part_types[part.part_type].label)
        chosen = [line for line in self.base.parts if line.part_type == part.part_type]
        if not chosen:
            return f"Nothing in this list renews the {label}."
        return f"In its place, as the {label}, the list has {chosen[0].part}."

    def _kit_words(self, kit: Kit) -> str:
        chosen = {line.part: line for line in self.base.parts}
        used = [chosen[c.part] for c in kit.contents if c.part in chosen]
        if not used:
            return "It holds no part that this list has."
        enough = {c.part: c.quantity for c in kit.contents}
        short = [line for line in used if enough[line.part] < line.quantity]
        if short:
            names = _and(f"{enough[s.part]} of the {s.quantity} {s.part}" for s in short)
            return f"It holds only {names} that this list takes."
        names = _and(str(line.part) for line in used)
        singly = sum(line.packs * line.pack_price.minor for line in used)
        price, bought = money(self.compiled, kit.price), money(self.compiled, singly)
        return f"Of what it holds the list takes {names}: {bought} bought so; the kit is {price}."


def _and(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
