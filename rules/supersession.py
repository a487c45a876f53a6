"""Old numbers followed to what is sold today."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rules.catalog import PartKey, Supersession

Replacements = Mapping[PartKey, tuple[PartKey, ...]]


@dataclass(frozen=True, slots=True)
class Current:
    """``chain``: every number passed, the asked one first; ``current``: what is sold now."""

    chain: tuple[PartKey, ...]
    current: tuple[PartKey, ...]

    @property
    def changed(self) -> bool:
        """Whether the number asked for is an old one."""
        return len(self.chain) > 1


def replacements(rows: Iterable[Supersession]) -> dict[PartKey, tuple[PartKey, ...]]:
    """Rows grouped by old number; the new numbers in order of brand and number."""
    grouped: dict[PartKey, set[PartKey]] = {}
    for row in rows:
        grouped.setdefault(row.old, set()).add(row.new)
    return {old: tuple(sorted(new)) for old, new in grouped.items()}


def follow(key: PartKey, by: Replacements) -> Current:
    """Follow ``key`` to the end. Cycles are refused at load, so this ends."""
    chain = [key]
    ends: dict[PartKey, None] = {}
    stack = [key]
    while stack:
        current = stack.pop(0)
        successors = by.get(current)
        if successors is None:
            ends[current] = None
            continue
        for successor in successors:
            if successor not in chain:
                chain.append(successor)
                stack.append(successor)
    return Current(tuple(chain), tuple(ends))
