"""The body of ``POST /v1/build-lists``: a machine and a wish."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from api.shapes.common import JsonValue, Name
from rules.catalog import PartKey
from rules.faults import Fault, Faulty
from rules.money import minor_units
from rules.request import Aim, BuildRequest, FittedPart


class Asked(BaseModel):
    """Base of everything that is asked: nothing is coerced, nothing unknown is passed over."""

    model_config = ConfigDict(
        strict=True, extra="forbid", frozen=True, use_attribute_docstrings=True
    )


PartText = Annotated[str, StringConstraints(min_length=1, max_length=100)]
Facts = Annotated[dict[Name, JsonValue], Field(max_length=100)]


class AskedPart(Asked):
    """A part by its number, and its brand where it is known."""

    brand: PartText | None = None
    """Leave it out to find the part by number alone."""
    number: PartText

    def key(self) -> PartKey:
        return PartKey(self.brand or "", self.number)


class AskedVehicle(Asked):
    """The machine at hand."""

    id: Name | None = None
    """A configuration from /v1/vehicles. Without it the facts alone must describe the machine."""
    facts: Facts = Field(default_factory=dict)
    """Facts by name, as the catalog declares them: model_year, odometer_km, market …"""


class AskedFittedPart(Asked):
    """What sits on the machine now in place of the factory part."""

    part_type: Name
    part: AskedPart | None = None
    """Leave it out for something unlisted; then only `properties` are known of it."""
    properties: Facts = Field(default_factory=dict)
    run_km: Annotated[int, Field(ge=0, le=10_000_000)] | None = None
    """How far it has run; leave it out when nobody knows."""


AskedParts = Annotated[list[AskedPart], Field(max_length=200)]
Places = Annotated[list[Name], Field(max_length=200)]


class BuildListRequest(Asked):
    """A machine and a wish. Every field may be left out."""

    vehicle: AskedVehicle = Field(default_factory=AskedVehicle)
    jobs: list[Name] = Field(default_factory=list, max_length=50)
    """Job ids from /v1/jobs."""
    parts_wanted: AskedParts = Field(default_factory=list)
    """Parts or kits that must be on the machine afterwards. Old numbers are followed."""
    parts_refused: AskedParts = Field(default_factory=list)
    """Parts that are not to be bought."""
    keep: Places = Field(default_factory=list)
    """Part types that stay as they are."""
    fitted: list[AskedFittedPart] = Field(default_factory=list, max_length=200)
    """What the machine carries that is not the factory's."""
    add_ons: Places = Field(default_factory=list)
    """Part types of add-ons taken."""
    tools_owned: Annotated[list[Name], Field(max_length=200)] | None = None
    """Tool ids. Leave it out for the shop's own cabinet; an empty list is an empty cabinet."""
    aim: Aim = "cost"
    """Least total cost, least hours, or longest life of what is renewed."""
    budget: Annotated[str, StringConstraints(pattern=r"^[0-9]{1,12}(\.[0-9]{1,4})?$")] | None = None
    """Tax included, in the catalog's currency, with no more decimals than that has (most have
    two, some none): the add-ons worth most within it are named."""

    def to_request(self, exponent: int) -> BuildRequest:
        """The same in the engine's terms; ``exponent`` is the number of the currency's decimals.

        Raises Faulty when the budget has more decimals than the currency.
        """
        return BuildRequest(
            vehicle_id=self.vehicle.id,
            facts=self.vehicle.facts,
            jobs=tuple(self.jobs),
            parts_wanted=_keys(self.parts_wanted),
            parts_refused=_keys(self.parts_refused),
            keep=tuple(self.keep),
            fitted=tuple(_fitted(part) for part in self.fitted),
            add_ons=tuple(self.add_ons),
            tools_owned=None if self.tools_owned is None else tuple(self.tools_owned),
            aim=self.aim,
            budget=None if self.budget is None else _budget(self.budget, exponent),
        )


def _keys(parts: Iterable[AskedPart]) -> tuple[PartKey, ...]:
    return tuple(part.key() for part in parts)


def _fitted(asked: AskedFittedPart) -> FittedPart:
    return FittedPart(
        part_type=asked.part_type,
        part=asked.part.key() if asked.part else None,
        properties=asked.properties,
        run_km=asked.run_km,
    )


def _budget(text: str, exponent: int) -> int:
    # Zeros at the end count here: 1.500 is fifteen hundred to some, one and a half to others.
    if len(text.partition(".")[2]) > exponent:
        problem = f"{text!r} has more decimals than the currency"
        raise Faulty([Fault("/budget", problem, f"Give it with {_decimals(exponent)}.")])
    return minor_units(text, exponent)


def _decimals(exponent: int) -> str:
    return f"at most {exponent} decimals" if exponent else "no decimals"
