"""The answer to a bundle check. Data only; ``rules.wording.bundle`` makes the text."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rules.answer import AskedFact, BuildList, Conflict, MachineFacts
from rules.catalog import PartKey
from rules.money import Money

Verdict = Literal[
    "not_read",
    "unknown_number",
    "withdrawn",
    "does_not_fit",
    "not_settled",
    "conflicts",
    "already_in_kit",
    "not_needed",
    "too_few",
    "too_many",
    "left_over",
    "superseded",
    "fits",
]
"""The gravest first. ``withdrawn``: no longer sold and replaced by nothing. ``not_settled``:
depends on a fact that is not known. ``left_over``: of a kit, some is not used."""

BundleStatus = Literal["complete", "incomplete", "needs_facts", "conflict"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to say about a line. ``parts``: the other numbers that it speaks of."""

    kind: Verdict
    sentence: str
    parts: tuple[PartKey, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LineVerdict:
    """A line judged. ``part``: the number as the catalog spells it, None when it has no such
    number; ``current``: what it is sold as today; ``near``: numbers that it may have meant,
    likeliest first. ``verdict`` is the gravest of ``findings``."""

    at: int
    written: str
    part: PartKey | None
    title: str
    quantity: int
    verdict: Verdict
    findings: tuple[Finding, ...]
    current: tuple[PartKey, ...] = ()
    near: tuple[PartKey, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingPart:
    """Still to buy. ``packs`` of ``pack_quantity`` pieces (or ml) each; ``quantity``: pieces
    that the place needs, ``on_hand`` of them there already. ``kit``: what is bought is a kit,
    and ``part_type`` is empty."""

    part: PartKey
    title: str
    part_type: str
    kit: bool
    packs: int
    pack_quantity: int
    quantity: int
    on_hand: int
    counted_in: str
    amount: Money
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpareLine:
    """``packs`` of a line that can go back."""

    at: int
    part: PartKey
    packs: int
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleCheck:
    """``completion``: the build list in which the owner's parts cost nothing, without add-ons;
    None when there is none, or nothing on the list can be used. ``own_parts``: what those used
    would have cost here, before tax. ``set_aside``: numbers left out of the completion because
    of a conflict."""

    status: BundleStatus
    summary: str
    edition: str
    catalog: str
    made_on: date
    machine: MachineFacts
    jobs: tuple[str, ...]
    lines: tuple[LineVerdict, ...]
    missing: tuple[MissingPart, ...] = ()
    spare: tuple[SpareLine, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    set_aside: tuple[PartKey, ...] = ()
    asks: tuple[AskedFact, ...] = ()
    own_parts: Money | None = None
    completion: BuildList | None = None
