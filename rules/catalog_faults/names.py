"""Names: written right, declared once, and known where they are used."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from typing import Final, TypeVar

from rules.catalog_faults.wording import quoted, unknown_name
from rules.faults import Fault

T = TypeVar("T")

LONGEST_NAME: Final = 60
_NAME: Final = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")


def name_faults(where: str, name: str, taken: Collection[str] = ()) -> Iterator[Fault]:
    """A name is a lower-case word, or several joined by ``_``, and none of ``taken``."""
    if not _NAME.fullmatch(name) or len(name) > LONGEST_NAME:
        yield Fault(where, f"{quoted(name)} is not a name",
                    "Write lower-case words joined by _, at most 60 characters, a letter first.")
    elif name in taken:
        yield Fault(where, f"the name {quoted(name)} means something else already",
                    "Choose another name.")


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
        yield Fault(f"{where}:{field}", f"the {kind} {quoted(key)} is there twice{at}",
                    "Rename one, or take it out.")


class Known:
    """The declared names of one kind, to check uses against.

    ``declare`` is a sentence that says where one would be declared.
    """

    def __init__(self, kind: str, names: Iterable[str], declare: str) -> None:
        self.kind, self.names, self._declare = kind, tuple(names), declare
        self._set = frozenset(self.names)

    def __contains__(self, name: object) -> bool:
        return name in self._set

    def faults(self, where: str, name: str) -> Iterator[Fault]:
        """A fault when ``name`` is not known."""
        if name not in self._set:
            yield Fault(where, *unknown_name(self.kind, name, self.names, self._declare))

    def list_faults(self, where: str, names: Iterable[str]) -> Iterator[Fault]:
        """Faults for names that are unknown or written twice in one list."""
        seen: set[str] = set()
        for name in names:
            yield from self.faults(where, name)
            if name in seen:
                yield Fault(where, f"{quoted(name)} is in the list twice", "Keep it once.")
            seen.add(name)
