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
        """At most three, likeliest first: alike but for signs that look alike, then without the
        maker's letters, then one slip away; the brand named before others."""
        shape = folded(number)
        if len(shape) < SHORTEST:
            return ()
        ranked: dict[PartKey, int] = {}
        for rank, keys in enumerate(
            (self._same.get(shape, ()), self._tail.get(shape, ()), self._one_slip(shape))
        ):
            for key in keys:
                ranked.setdefault(key, rank)
        order = sorted(
            ranked, key=lambda key: (key.brand.casefold() != brand.casefold(), ranked[key], key)
        )
        return tuple(order[:MOST_NEAR])

    def _one_slip(self, shape: str) -> Iterator[PartKey]:
        shapes = {shape, *_one_less(shape)}
        found = {long for short in shapes for long in self._less.get(short, ())}
        found |= shapes & self._same.keys()
        for other in sorted(found):
            if _slip_apart(shape, other):
                yield from self._same[other]


def _one_less(shape: str) -> Iterator[str]:
    return (shape[:at] + shape[at + 1 :] for at in range(len(shape)))


def _slip_apart(one: str, other: str) -> bool:
    """Whether one insertion, deletion, substitution or transposition of neighbours lies between."""
    start = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), None)
    if start is None:
        return abs(len(one) - len(other)) <= 1
    rest_one, rest_other = one[start:], other[start:]
    return (
        rest_one[1:] == rest_other[1:]
        or rest_one[1:] == rest_other
        or rest_one == rest_other[1:]
        or (
            rest_one[:2] == rest_other[:2][::-1]
            and len(rest_one) > 1
            and rest_one[2:] == rest_other[2:]
        )
    )
