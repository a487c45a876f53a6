"""Shapes of ``POST /v1/vehicles/identify``."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from api.shapes.catalog import VehicleShape
from api.shapes.common import Answer, JsonValue
from api.shapes.request import Asked, Facts
from rules.vin import Standard


class IdentifyRequest(Asked):
    """What is known of a machine. At least one of the three should be given."""

    vin: Annotated[str, StringConstraints(min_length=1, max_length=60)] | None = None
    """Vehicle identification number; blanks, hyphens and small letters do not matter."""
    vin_standard: Standard = "ISO 3779"
    """49 CFR 565 (North America) has a check digit and a model year code; ISO 3779 has neither."""
    facts: Facts = Field(default_factory=dict)
    words: Annotated[str, StringConstraints(min_length=1, max_length=200)] | None = None
    """Words that must all be part of the make, the model or another fact, or a model year."""


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


class AnswerLeft(Answer):
    """One answer, and how many configurations it would leave."""

    value: JsonValue
    left: int


class DifferingFact(Answer):
    """A fact in which the configurations left over still differ."""

    fact: str
    label: str
    question: str | None
    unit: str | None
    values: list[JsonValue]
    answers: list[AnswerLeft]
    """What each value would leave."""
    expected_left: float
    """How many configurations an answer leaves on average, each being as likely."""


class IdentifyAnswer(Answer):
    """The configurations that are left, and what tells them apart."""

    edition: str
    vin: VinShape | None
    vehicles: list[VehicleShape]
    agreed: dict[str, JsonValue]
    """What was said, and what all configurations left have in common."""
    differs: list[DifferingFact]
    """The most telling question first: the one that leaves fewest on average."""
    next_question: DifferingFact | None
    """The first of `differs`; null when one configuration is left, or no question tells them
    apart."""
