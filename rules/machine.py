"""The machine at hand: what is known of it, and what sits in each place."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace

from rules.catalog import FactoryPart, Part, PartKey, Vehicle
from rules.compiled import CompiledCatalog, properties_of
from rules.fitment import all_hold
from rules.values import Failure, Outcome, Unknown, Value

ODOMETER = "odometer_km"
"""The fact that says how far a factory part has run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """What sits in a place. ``unsure``: which factory part it is depends on missing facts."""

    key: PartKey | None = None
    title: str = ""
    properties: Mapping[str, Value | None] = field(default_factory=dict)
    run_km: int | None = None
    factory: bool = False
    unsure: Unknown | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """Known facts and fitted parts; a part type not in ``fitted`` is an empty place.

    ``vehicle``: the one configuration it is, or None while several of ``candidates`` match.
    """

    facts: Mapping[str, Value]
    fitted: Mapping[str, Fitted]
    vehicle: Vehicle | None = None
    candidates: tuple[Vehicle, ...] = ()
    signature: Hashable = None
    """Equal for machines with the same facts and fitted parts; None: not to be remembered."""

    def fact(self, name: str) -> Outcome:
        """A fact's value, or unknown."""
        value = self.facts.get(name)
        return Unknown(frozenset({f"vehicle.{name}"})) if value is None else value

    def fitted_property(self, part_type: str, name: str) -> Outcome:
        """A property of what sits there now, unknown, or a failure for an empty place."""
        place = self.fitted.get(part_type)
        if place is None:
            return absent(part_type)
        if place.unsure is not None:
            return place.unsure
        value = place.properties.get(name)
        if value is None:
            return Unknown(frozenset({f"fitted.{part_type}.{name}"}))
        return value

    def run_km(self, part_type: str) -> Outcome:
        """How far the fitted part has run."""
        place = self.fitted.get(part_type)
        if place is None:
            return absent(part_type)
        if place.run_km is None:
            missing = f"vehicle.{ODOMETER}" if place.factory else f"fitted.{part_type}.run_km"
            return Unknown(frozenset({missing}))
        return place.run_km


def absent(part_type: str) -> Failure:
    """Nothing sits in that place."""
    return Failure(f"the machine has no {part_type}", absent=part_type)


def fitted_from(part: Part, run_km: int | None, *, factory: bool = False) -> Fitted:
    """A listed part as something that sits on the machine."""
    return Fitted(
        key=part.key,
        title=part.title,
        properties=properties_of(part),
        run_km=run_km,
        factory=factory,
    )


def factory_fitted(compiled: CompiledCatalog, facts: Mapping[str, Value]) -> dict[str, Fitted]:
    """What the factory put on a machine with such facts, place by place."""
    odometer = facts.get(ODOMETER)
    run_km = odometer if isinstance(odometer, int) else None
    fitted: dict[str, Fitted] = {}
    for part_type, rows in compiled.factory.items():
        place = _factory_place(compiled, rows, facts, run_km)
        if place is not None:
            fitted[part_type] = place
    return fitted


def _factory_place(
    compiled: CompiledCatalog,
    rows: list[FactoryPart],
    facts: Mapping[str, Value],
    run_km: int | None,
) -> Fitted | None:
    open_: dict[PartKey, Unknown] = {}
    for row in rows:
        holds = all_hold(row.conditions, facts)
        if holds is True:
            return fitted_from(compiled.parts[row.part], run_km, factory=True)
        if isinstance(holds, Unknown):
            known = open_.get(row.part)
            open_[row.part] = holds if known is None else known | holds
    if not open_:
        return None
    unsure = Unknown(frozenset().union(*(u.missing for u in open_.values())))
    return Fitted(run_km=run_km, factory=True, unsure=unsure, title="depends on missing facts")


def as_built(machine: Machine, target: Mapping[str, Part]) -> Machine:
    """The machine as a build leaves it: the target's parts fitted, with nothing run yet."""
    renewed = {name: fitted_from(part, 0) for name, part in target.items()}
    return replace(machine, fitted={**machine.fitted, **renewed}, signature=None)
