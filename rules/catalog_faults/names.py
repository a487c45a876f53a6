"""Names: written right, declared once, and known where they are used."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from typing import Final, TypeVar

from rules.catalog import PartKey
from rules.catalog_faults.wording import nearest, quoted, unknown_name
from rules.faults import Fault

T = TypeVar("T")

LONGEST_NAME: Final = 60
MOST_LOOKED_FOR: Final = 50
"""Unknown names of a kind for which a near one is looked for. Looking is slow, and a report
with more of them has a cause of its own, such as a table that was never filled."""
_NAME: Final = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")


def name_faults(where: str, name: str, taken: Collection[str] = ()) -> Iterator[Fault]:
    """A name is a lower-case word, or several joined by ``_``, and none of ``taken``."""
    if not _NAME.fullmatch(name) or len(name) > LONGEST_NAME:
        yield Fault(
            where,
            f"{quoted(name)} is not a name",
            "Write lower-case words joined by _, at most 60 characters, a letter first.",
        )
    elif name in taken:
        yield Fault(
            where, f"the name {quoted(name)} means something else already", "Choose another name."
        )


def repeated(keyed: Iterable[tuple[T, str]]) -> Iterator[tuple[T, str, str]]:
    """(key, its place, the place of the first) for every key that came before."""
    first: dict[T, str] = {}
    for key, where in keyed:
        if key in first:
            yield key, where, first[key]
        else:
            first[key] = where


def repeated_faults(kind: str, keyed: Iterable[tuple[str, str]], field: str) -> Iterator[Fault]:
    """Faults for ids that are declared more than once. ``keyed``: id and place of the record."""
    for key, where, first in repeated(keyed):
        at = "" if first == where else f", first at {first}"
        yield Fault(
            f"{where}:{field}",
            f"the {kind} {quoted(key)} is there twice{at}",
            "Rename one, or take it out.",
        )


class Known:
    """The declared names of one kind, to check uses against.

    ``declare`` is a sentence that says where one would be declared.
    """

    def __init__(self, kind: str, names: Iterable[str], declare: str) -> None:
        self._kind, self._declare = kind, declare
        self._names = frozenset(names)
        self._near: dict[str, str | None] = {}

    def __contains__(self, name: object) -> bool:
        return name in self._names

    def faults(self, where: str, name: str) -> Iterator[Fault]:
        """A fault when ``name`` is not known."""
        if name not in self._names:
            yield Fault(where, *self.unknown(name))

    def unknown(self, name: str) -> tuple[str, str]:
        """Problem and mend for a name that is not known."""
        if name not in self._near and len(self._near) < MOST_LOOKED_FOR:
            self._near[name] = nearest(name, sorted(self._names))
        return unknown_name(self._kind, name, self._near.get(name), self._declare)

    def list_faults(self, where: str, names: Iterable[str]) -> Iterator[Fault]:
        """Faults for names that are unknown or written twice in one list."""
        seen: set[str] = set()
        for name in names:
            yield from self.faults(where, name)
            if name in seen:
                yield Fault(where, f"{quoted(name)} is in the list twice", "Keep it once.")
            seen.add(name)


class KnownKeys:
    """Known brands and part numbers. Near ones are looked for within the brand."""

    def __init__(self, kind: str, keys: Iterable[PartKey], declare: str) -> None:
        by_brand: dict[str, list[str]] = {}
        self._keys = frozenset(keys)
        for key in sorted(self._keys):
            by_brand.setdefault(key.brand, []).append(key.number)
        self._brands = Known("brand", by_brand, declare)
        self._numbers = {
            brand: Known(f"{kind} of {brand}", numbers, declare)
            for brand, numbers in by_brand.items()
        }

    def faults(self, where: str, key: PartKey) -> Iterator[Fault]:
        """A fault at the brand or at the number, whichever is not known.

        ``where`` is the place up to the column's own word: ``fitment.csv:7:`` or
        ``supersessions.csv:7:new_``.
        """
        if key in self._keys:
            return
        if key.brand in self._numbers:
            yield Fault(f"{where}number", *self._numbers[key.brand].unknown(key.number))
        else:
            yield Fault(f"{where}brand", *self._brands.unknown(key.brand))
