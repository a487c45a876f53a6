"""What the lines put on the bench: pieces on hand, and which parts they ask to be fitted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rules.bundle.resolve import Resolved
from rules.catalog import Part, PartKey, Requirement
from rules.compiled import CompiledCatalog


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Pieces (or ml) by part, from single lines and from kits. ``wanted``: the parts that the
    list asks to be fitted. ``clashes``: places that two single parts claim, the part first on
    the list, which alone is wanted, before the others."""

    singles: dict[PartKey, int]
    from_kits: dict[PartKey, int]
    wanted: tuple[PartKey, ...]
    clashes: dict[str, tuple[PartKey, ...]]

    @property
    def on_hand(self) -> dict[PartKey, int]:
        """All pieces of a part, wherever they come from."""
        keys = sorted({*self.singles, *self.from_kits})
        return {key: self.singles.get(key, 0) + self.from_kits.get(key, 0) for key in keys}


def stock_of(compiled: CompiledCatalog, lines: tuple[Resolved, ...], *, any_job: bool) -> Stock:
    """Single parts that fit are wanted: that is what they were bought for. So is what comes in
    a kit, but for parts that only go along with other work (gaskets, seals …) and are used as
    they are needed, and for places that a single part or another kit's part claims. A list
    of nothing but such kits, with no job named, asks for all that is in them. Of a number that
    fits only in part nothing is wanted; what fits of it lies ready."""
    whole = [line for line in lines if line.whole]
    singles = _claims(part for line in whole for part, _ in line.single_pieces())
    in_kits = _claims(part for line in whole for part, _ in line.kit_pieces(compiled))
    open_ = {
        place: keys[0] for place, keys in in_kits.items() if len(keys) == 1 and place not in singles
    }
    along = _go_along(compiled)
    chosen = [key for place, key in open_.items() if place not in along]
    wanted = [*(keys[0] for keys in singles.values()), *chosen]
    if not wanted and not any_job:
        wanted = list(open_.values())
    return Stock(
        singles=_sum(pair for line in lines for pair in line.single_pieces()),
        from_kits=_sum(pair for line in lines for pair in line.kit_pieces(compiled)),
        wanted=tuple(sorted(wanted)),
        clashes={place: keys for place, keys in singles.items() if len(keys) > 1},
    )


def _claims(parts: Iterable[Part]) -> dict[str, tuple[PartKey, ...]]:
    """The different parts for each place, in the order of the list."""
    found: dict[str, dict[PartKey, None]] = {}
    for part in parts:
        found.setdefault(part.part_type, {})[part.key] = None
    return {place: tuple(keys) for place, keys in found.items()}


def _sum(pieces: Iterable[tuple[Part, int]]) -> dict[PartKey, int]:
    total: dict[PartKey, int] = {}
    for part, count in pieces:
        total[part.key] = total.get(part.key, 0) + count
    return total


def _go_along(compiled: CompiledCatalog) -> frozenset[str]:
    """Places that steps spend or requirements renew: what other work drags along."""
    spent = {place for step in compiled.steps.values() for place in step.spends}
    rules = (c.rule for c in compiled.requirements)
    return frozenset(spent | {r.renew for r in rules if isinstance(r, Requirement) and r.renew})
