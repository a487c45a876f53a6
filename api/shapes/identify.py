"""Shapes of ``POST /v1/vehicles/identify``."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from api.shapes.catalog import VehicleShape
from api.shapes.common import Answer, JsonValue
from api.shapes.request import Asked, Facts
from rules.vin import Standard


class IdentifyRequest(Asked):
    """What is known of a machine. At least one of the two should be given."""

    vin: Annotated[str, StringConstraints(min_length=1, max_length=60)] | None = None
    """Vehicle identification number; blanks, hyphens and small letters do not matter."""
    vin_standard: Standard = "ISO 3779"
    """49 CFR 565 (North America) has a check digit and a model year code; ISO 3779 has neither."""
    facts: Facts = Field(default_factory=dict)


class VinShape(Answer):
    """What the number says by itself."""

    vin: str
    standard: Standard
    manufacturer: str
    descriptor: str
    plant: str
    serial: str
    check_digit_agrees: bool | None
    """Null where the standard asks for no check digit."""
    model_years: list[int] | None
    """Every year that the code can mean; it comes round every 30 years."""


class DifferingFact(Answer):
    """A fact in which the configurations left over still differ."""

    fact: str
    label: str
    question: str | None
    unit: str | None
    values: list[JsonValue]


class IdentifyAnswer(Answer):
    """The configurations that are left, and what tells them apart."""

    edition: str
    vin: VinShape | None
    vehicles: list[VehicleShape]
    differs: list[DifferingFact]
    """The most telling question first: the one that leaves fewest, whatever the answer."""
