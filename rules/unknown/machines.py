"""The machine at hand, with some of what was missing told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rules.compiled import CompiledCatalog
from rules.demand import Demand
from rules.identify import machine_from, matching, with_fitted
from rules.machine import Machine
from rules.request import BuildRequest
from rules.values import Value

Told = Mapping[str, Value]
"""Names as expressions spell them, with what they turned out to be."""


@dataclass(frozen=True, slots=True)
class Inquiry:
    """A request on a machine of which something may be missing."""

    compiled: CompiledCatalog
    request: BuildRequest
    machine: Machine
    demand: Demand
    _machines: dict[frozenset[tuple[str, Value]], Machine | None] = field(
        default_factory=dict, compare=False
    )

    def told(self, answers: Told) -> Machine | None:
        """The machine once these answers are in; None: no configuration is like that."""
        key = frozenset(answers.items())
        if key not in self._machines:
            self._machines[key] = self._told(answers)
        return self._machines[key]

    def _told(self, answers: Told) -> Machine | None:
        facts = dict(self.machine.facts)
        facts |= {name.partition(".")[2]: v for name, v in answers.items() if _of_vehicle(name)}
        left = {vehicle.id for vehicle in matching(self.compiled, facts)}
        candidates = tuple(v for v in self.machine.candidates if v.id in left)
        if not candidates:
            return None
        machine = machine_from(self.compiled, candidates, facts)
        machine = with_fitted(self.compiled, machine, self.request.fitted)
        return _with_fitted_told(machine, answers)


def _of_vehicle(name: str) -> bool:
    return name.startswith("vehicle.")


def _with_fitted_told(machine: Machine, answers: Told) -> Machine:
    if all(map(_of_vehicle, answers)):
        return machine
    fitted = dict(machine.fitted)
    for name, value in answers.items():
        if _of_vehicle(name):
            continue
        _, place, what = name.split(".", 2)
        there = fitted.get(place)
        if there is None:
            continue
        if what == "run_km":
            fitted[place] = replace(there, run_km=int(value), factory=False)
        else:
            fitted[place] = replace(there, properties={**there.properties, what: value})
    return replace(machine, fitted=fitted, signature=None)
