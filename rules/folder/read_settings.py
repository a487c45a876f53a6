"""``catalog.yaml``: what the other files build on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from rules.catalog import (
    Consumable,
    FieldDefinition,
    Figure,
    Layer,
    PartType,
    PricePolicy,
    TaxBasis,
    TaxClass,
    ValueKind,
)
from rules.folder.fields import (
    amount_field,
    choice_field,
    line_field,
    mapping_field,
    number_field,
    text_field,
    texts_field,
    whole_field,
    whole_or_expression,
)
from rules.folder.records import Record

MOST_CURRENCY_DECIMALS: Final = 4
PERCENT_DECIMALS: Final = 2

_KINDS: Final[Mapping[str, ValueKind]] = {
    "text": "text",
    "number": "number",
    "whole": "whole",
    "flag": "flag",
}
_LABOUR_BASES: Final[Mapping[str, Literal["book time", "clock time"]]] = {
    "book time": "book time",
    "clock time": "clock time",
}
_TAX_BASES: Final[Mapping[str, TaxBasis]] = {"document": "document", "line": "line"}
_COUNTED_IN: Final[Mapping[str, Literal["piece", "ml"]]] = {"piece": "piece", "ml": "ml"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The content of ``catalog.yaml``."""

    name: str
    shop: str
    currency: str
    currency_exponent: int
    policy: PricePolicy
    facts: tuple[FieldDefinition, ...]
    layers: tuple[Layer, ...]
    part_types: tuple[PartType, ...]
    tax_classes: tuple[TaxClass, ...]
    consumables: tuple[Consumable, ...]
    figures: tuple[Figure, ...]


def read_settings(record: Record) -> Settings:
    """Read the whole of ``catalog.yaml``; faults go to the record's report."""
    name, shop, currency = (
        record.need(field, line_field, "") for field in ("name", "shop", "currency")
    )
    exponent = record.need("currency_exponent", whole_field, 2)
    decimals = min(max(exponent, 0), MOST_CURRENCY_DECIMALS)
    settings = Settings(
        name=name,
        shop=shop,
        currency=currency,
        currency_exponent=exponent,
        policy=_policy(record.child("policy") or record.empty_child("policy"), decimals),
        tax_classes=tuple(map(_tax_class, record.children("tax_classes"))),
        facts=tuple(map(_definition, record.children("facts", key="name"))),
        layers=tuple(map(_layer, record.children("layers"))),
        part_types=tuple(map(_part_type, record.children("part_types"))),
        consumables=tuple(_consumable(one, decimals) for one in record.children("consumables")),
        figures=tuple(map(_figure, record.children("figures"))),
    )
    record.close()
    return settings


def _policy(record: Record, decimals: int) -> PricePolicy:
    policy = PricePolicy(
        labour_rate_per_hour=record.need("labour_rate_per_hour", amount_field(decimals), 0),
        labour_basis=record.need("labour_basis", choice_field(_LABOUR_BASES), "book time"),
        time_table=record.need("time_table", line_field, ""),
        tax_basis=record.need("tax_basis", choice_field(_TAX_BASES), "document"),
        prices_from=record.need("prices_from", line_field, ""),
        tax_of=record.need("tax_of", mapping_field(line_field), {}),
    )
    record.close()
    return policy


def _tax_class(record: Record) -> TaxClass:
    tax_class = TaxClass(
        id=record.name("id"),
        label=record.need("label", line_field, ""),
        basis_points=record.need("rate_percent", amount_field(PERCENT_DECIMALS), 0),
    )
    record.close()
    return tax_class


def _definition(record: Record) -> FieldDefinition:
    definition = FieldDefinition(
        name=record.name("name"),
        kind=record.need("kind", choice_field(_KINDS), "text"),
        label=record.need("label", line_field, ""),
        unit=record.read("unit", line_field, None),
        values=record.read("values", texts_field, ()),
        minimum=record.read("minimum", number_field, None),
        maximum=record.read("maximum", number_field, None),
        question=record.read("question", text_field, None),
    )
    record.close()
    return definition


def _layer(record: Record) -> Layer:
    layer = Layer(
        id=record.name("id"),
        label=record.need("label", line_field, ""),
        depth=record.need("depth", whole_field, 0),
    )
    record.close()
    return layer


def _part_type(record: Record) -> PartType:
    part_type = PartType(
        id=record.name("id"),
        label=record.need("label", line_field, ""),
        layer=record.need("layer", line_field, ""),
        quantity=record.read("quantity", whole_or_expression, 1),
        counted_in=record.read("counted_in", choice_field(_COUNTED_IN), "piece"),
        properties=tuple(map(_definition, record.children("properties", key="name"))),
    )
    record.close()
    return part_type


def _consumable(record: Record, decimals: int) -> Consumable:
    consumable = Consumable(
        id=record.name("id"),
        title=record.need("title", line_field, ""),
        price=record.need("price", amount_field(decimals), 0),
    )
    record.close()
    return consumable


def _figure(record: Record) -> Figure:
    figure = Figure(
        id=record.name("id"),
        label=record.need("label", line_field, ""),
        value=record.need("value", text_field, ""),
        unit=record.read("unit", line_field, None),
        digits=record.read("digits", whole_field, 1),
        when=record.read("when", text_field, None),
    )
    record.close()
    return figure
