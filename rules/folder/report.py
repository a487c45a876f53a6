"""The list of faults that a reader fills while it goes on reading."""

from __future__ import annotations

from collections.abc import Iterable

from rules.faults import Fault


class Report:
    """Gathers faults in the order found; a place keeps its first fault of later stages."""

    def __init__(self) -> None:
        self._faults: list[Fault] = []
        self.broken = False
        """Whether records are missing because a file could not be taken apart. References
        are then not checked: what they name may be in the part that was not read."""

    def add(self, where: str, problem: str, mend: str) -> None:
        self._faults.append(Fault(where, problem, mend))

    def add_break(self, where: str, problem: str, mend: str) -> None:
        """A fault that keeps records from being read at all."""
        self.broken = True
        self.add(where, problem, mend)

    def add_new(self, faults: Iterable[Fault]) -> None:
        """Add what later checks found, except at places that are already reported.

        A cell or row that could not be read holds placeholders; a later check of a
        placeholder would say nothing true.
        """
        reported = {fault.where for fault in self._faults}
        self._faults.extend(
            fault
            for fault in faults
            if reported.isdisjoint((fault.where, fault.where.rpartition(":")[0]))
        )

    @property
    def faults(self) -> tuple[Fault, ...]:
        return tuple(self._faults)

    def touches(self, file: str) -> bool:
        """Whether some fault lies in ``file``."""
        return any(
            fault.where == file or fault.where.startswith(f"{file}:") for fault in self._faults
        )
