"""Numbers that a mistyped one may have meant. Deterministic, and never taken unasked.

Slips that are looked for: signs that look alike (O and 0, I and 1, S and 5 …), a dash or a
blank too many or missing, the maker's letters before the first dash left out, a wrong brand,
and one sign too many, missing, wrong or changed with its neighbour. (Common practice; those
four are the single edits of F. J. Damerau, CACM 7 (3), 1964.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from rules.catalog import PartKey

MOST_NEAR: Final = 3
SHORTEST: Final = 3
"""Below this many signs everything is near everything."""

_ALIKE: Final = str.maketrans("OQIL|SBZ", "00111582")


def folded(number: str) -> str:
    """As it is compared: capitals, letters and digits only, signs that look alike made one."""
    kept = "".join(c for c in number.upper() if c.isalnum() or c == "|")
    return kept.translate(_ALIKE)


class NearNumbers:
    """Looks up numbers that differ by one slip. Built once over all known numbers."""

    def __init__(self, known: Iterable[PartKey]) -> None:
        self._same: dict[str, list[PartKey]] = {}
        self._tail: dict[str, list[PartKey]] = {}
        self._less: dict[str, list[str]] = {}
        for key in sorted(known):
            shape = folded(key.number)
            if shape not in self._same:
                for shorter in sorted(set(_one_less(shape))):
                    self._less.setdefault(shorter, []).append(shape)
            self._same.setdefault(shape, []).append(key)
            tail = folded(key.number.partition("-")[2])
            if len(tail) >= SHORTEST:
                self._tail.setdefault(tail, []).append(key)

    def near(self, brand: str, number: str) -> tuple[PartKey, ...]:
        """At most three, likeliest first: alike but for signs that look alike (then no others),
        without the maker's letters, two signs changed over, one missing or too many, one wrong;
        among these the brand named before others."""
        shape = folded(number)
        if len(shape) < SHORTEST:
            return ()
        ranked = dict.fromkeys(self._same.get(shape, ()), 0)
        if not ranked:
            ranked |= dict.fromkeys(self._tail.get(shape, ()), 1)
            for key, rank in self._one_slip(shape):
                ranked.setdefault(key, rank)
        order = sorted(
            ranked, key=lambda key: (key.brand.casefold() != brand.casefold(), ranked[key], key)
        )
        return tuple(order[:MOST_NEAR])

    def _one_slip(self, shape: str) -> Iterator[tuple[PartKey, int]]:
        """Keys one slip away, with 2 for neighbours changed over, 3 for a sign missing or too
        many, 4 for a wrong one."""
        shapes = {shape, *_one_less(shape)}
        found = {long for short in shapes for long in self._less.get(short, ())}
        found |= shapes & self._same.keys()
        for other in sorted(found):
            rank = _slip(shape, other)
            if rank is not None:
                yield from ((key, rank) for key in self._same[other])


def _one_less(shape: str) -> Iterator[str]:
    return (shape[:at] + shape[at + 1 :] for at in range(len(shape)))


def _slip(one: str, other: str) -> int | None:
    """The rank of the one slip that lies between two different shapes; None: more than one."""
    pairs = enumerate(zip(one, other, strict=False))
    start = next((at for at, (a, b) in pairs if a != b), min(len(one), len(other)))
    mine, theirs = one[start:], other[start:]
    if len(mine) == len(theirs):
        if mine[:2] == theirs[1::-1] and mine[2:] == theirs[2:]:
            return 2
        return 4 if mine[1:] == theirs[1:] else None
    return 3 if mine[1:] == theirs or mine == theirs[1:] else None
