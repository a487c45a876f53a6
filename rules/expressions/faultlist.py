"""Collects the faults of one expression, each with its place in the text."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import NoReturn

from rules.faults import Fault, Faulty


class FaultList:
    """``where`` is the path of the expression; positions count characters from 0."""

    def __init__(self, where: str) -> None:
        self._where = where
        self._found: list[tuple[int, Fault]] = []

    def add(self, position: int, problem: str, mend: str) -> None:
        """Record a fault. The sentence counts characters from 1, as editors do."""
        told = f"at character {position + 1}: {problem}"
        self._found.append((position, Fault(self._where, told, f"{mend}.")))

    def add_whole(self, problem: str, mend: str) -> None:
        """Record a fault of the expression as a whole."""
        self._found.append((-1, Fault(self._where, problem, f"{mend}.")))

    def raise_if_any(self) -> None:
        """Raises ``Faulty`` with everything found so far, in the order of the text."""
        if self._found:
            self.refuse()

    def refuse(self) -> NoReturn:
        """Raises ``Faulty``."""
        raise Faulty(fault for _, fault in sorted(self._found, key=lambda found: found[0]))


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that ``name`` was most likely meant to be."""
    close = get_close_matches(name, sorted(known), n=1, cutoff=0.6)
    return close[0] if close else None


def listed(names: Iterable[str], most: int = 8) -> str:
    """``a, b, c`` in order, cut after ``most``."""
    ordered = sorted(names)
    return ", ".join(ordered[:most]) + (", …" if len(ordered) > most else "")
