"""Shapes that requests and answers share: values, money, part keys."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError

from rules.values import Value

longest_text: Final = 200


def _value(given: object) -> Value:
    """One error for a wrong kind, where a union would report one for each of its members."""
    if isinstance(given, bool | int | float):
        return given
    if isinstance(given, str) and 0 < len(given) <= longest_text:
        return given
    raise PydanticCustomError(
        "value_kind",
        "Input should be a text of 1 to {most} characters, a number, true or false",
        {"most": longest_text},
    )


_value_schema = {
    "anyOf": [
        {"type": "string", "minLength": 1, "maxLength": longest_text},
        {"type": "number"},
        {"type": "boolean"},
    ]
}
JsonValue = Annotated[Value, PlainValidator(_value), WithJsonSchema(_value_schema)]
"""A fact or a property: text, number or flag."""

Name = Annotated[str, StringConstraints(min_length=1, max_length=100)]
"""An id of the catalog."""

Amount = Annotated[str, StringConstraints(pattern=r"^-?[0-9]{1,15}(\.[0-9]{1,4})?$")]
"""A decimal text; JSON numbers are doubles in many readers (RFC 8259 s. 6)."""


class Answer(BaseModel):
    """Base of everything that is answered: built from the engine's own records."""

    model_config = ConfigDict(
        from_attributes=True, extra="forbid", frozen=True, use_attribute_docstrings=True
    )


class MoneyShape(Answer):
    """An amount with its currency. The amount has exactly the currency's decimals."""

    amount: Amount = Field(examples=["19.90"])
    currency: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217.", examples=["EUR"])


class PartKeyShape(Answer):
    """Brand and part number: together they name one thing that is sold."""

    brand: str
    number: str
