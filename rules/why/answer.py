"""What is said about one line, or about something that is not in the list. Data only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rules.answer import ConflictElement
from rules.catalog import PartKey
from rules.money import Money

LineKind = Literal["part", "kit", "operation", "step", "sent_out", "tool", "consumable", "add_on"]
"""Lines that can be asked about."""

LinkKind = Literal[
    "job",
    "wanted",
    "taken",
    "machine",
    "rule",
    "part",
    "kit",
    "operation",
    "step",
    "sent_out",
    "tool",
    "consumable",
    "add_on",
]
"""The first four are what was asked and told: the ends of every chain."""

ENDS: tuple[LinkKind, ...] = ("job", "wanted", "taken", "machine")


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One thing in the chain. ``sentence`` says how it follows from the link before."""

    kind: LinkKind
    ref: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """From the wish (first) to the line asked about (last)."""

    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """All shortest chains that lead to a line; never none."""

    kind: LineKind
    ref: str
    title: str
    edition: str
    chains: tuple[Chain, ...]
    more: bool
    """Whether there are other chains as short, left out for their number."""


Verdict = Literal[
    "in_list",
    "superseded",
    "no_longer_sold",
    "refused",
    "does_not_fit",
    "not_on_this_machine",
    "not_needed",
    "conflict",
    "worse",
    "equal",
    "open",
    "request_conflict",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyNot:
    """Why something is not in the list.

    ``sentences``: the answer, first things first. ``today``: what an old number is sold as now.
    ``elements``: what cannot hold together with it. ``total_more`` and ``minutes_more``: the
    list with it, less the list without (both may be negative); None: there is no such list.
    """

    subject: str
    title: str
    edition: str
    verdict: Verdict
    sentences: tuple[str, ...]
    today: tuple[PartKey, ...] = ()
    elements: tuple[ConflictElement, ...] = ()
    total: Money | None = None
    total_more: Money | None = None
    minutes_more: int | None = None
