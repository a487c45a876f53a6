"""How faults are worded: names in quotes, the nearest known name offered."""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches

LONGEST_SHOWN = 60
"""A quoted text longer than this is cut, so that one bad cell cannot flood a report."""

MOST_COMPARED = 4000
"""Above so many known names no nearest one is looked for: it would cost more than it helps."""


def quoted(text: object) -> str:
    """The text in quotes, cut to a readable length: ``'camshaft'``."""
    shown = str(text)
    if len(shown) > LONGEST_SHOWN:
        shown = shown[:LONGEST_SHOWN] + "…"
    return repr(shown)


def nearest(name: str, known: Collection[str]) -> str | None:
    """The known name most like ``name``, or None when none is near."""
    if len(known) > MOST_COMPARED or len(name) > LONGEST_SHOWN:
        return None
    matches = get_close_matches(name, known, n=1, cutoff=0.6)
    return matches[0] if matches else None


def unknown_name(kind: str, name: str, near: str | None, declare: str) -> tuple[str, str]:
    """Problem and mend for a name that nothing declares.

    ``kind`` as a person says it (``part type``); ``near`` a known name like it;
    ``declare`` a sentence that says where such a name would be declared.
    """
    problem = f"unknown {kind} {quoted(name)}"
    return problem, f"Did you mean {quoted(near)}? If not: {declare}" if near else declare
