"""Each line looked up: which number it is, what it is sold as today, whether that fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from rules.bundle.request import BundleLine
from rules.bundle.spelling import NearNumbers
from rules.catalog import Kit, Part, PartKey
from rules.compiled import CompiledCatalog
from rules.fitment import Verdict, verdict
from rules.machine import Machine
from rules.supersession import follow


@dataclass(frozen=True, slots=True, kw_only=True)
class Resolved:
    """``key`` None: no such number; ``near`` then holds likely ones. ``brands``: more than one
    brand sells it. ``parts`` and ``kits``: what it is sold as today. ``fits``: of each part, in
    ``parts`` or in one of ``kits``, whether it fits the machine; a part no longer sold is in
    ``withdrawn`` instead."""

    line: BundleLine
    key: PartKey | None = None
    near: tuple[PartKey, ...] = ()
    brands: tuple[PartKey, ...] = ()
    parts: tuple[Part, ...] = ()
    kits: tuple[Kit, ...] = ()
    fits: dict[PartKey, Verdict] = field(default_factory=dict)
    withdrawn: tuple[PartKey, ...] = ()

    @property
    def current(self) -> tuple[PartKey, ...]:
        """The numbers as they are sold today."""
        return (*(part.key for part in self.parts), *(kit.key for kit in self.kits))

    @property
    def superseded(self) -> bool:
        return self.key is not None and self.current not in ((), (self.key,))

    @property
    def whole(self) -> bool:
        """Whether all that the number stands for is sold and fits."""
        return not self.withdrawn and all(v.fits is True for v in self.fits.values())

    def usable(self, key: PartKey) -> bool:
        """Whether the part is sold and fits, whatever is not known."""
        return key in self.fits and self.fits[key].fits is True

    def single_pieces(self) -> Iterator[tuple[Part, int]]:
        """Parts that come singly and fit, with the pieces that the line brings."""
        for part in self.parts:
            if self.usable(part.key):
                yield part, part.pack_quantity * self.line.quantity

    def kit_pieces(self, compiled: CompiledCatalog) -> Iterator[tuple[Part, int]]:
        """Parts out of kits that fit, with the pieces that the line brings."""
        for kit in self.kits:
            for content in kit.contents:
                if self.usable(content.part):
                    yield compiled.parts[content.part], content.quantity * self.line.quantity


@dataclass
class Resolver:
    """Looks lines up for one machine."""

    compiled: CompiledCatalog
    machine: Machine

    def resolve(self, line: BundleLine) -> Resolved:
        """The line with all that the catalog says about its number on this machine."""
        if line.trouble:
            return Resolved(line=line)
        known = self.compiled.keys_by_number.get(line.number.strip().upper(), [])
        brand = line.brand.strip().casefold()
        own = [key for key in known if not brand or key.brand.casefold() == brand]
        if len(own) > 1:
            return Resolved(line=line, brands=tuple(own))
        if not own:
            return Resolved(line=line, near=self._near.near(line.brand.strip(), line.number))
        return self._known(line, own[0])

    def _known(self, line: BundleLine, key: PartKey) -> Resolved:
        compiled = self.compiled
        current = follow(key, compiled.replaced_by).current
        parts = tuple(compiled.parts[k] for k in current if k in compiled.parts)
        kits = tuple(compiled.kits[k] for k in current if k in compiled.kits)
        inside = (compiled.parts[c.part] for kit in kits for c in kit.contents)
        every = {part.key: part for part in (*parts, *inside)}
        sold = [part for part in every.values() if self._sold(part)]
        return Resolved(
            line=line,
            key=key,
            parts=parts,
            kits=kits,
            fits={part.key: self._fits(part) for part in sold},
            withdrawn=tuple(k for k, part in every.items() if not self._sold(part)),
        )

    def _sold(self, part: Part) -> bool:
        return part.status == "current" and part.key not in self.compiled.replaced_by

    def _fits(self, part: Part) -> Verdict:
        statements = self.compiled.fitment.get(part.key, ())
        return verdict(statements, self.machine.facts, self.compiled.fact_labels)

    @cached_property
    def _near(self) -> NearNumbers:
        keys = self.compiled.keys_by_number.values()
        return NearNumbers(key for group in keys for key in group)
