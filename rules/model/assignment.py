"""A target and its steps, as expressions see them."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from rules.catalog import PartKey
from rules.machine import Machine
from rules.values import Outcome, Unknown, Value

PropertyTable = Mapping[PartKey, Mapping[str, Value | None]]


class Assignment:
    """Renewed places with their parts, and the steps being done, on one machine."""

    __slots__ = ("_chosen", "_machine", "_properties", "_steps")

    def __init__(
        self,
        machine: Machine,
        properties: PropertyTable,
        chosen: Mapping[str, PartKey],
        steps: Collection[str],
    ) -> None:
        self._machine = machine
        self._properties = properties
        self._chosen = chosen
        self._steps = steps

    def fact(self, name: str) -> Outcome:
        return self._machine.fact(name)

    def target(self, part_type: str, name: str) -> Outcome:
        key = self._chosen.get(part_type)
        if key is None:
            return self._machine.fitted_property(part_type, name)
        value = self._properties[key].get(name)
        return Unknown(frozenset({f"{part_type}.{name}"})) if value is None else value

    def fitted(self, part_type: str, name: str) -> Outcome:
        return self._machine.fitted_property(part_type, name)

    def renewed(self, part_type: str) -> Outcome:
        return part_type in self._chosen

    def doing(self, step: str) -> Outcome:
        return step in self._steps

    def present(self, part_type: str) -> Outcome:
        if part_type in self._chosen:
            return True
        place = self._machine.fitted.get(part_type)
        if place is not None and place.unsure is not None:
            return place.unsure
        return place is not None

    def run_km(self, part_type: str) -> Outcome:
        return self._machine.run_km(part_type)
