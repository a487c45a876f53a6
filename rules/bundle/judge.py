"""Each line judged, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import get_args

from rules.bundle.answer import Finding, LineVerdict, SpareLine, Verdict
from rules.bundle.fitting import Clash
from rules.bundle.resolve import Resolved
from rules.bundle.stock import Stock
from rules.bundle.words import counts, joined, packs
from rules.catalog import Kit, Part, PartKey
from rules.compiled import CompiledCatalog

_GRAVITY = {kind: rank for rank, kind in enumerate(get_args(Verdict))}


@dataclass
class Judge:
    """``needs``: pieces that each place takes (left out where unknown). ``target``: places that
    the completion renews, with their part; ``needed``: those that the jobs need, None without
    jobs. ``aside``: parts of the list that the completion goes without."""

    compiled: CompiledCatalog
    lines: tuple[Resolved, ...]
    stock: Stock
    needs: Mapping[str, int]
    target: Mapping[str, PartKey]
    needed: frozenset[str] | None
    clashes: tuple[Clash, ...]
    aside: frozenset[PartKey]

    def verdict(self, found: Resolved) -> LineVerdict:
        """The line with everything there is to say about it."""
        findings = sorted(self._findings(found), key=lambda f: _GRAVITY[f.kind])
        return LineVerdict(
            at=found.line.at,
            written=found.line.written,
            part=found.key,
            title=self._title(found),
            quantity=found.line.quantity,
            verdict=findings[0].kind,
            findings=tuple(findings),
            current=found.current,
            near=found.near or found.brands,
        )

    def spare(self) -> Iterator[SpareLine]:
        """What can go back: whole packs of single lines, whole kits, and what nothing needs."""
        for found in self.lines:
            for key, count, sentence in self._spare[found.line.at]:
                yield SpareLine(at=found.line.at, part=key, packs=count, sentence=sentence)

    def _title(self, found: Resolved) -> str:
        titles = [*(part.title for part in found.parts), *(kit.title for kit in found.kits)]
        return joined(titles)

    # -- what can be said of a line ----------------------------------------------------

    def _findings(self, found: Resolved) -> Iterator[Finding]:
        if found.key is None:
            yield self._not_found(found)
            return
        if found.superseded:
            together = " together" if len(found.current) > 1 else ""
            sentence = f"Old number: today it is {joined(found.current)}{together}."
            yield Finding(kind="superseded", sentence=sentence, parts=found.current)
        yield from self._unfit(found)
        for part in found.parts:
            if found.usable(part.key) and (found.whole or self._in_target(part)):
                yield from self._single(found, part)
        for kit in found.kits:
            yield from self._kit(found, kit)

    def _not_found(self, found: Resolved) -> Finding:
        if found.line.trouble:
            return Finding(kind="not_read", sentence=f"Not read: {found.line.trouble}.")
        if found.brands:
            sentence = f"More than one brand has this number: say {joined(found.brands, 'or')}."
            return Finding(kind="unknown_number", sentence=sentence, parts=found.brands)
        mend = (
            f"Did you mean {joined(found.near, 'or')}?"
            if found.near
            else "Compare it with the packet."
        )
        sentence = f"The catalog has no such number. {mend}"
        return Finding(kind="unknown_number", sentence=sentence, parts=found.near)

    def _unfit(self, found: Resolved) -> Iterator[Finding]:
        for key in found.withdrawn:
            sentence = f"{self._of(found, key)}no longer sold, and nothing replaces it."
            yield Finding(kind="withdrawn", sentence=_capital(sentence), parts=(key,))
        why: dict[tuple[bool, tuple[str, ...]], list[PartKey]] = {}
        for key, verdict in found.fits.items():
            if verdict.fits is not True:
                why.setdefault((verdict.fits is False, verdict.reasons), []).append(key)
        for (known, reasons), keys in why.items():
            of = f"{joined(keys)}: " if self._of(found, keys[0]) else ""
            kind: Verdict = "does_not_fit" if known else "not_settled"
            verb = "does not fit:" if len(keys) == 1 else "do not fit:"
            said = verb if known else "whether it fits"
            sentence = f"{of}{said} {'; '.join(reasons)}."
            yield Finding(kind=kind, sentence=_capital(sentence), parts=tuple(keys))

    def _of(self, found: Resolved, key: PartKey) -> str:
        """Names the part where the line stands for another number or for several."""
        return "" if found.current == (key,) and not found.superseded else f"{key}: "

    def _clashing(self, found: Resolved, key: PartKey) -> Iterator[Finding]:
        for clash in self.clashes:
            if key in clash.keys:
                others = tuple(other for other in clash.keys if other != key)
                named = joined((*others, *clash.jobs))
                start = f"cannot go together with {named}: " if named else "cannot be fitted: "
                sentence = _capital(f"{self._of(found, key)}{start}{clash.sentence}")
                yield Finding(kind="conflicts", sentence=sentence, parts=others)

    def _in_target(self, part: Part) -> bool:
        return self.target.get(part.part_type) == part.key

    # -- single parts --------------------------------------------------------------------

    def _single(self, found: Resolved, part: Part) -> Iterator[Finding]:
        yield from self._clashing(found, part.key)
        if part.key in self.aside:
            return
        yield self._counted(found, part)

    def _counted(self, found: Resolved, part: Part) -> Finding:
        """Enough, too few, too many, or nothing that anybody needs."""
        of, place, unit = self._of(found, part.key), part.part_type, self._unit(part)
        need = self.needs.get(place)
        if need is None:
            return Finding(kind="fits", sentence=_capital(f"{of}fits."))
        if self.needed is not None and place not in self.needed:
            return Finding(
                kind="not_needed",
                sentence=_capital(f"{of}fits, but the work named does not need it."),
            )
        have = self.stock.on_hand[part.key]
        spare = self._spare_packs[found.line.at, part.key]
        holders = self._kits_holding(part.key)
        if spare and holders and self.stock.from_kits[part.key] >= need:
            where = joined(f"{kit.key} on line {at}" for at, kit in holders)
            sentence = f"{of}already in kit {where}; {self._back(found, spare, part)}."
            keys = tuple(kit.key for _, kit in holders)
            return Finding(kind="already_in_kit", sentence=_capital(sentence), parts=keys)
        said = counts(need, have, unit)
        if have < need:
            short = packs(-(-(need - have) // part.pack_quantity), part.pack_quantity, unit)
            sentence = f"{of}fits, but too few: {said}; {short} more to buy."
            return Finding(kind="too_few", sentence=_capital(sentence))
        if spare:
            sentence = f"{of}fits, but too many: {said}; {self._back(found, spare, part)}."
            sentence += self._meant_pieces(found, part, need)
            return Finding(kind="too_many", sentence=_capital(sentence))
        return Finding(kind="fits", sentence=_capital(f"{of}fits: {said}."))

    def _back(self, found: Resolved, spare: int, part: Part) -> str:
        if spare == found.line.quantity:
            return "it can go back" if spare == 1 else f"all {spare} can go back"
        return f"{packs(spare, part.pack_quantity, self._unit(part))} can go back"

    def _meant_pieces(self, found: Resolved, part: Part, need: int) -> str:
        """A slip that packs invite: pieces counted where packs are sold."""
        if part.pack_quantity == 1 or found.line.quantity != need:
            return ""
        enough = packs(-(-need // part.pack_quantity), part.pack_quantity, self._unit(part))
        return f" If pieces were counted: {enough} is enough."

    def _unit(self, part: Part) -> str:
        return self.compiled.part_types[part.part_type].counted_in

    def _kits_holding(self, key: PartKey) -> list[tuple[int, Kit]]:
        return [
            (found.line.at, kit)
            for found in self.lines
            for kit in found.kits
            if any(content.part == key for content in kit.contents)
        ]

    # -- what can go back ------------------------------------------------------------------

    @cached_property
    def _spare_packs(self) -> dict[tuple[int, PartKey], int]:
        """Packs of each single line beyond the need, taken from the last line first."""
        spare: dict[tuple[int, PartKey], int] = {}
        left = dict(self.stock.on_hand)
        for found in reversed(self.lines):
            for part, pieces in found.single_pieces():
                need = self.needs.get(part.part_type)
                beyond = 0 if need is None else max(0, left[part.key] - need) // part.pack_quantity
                count = min(beyond, pieces // part.pack_quantity)
                spare[found.line.at, part.key] = count
                left[part.key] -= count * part.pack_quantity
        return spare

    @cached_property
    def _spare(self) -> dict[int, list[tuple[PartKey, int, str]]]:
        return {found.line.at: [*self._spare_of(found)] for found in self.lines}

    def _spare_of(self, found: Resolved) -> Iterator[tuple[PartKey, int, str]]:
        for part, _ in found.single_pieces():
            if part.key in self.aside:
                yield part.key, found.line.quantity, "It conflicts with something else here."
                continue
            if not (found.whole or self._in_target(part)):
                continue
            finding = self._counted(found, part)
            if finding.kind == "not_needed":
                yield part.key, found.line.quantity, "The work named does not need it."
            elif count := self._spare_packs[found.line.at, part.key]:
                in_kit = finding.kind == "already_in_kit"
                yield part.key, count, "A kit holds it." if in_kit else "There is enough of it."
        for kit in found.kits:
            if count := self._spare_kits(found, kit):
                yield kit.key, count, self._why_spare(found, kit)

    def _why_spare(self, found: Resolved, kit: Kit) -> str:
        return (
            "One is enough."
            if any(self._used(found, kit))
            else "Nothing in it is used on this machine."
        )

    def _spare_kits(self, found: Resolved, kit: Kit) -> int:
        """Whole kits that nothing is used of, or beyond what the places take."""
        used = [*self._used(found, kit)]
        if not used:
            return found.line.quantity if self.target and found.whole else 0
        kits = max(
            -(-min(self.needs.get(part.part_type, held), held * found.line.quantity) // held)
            for part, held in used
        )
        return found.line.quantity - kits

    def _used(self, found: Resolved, kit: Kit) -> Iterator[tuple[Part, int]]:
        """Parts of the kit that the target has, and that no single line supplies whole."""
        for content in kit.contents:
            part = self.compiled.parts[content.part]
            place = part.part_type
            if self.target.get(place) != content.part or not found.usable(content.part):
                continue
            if self.needed is not None and place not in self.needed:
                continue
            yield part, content.quantity

    # -- kits --------------------------------------------------------------------------------

    def _kit(self, found: Resolved, kit: Kit) -> Iterator[Finding]:
        fitting = [c.part for c in kit.contents if found.usable(c.part)]
        if not fitting:
            return
        for key in fitting:
            yield from self._clashing(found, key)
        earlier = self._in_earlier_kits(found, kit)
        if earlier and set(fitting) <= earlier.keys():
            where = joined(dict.fromkeys(earlier.values()))
            sentence = f"All that fits of it is already in kit {where}; it can go back."
            yield Finding(kind="already_in_kit", sentence=sentence, parts=tuple(earlier))
            return
        if not any(self._used(found, kit)):
            if found.whole and self.target:
                sentence = "Fits, but nothing in it is used for this work."
                yield Finding(kind="not_needed", sentence=sentence)
            elif found.whole:
                yield Finding(kind="fits", sentence="Fits.")
            return
        spare = self._spare_kits(found, kit)
        if spare:
            sentence = f"Fits, but too many: {found.line.quantity} here, {spare} can go back."
            yield Finding(kind="too_many", sentence=sentence)
        yield from self._kit_contents(found, kit)
        yield Finding(kind="fits", sentence=self._kit_fits(found, kit))

    def _kit_fits(self, found: Resolved, kit: Kit) -> str:
        used = [
            self.compiled.part_types[part.part_type].label.lower()
            for part, _ in self._used(found, kit)
        ]
        start = "Fits; it" if found.whole else "What fits of it"
        return f"{start} supplies {joined(used)}."

    def _kit_contents(self, found: Resolved, kit: Kit) -> Iterator[Finding]:
        left: dict[PartKey, str] = {}
        used = {part.key for part, _ in self._used(found, kit)}
        for content in kit.contents:
            if not found.usable(content.part):
                continue
            part = self.compiled.parts[content.part]
            unit, held = self._unit(part), content.quantity * found.line.quantity
            need = self.needs.get(part.part_type, 0) if part.key in used else 0
            have = self.stock.on_hand[part.key]
            if part.key in used and have < need:
                sentence = f"Holds too few of {part.key}: {counts(need, have, unit)}."
                yield Finding(kind="too_few", sentence=sentence, parts=(part.key,))
            elif self.target and held > need:
                left[part.key] = f"{held - need}{' ml' if unit == 'ml' else ''} of {part.key}"
                instead = self.target.get(part.part_type, part.key)
                if instead != part.key:
                    left[part.key] += f" ({instead} is fitted there)"
        if left:
            sentence = f"Left over from it: {joined(left.values())}."
            yield Finding(kind="left_over", sentence=sentence, parts=tuple(left))

    def _in_earlier_kits(self, found: Resolved, kit: Kit) -> dict[PartKey, str]:
        """Parts of this kit that a kit on an earlier line brings in full."""
        earlier: dict[PartKey, str] = {}
        for other in self.lines:
            if other.line.at >= found.line.at:
                break
            for theirs in other.kits:
                for content in theirs.contents:
                    need = self.needs.get(self.compiled.parts[content.part].part_type, 1)
                    if content.quantity * other.line.quantity >= need:
                        earlier.setdefault(content.part, f"{theirs.key} on line {other.line.at}")
        inside = [content.part for content in kit.contents]
        return {key: earlier[key] for key in inside if key in earlier}


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
