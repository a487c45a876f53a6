"""What checks came out as, remembered for a whole catalog edition."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from rules.fitment import Trilean

if TYPE_CHECKING:
    from rules.machine import Machine
    from rules.model.checks import Check
    from rules.model.tables import Tables

Outcomes = dict[tuple[Hashable, ...], Trilean]

MEMORY_LIMIT = 400_000
"""Outcomes remembered for one catalog edition before the memory starts afresh."""


class Memory:
    """Outcomes of checks over one catalog edition, by what each check can see.

    A check that reads no fitted part is decided by the facts that it reads and the looks of
    its choices, so what one machine's request found out serves every other machine.
    """

    def __init__(self) -> None:
        self._outcomes: dict[Hashable, Outcomes] = {}

    def outcomes(self, check: Check, machine: Machine) -> Outcomes:
        """The store for a check on machines with such facts."""
        if len(self._outcomes) > MEMORY_LIMIT // 100:
            self._outcomes = {}
        key = (check.key, tuple(machine.facts.get(name) for name in check.facts))
        store = self._outcomes.setdefault(key, {})
        if len(store) > MEMORY_LIMIT:
            store.clear()
        return store


MACHINES_REMEMBERED = 128
"""Machines whose tables are kept: the bikes on a counter's desk, not all that exist."""


class SharedTables:
    """Tables of the machines asked about last."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Tables] = {}

    def shared(self, key: Hashable, fresh: Tables) -> Tables:
        """The tables kept under ``key``, or ``fresh``, kept from now on."""
        if len(self._kept) > MACHINES_REMEMBERED:
            self._kept = {}
        return self._kept.setdefault(key, fresh)
