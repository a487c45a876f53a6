"""A catalog as rows, in the order in which they are inserted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from db.bodies import to_body
from db.models import (
    Base,
    Fact,
    FactoryCondition,
    FactoryPartRow,
    FitmentCondition,
    FitmentRow,
    KitContentRow,
    KitRow,
    PartProperty,
    PartRow,
    PartTypeRow,
    PropertyRow,
    Record,
    SupersessionRow,
    ToolRow,
    VehicleFact,
    VehicleRow,
)
from rules.catalog import Catalog, FactCondition, FieldDefinition, PartKey
from rules.values import Value

Row = dict[str, Any]

SETTINGS: Final = "settings"
SETTINGS_FIELDS: Final = ("name", "shop", "currency", "currency_exponent", "policy")
RECORD_KINDS: Final = (
    "layers",
    "tax_classes",
    "consumables",
    "figures",
    "steps",
    "operations",
    "jobs",
    "rules",
    "cases",
)
"""Fields of a catalog that are kept as JSON bodies."""


def catalog_rows(catalog: Catalog) -> Iterator[tuple[type[Base], list[Row]]]:
    """Each table with its rows, owners before what they own. ``edition_id`` is not set."""
    yield Record, [*_settings(catalog), *_records(catalog)]
    yield Fact, _numbered(map(_definition, catalog.facts))
    yield (
        PartTypeRow,
        _numbered(
            {
                "name": one.id,
                "label": one.label,
                "layer": one.layer,
                "quantity": one.quantity,
                "counted_in": one.counted_in,
            }
            for one in catalog.part_types
        ),
    )
    yield (
        PropertyRow,
        _numbered(
            {"part_type_position": position, **_definition(definition)}
            for position, part_type in enumerate(catalog.part_types)
            for definition in part_type.properties
        ),
    )
    yield from _vehicles(catalog)
    yield from _parts(catalog)
    yield from _uses(catalog)
    yield from _kits_and_tools(catalog)


def _numbered(rows: Iterable[Row]) -> list[Row]:
    return [{"position": position, **row} for position, row in enumerate(rows)]


def _settings(catalog: Catalog) -> list[Row]:
    body = {name: to_body(getattr(catalog, name)) for name in SETTINGS_FIELDS}
    return [{"kind": SETTINGS, "position": 0, "name": catalog.name, "body": body}]


def _records(catalog: Catalog) -> Iterator[Row]:
    for kind in RECORD_KINDS:
        for position, record in enumerate(getattr(catalog, kind)):
            body = {"type": type(record).__name__, **to_body(record)}
            yield {"kind": kind, "position": position, "name": record.id, "body": body}


def _definition(definition: FieldDefinition) -> Row:
    return {
        "name": definition.name,
        "kind": definition.kind,
        "label": definition.label,
        "unit": definition.unit,
        "choices": list(definition.values),
        "minimum": definition.minimum,
        "maximum": definition.maximum,
        "question": definition.question,
    }


def _typed(value: Value) -> Row:
    """The value in the column of its kind; bool first, for a bool is an int too."""
    kinds = (
        ("flag_value", bool),
        ("whole_value", int),
        ("number_value", float),
        ("text_value", str),
    )
    columns: Row = dict.fromkeys(name for name, _ in kinds)
    columns[next(name for name, kind in kinds if isinstance(value, kind))] = value
    return columns


def _vehicles(catalog: Catalog) -> Iterator[tuple[type[Base], list[Row]]]:
    yield (
        VehicleRow,
        _numbered(
            {
                "name": one.id,
                "label": one.label,
                "model_year_from": one.model_year_from,
                "model_year_to": one.model_year_to,
            }
            for one in catalog.vehicles
        ),
    )
    yield (
        VehicleFact,
        _numbered(
            {"vehicle_position": position, "fact": fact, **_typed(value)}
            for position, vehicle in enumerate(catalog.vehicles)
            for fact, value in vehicle.facts.items()
        ),
    )


def _parts(catalog: Catalog) -> Iterator[tuple[type[Base], list[Row]]]:
    yield (
        PartRow,
        _numbered(
            {
                **_key(part.key),
                "part_type": part.part_type,
                "title": part.title,
                "price": part.price,
                "core_deposit": part.core_deposit,
                "pack_quantity": part.pack_quantity,
                "stock": part.stock,
                "lead_days": part.lead_days,
                "condition": part.condition,
                "emission_class": part.emission_class,
                "life_km": part.life_km,
                "status": part.status,
                "supplier": part.supplier,
                "note": part.note,
            }
            for part in catalog.parts
        ),
    )
    yield (
        PartProperty,
        _numbered(
            {"part_position": position, "name": name, **_typed(value)}
            for position, part in enumerate(catalog.parts)
            for name, value in part.properties.items()
            if value is not None
        ),
    )


def _key(key: PartKey, prefix: str = "") -> Row:
    return {f"{prefix}brand": key.brand, f"{prefix}number": key.number}


def _uses(catalog: Catalog) -> Iterator[tuple[type[Base], list[Row]]]:
    yield (
        FitmentRow,
        _numbered(
            {**_key(row.part), "fits": row.fits, "note": row.note} for row in catalog.fitment
        ),
    )
    yield (
        FitmentCondition,
        _conditions("fitment_position", [row.conditions for row in catalog.fitment]),
    )
    yield (
        FactoryPartRow,
        _numbered({"part_type": row.part_type, **_key(row.part)} for row in catalog.factory_parts),
    )
    yield (
        FactoryCondition,
        _conditions("factory_part_position", [row.conditions for row in catalog.factory_parts]),
    )
    yield (
        SupersessionRow,
        _numbered(
            {**_key(row.old, "old_"), **_key(row.new, "new_"), "note": row.note}
            for row in catalog.supersessions
        ),
    )


def _conditions(owner: str, listed: Sequence[Sequence[FactCondition]]) -> list[Row]:
    return _numbered(
        {
            owner: position,
            "fact": one.fact,
            "choices": list(one.values),
            "low": one.low,
            "high": one.high,
        }
        for position, conditions in enumerate(listed)
        for one in conditions
    )


def _kits_and_tools(catalog: Catalog) -> Iterator[tuple[type[Base], list[Row]]]:
    yield (
        KitRow,
        _numbered(
            {
                **_key(kit.key),
                "title": kit.title,
                "price": kit.price,
                "stock": kit.stock,
                "lead_days": kit.lead_days,
                "supplier": kit.supplier,
                "note": kit.note,
            }
            for kit in catalog.kits
        ),
    )
    yield (
        KitContentRow,
        _numbered(
            {"kit_position": position, **_key(content.part), "quantity": content.quantity}
            for position, kit in enumerate(catalog.kits)
            for content in kit.contents
        ),
    )
    yield (
        ToolRow,
        _numbered(
            {
                "name": tool.id,
                "title": tool.title,
                "purpose": tool.purpose,
                "owned": tool.owned,
                "hire_price": tool.hire_price,
                "hire_lead_days": tool.hire_lead_days,
                "buy_price": tool.buy_price,
                "resale_price": tool.resale_price,
                "buy_lead_days": tool.buy_lead_days,
            }
            for tool in catalog.tools
        ),
    )
