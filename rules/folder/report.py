"""The list of faults that a reader fills while it goes on reading."""

from __future__ import annotations

from collections.abc import Iterable

from rules.faults import Fault


class Report:
    """Gathers faults in the order found; a place keeps its first fault of later stages."""

    def __init__(self) -> None:
        self._faults: list[Fault] = []

    def add(self, where: str, problem: str, mend: str) -> None:
        self._faults.append(Fault(where, problem, mend))

    def add_new(self, faults: Iterable[Fault]) -> None:
        """Add what later checks found, except at places that are already reported.

        A cell that could not be read holds a placeholder; a later check of the
        placeholder would say nothing true.
        """
        reported = {fault.where for fault in self._faults}
        self._faults.extend(fault for fault in faults if fault.where not in reported)

    @property
    def faults(self) -> tuple[Fault, ...]:
        return tuple(self._faults)

    def touches(self, file: str) -> bool:
        """Whether some fault lies in ``file``."""
        return any(
            fault.where == file or fault.where.startswith(f"{file}:") for fault in self._faults
        )
