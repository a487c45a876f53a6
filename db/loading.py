"""Rows of an edition back to the catalog that they were."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from sqlalchemy import Connection, RowMapping, Table, select

from db.bodies import from_body
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
from db.rows import SETTINGS
from rules.catalog import (
    Case,
    Catalog,
    Caution,
    Consumable,
    Exclusion,
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Figure,
    Fitment,
    Job,
    Kit,
    KitContent,
    Layer,
    Limit,
    Operation,
    Part,
    PartKey,
    PartType,
    PricePolicy,
    Recommendation,
    Requirement,
    Step,
    Supersession,
    TaxClass,
    Tool,
    Vehicle,
)
from rules.values import Value

_RECORD_TYPES: Final[Mapping[str, type[Any]]] = {
    kind.__name__: kind
    for kind in (
        Case,
        Caution,
        Consumable,
        Exclusion,
        Figure,
        Job,
        Layer,
        Limit,
        Operation,
        Recommendation,
        Requirement,
        Step,
        TaxClass,
    )
}

Owned = dict[int, list[RowMapping]]


def load_catalog(connection: Connection, edition_id: int) -> Catalog:
    """Every table once, in order of position. The edition must be there."""
    reader = _Reader(connection, edition_id)
    records = reader.records()
    settings = records.pop(SETTINGS)[0]
    bodied: dict[str, Any] = {kind: tuple(listed) for kind, listed in records.items()}
    return Catalog(
        **{**settings, "policy": from_body(PricePolicy, settings["policy"])},
        facts=tuple(map(_definition, reader.rows(Fact))),
        part_types=reader.part_types(),
        vehicles=reader.vehicles(),
        factory_parts=reader.factory_parts(),
        parts=reader.parts(),
        fitment=reader.fitment(),
        supersessions=tuple(
            Supersession(old=_key(row, "old_"), new=_key(row, "new_"), note=row["note"])
            for row in reader.rows(SupersessionRow)
        ),
        kits=reader.kits(),
        tools=tuple(_tool(row) for row in reader.rows(ToolRow)),
        **bodied,
    )


class _Reader:
    def __init__(self, connection: Connection, edition_id: int) -> None:
        self._connection = connection
        self._edition_id = edition_id

    def rows(self, model: type[Base]) -> list[RowMapping]:
        table = model.__table__
        assert isinstance(table, Table)  # noqa: S101
        query = (
            select(table).where(table.c.edition_id == self._edition_id).order_by(table.c.position)
        )
        return list(self._connection.execute(query).mappings())

    def owned(self, model: type[Base], owner: str) -> Owned:
        grouped: Owned = {}
        for row in self.rows(model):
            grouped.setdefault(row[owner], []).append(row)
        return grouped

    def records(self) -> dict[str, list[Any]]:
        grouped: dict[str, list[Any]] = {}
        for row in self.rows(Record):
            grouped.setdefault(row["kind"], []).append(_record(row["body"]))
        return grouped

    def part_types(self) -> tuple[PartType, ...]:
        properties = self.owned(PropertyRow, "part_type_position")
        return tuple(
            PartType(
                id=row["name"],
                label=row["label"],
                layer=row["layer"],
                quantity=row["quantity"],
                counted_in=row["counted_in"],
                properties=tuple(map(_definition, properties.get(row["position"], ()))),
            )
            for row in self.rows(PartTypeRow)
        )

    def vehicles(self) -> tuple[Vehicle, ...]:
        facts = self.owned(VehicleFact, "vehicle_position")
        return tuple(
            Vehicle(
                id=row["name"],
                label=row["label"],
                model_year_from=row["model_year_from"],
                model_year_to=row["model_year_to"],
                facts={one["fact"]: _value(one) for one in facts.get(row["position"], ())},
            )
            for row in self.rows(VehicleRow)
        )

    def parts(self) -> tuple[Part, ...]:
        declared: dict[str, dict[str, Value | None]] = {
            part_type.id: {one.name: None for one in part_type.properties}
            for part_type in self.part_types()
        }
        known = self.owned(PartProperty, "part_position")
        return tuple(
            _part(row, declared[row["part_type"]], known.get(row["position"], []))
            for row in self.rows(PartRow)
        )

    def fitment(self) -> tuple[Fitment, ...]:
        conditions = self.owned(FitmentCondition, "fitment_position")
        return tuple(
            Fitment(
                part=_key(row),
                fits=row["fits"],
                note=row["note"],
                conditions=_conditions(conditions.get(row["position"], [])),
            )
            for row in self.rows(FitmentRow)
        )

    def factory_parts(self) -> tuple[FactoryPart, ...]:
        conditions = self.owned(FactoryCondition, "factory_part_position")
        return tuple(
            FactoryPart(
                part_type=row["part_type"],
                part=_key(row),
                conditions=_conditions(conditions.get(row["position"], [])),
            )
            for row in self.rows(FactoryPartRow)
        )

    def kits(self) -> tuple[Kit, ...]:
        contents = self.owned(KitContentRow, "kit_position")
        return tuple(
            Kit(
                key=_key(row),
                title=row["title"],
                price=row["price"],
                stock=row["stock"],
                lead_days=row["lead_days"],
                supplier=row["supplier"],
                note=row["note"],
                contents=tuple(
                    KitContent(part=_key(one), quantity=one["quantity"])
                    for one in contents.get(row["position"], ())
                ),
            )
            for row in self.rows(KitRow)
        )


def _record(body: dict[str, Any]) -> Any:
    """A record of the type it was, or the settings, which are no record."""
    kind = body.get("type")
    return body if kind is None else from_body(_RECORD_TYPES[kind], body)


def _key(row: RowMapping, prefix: str = "") -> PartKey:
    return PartKey(row[f"{prefix}brand"], row[f"{prefix}number"])


def _definition(row: RowMapping) -> FieldDefinition:
    return FieldDefinition(
        name=row["name"],
        kind=row["kind"],
        label=row["label"],
        unit=row["unit"],
        values=tuple(row["choices"]),
        minimum=row["minimum"],
        maximum=row["maximum"],
        question=row["question"],
    )


def _value(row: RowMapping) -> Value:
    columns = ("text_value", "number_value", "whole_value", "flag_value")
    value: Value = next(row[column] for column in columns if row[column] is not None)
    return value


def _conditions(rows: list[RowMapping]) -> tuple[FactCondition, ...]:
    return tuple(
        FactCondition(
            fact=row["fact"], values=tuple(row["choices"]), low=row["low"], high=row["high"]
        )
        for row in rows
    )


def _part(row: RowMapping, blank: dict[str, Value | None], known: list[RowMapping]) -> Part:
    return Part(
        key=_key(row),
        part_type=row["part_type"],
        title=row["title"],
        price=row["price"],
        core_deposit=row["core_deposit"],
        pack_quantity=row["pack_quantity"],
        stock=row["stock"],
        lead_days=row["lead_days"],
        condition=row["condition"],
        emission_class=row["emission_class"],
        life_km=row["life_km"],
        status=row["status"],
        supplier=row["supplier"],
        note=row["note"],
        properties={**blank, **{one["name"]: _value(one) for one in known}},
    )


def _tool(row: RowMapping) -> Tool:
    return Tool(
        id=row["name"],
        title=row["title"],
        purpose=row["purpose"],
        owned=row["owned"],
        hire_price=row["hire_price"],
        hire_lead_days=row["hire_lead_days"],
        buy_price=row["buy_price"],
        resale_price=row["resale_price"],
        buy_lead_days=row["buy_lead_days"],
    )
