"""What a fact, a property or an expression can be: a value, unknown, or a failure.

Unknown is an outcome of its own. It never becomes a default, and it remembers
which facts or properties would settle it, so that the answer can ask for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ValueKind = Literal["text", "number", "whole", "flag"]

Value = bool | int | float | str
"""text -> str, number -> float, whole -> int, flag -> bool."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """Not known, because each of ``missing`` is not known.

    ``missing`` holds names as an expression spells them: ``vehicle.cooling``,
    ``fitted.camshaft.valve_lift_mm``, ``camshaft.valve_lift_mm``.
    """

    missing: frozenset[str]

    def __or__(self, other: Unknown) -> Unknown:
        return Unknown(self.missing | other.missing)


@dataclass(frozen=True, slots=True)
class Failure:
    """No value exists: nothing is fitted there, or the arithmetic has no answer.

    ``absent`` is the part type that is not on the machine, or None when the
    arithmetic itself failed (division by zero, a value out of a function's range).
    """

    reason: str
    absent: str | None = None


Outcome = Value | Unknown | Failure
