"""Errors as data: what was wrong, where, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong.

    ``where`` is a path a person can follow: ``parts/camshaft.csv:12:price`` in a
    catalog folder (file:row:column, the header is row 1), ``/jobs/0`` in a
    request (JSON Pointer, RFC 6901), ``rules/valve_train.yaml:cam_lift_limit:limit``
    in a YAML file (file:id:field).
    """

    where: str
    problem: str
    mend: str

    def __str__(self) -> str:
        return f"{self.where}: {self.problem}. {self.mend}"


class Faulty(ValueError):
    """The input was refused whole; ``faults`` lists every reason."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))
