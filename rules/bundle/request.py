"""What is asked of the bundle check: a machine, perhaps jobs, and the lines of a list."""

from __future__ import annotations

from dataclasses import dataclass

from rules.request import BuildRequest

MOST_LINES = 500
"""Lines of one list. No engine has more places than this by far."""

MOST_PACKS = 9999
"""Packs on one line; more is a slip."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleLine:
    """One line as the owner wrote it. ``at``: its place in the list or its line in the text,
    from 1. ``quantity``: packs, or kits, of the number as it is sold. ``trouble``: why it
    cannot be read (a sentence without its stop); then the rest says nothing."""

    at: int
    written: str
    brand: str = ""
    number: str = ""
    quantity: int = 1
    trouble: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleRequest:
    """``build`` holds the machine, the jobs, what is fitted, the tools and the aim."""

    build: BuildRequest
    lines: tuple[BundleLine, ...]
