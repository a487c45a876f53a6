"""The tables: configurations, parts, kits, fitment, supersessions and special tools."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from rules.catalog import (
    Condition,
    EmissionClass,
    FactoryPart,
    FieldDefinition,
    Fitment,
    Kit,
    KitContent,
    Part,
    PartKey,
    PartStatus,
    PartType,
    Supersession,
    Tool,
    Vehicle,
)
from rules.catalog_faults.names import KnownKeys
from rules.faults import Fault
from rules.folder.cells import (
    VALUE_READERS,
    amount_reader,
    choice_reader,
    read_flag,
    read_line,
    read_text,
    read_whole,
)
from rules.folder.conditions import condition_columns, read_conditions
from rules.folder.tables import Columns, Row

MODEL_YEAR: Final = "model_year"

CONDITIONS: Final[Mapping[str, Condition]] = {"new": "new", "rebuilt": "rebuilt", "used": "used"}
EMISSION_CLASSES: Final[Mapping[str, EmissionClass]] = {
    "not_relevant": "not_relevant",
    "replacement": "replacement",
    "exempted": "exempted",
    "competition_only": "competition_only",
    "unknown": "unknown",
}
STATUSES: Final[Mapping[str, PartStatus]] = {"current": "current", "withdrawn": "withdrawn"}

VEHICLE_COLUMNS: Final = ("id", "label", "model_year_from", "model_year_to")
FACTORY_COLUMNS: Final = ("part_type", "brand", "number")
PART_COLUMNS: Final = Columns(
    needed=("brand", "number", "title", "price"),
    optional=(
        "core_deposit",
        "pack_quantity",
        "stock",
        "lead_days",
        "condition",
        "emission_class",
        "life_km",
        "status",
        "supplier",
        "note",
    ),
)
FITMENT_COLUMNS: Final = Columns(needed=("brand", "number"), optional=("fits", "note"))
SUPERSESSION_COLUMNS: Final = Columns(
    needed=("old_brand", "old_number", "new_brand", "new_number"), optional=("note",)
)
KIT_COLUMNS: Final = Columns(
    needed=("brand", "number", "title", "price"),
    optional=("stock", "lead_days", "supplier", "note"),
)
KIT_CONTENT_COLUMNS: Final = Columns(
    needed=("kit_brand", "kit_number", "brand", "number", "quantity")
)
TOOL_COLUMNS: Final = Columns(
    needed=("id", "title", "purpose"),
    optional=(
        "owned",
        "hire_price",
        "hire_lead_days",
        "buy_price",
        "resale_price",
        "buy_lead_days",
    ),
)


def vehicle_columns(facts: Sequence[FieldDefinition]) -> Columns:
    own = [fact.name for fact in facts if fact.name != MODEL_YEAR]
    return Columns(needed=VEHICLE_COLUMNS, optional=own)


def factory_columns(facts: Sequence[FieldDefinition]) -> Columns:
    return Columns(needed=FACTORY_COLUMNS, optional=condition_columns(facts))


def fitment_columns(facts: Sequence[FieldDefinition]) -> Columns:
    optional = [*condition_columns(facts), *FITMENT_COLUMNS.optional]
    return Columns(needed=FITMENT_COLUMNS.needed, optional=optional)


def part_columns(part_type: PartType) -> Columns:
    own = [definition.name for definition in part_type.properties]
    return Columns(needed=[*PART_COLUMNS.needed, *own], optional=PART_COLUMNS.optional)


def read_vehicle(row: Row, facts: Sequence[FieldDefinition]) -> Vehicle:
    cells = {
        fact.name: row.read(fact.name, VALUE_READERS[fact.kind], None)
        for fact in facts
        if fact.name != MODEL_YEAR
    }
    return Vehicle(
        id=row.line("id"),
        label=row.line("label"),
        model_year_from=row.need("model_year_from", read_whole, 0),
        model_year_to=row.need("model_year_to", read_whole, 0),
        facts={name: value for name, value in cells.items() if value is not None},
    )


def read_factory_part(row: Row, facts: Sequence[FieldDefinition]) -> FactoryPart:
    return FactoryPart(
        part_type=row.line("part_type"), part=_key(row), conditions=read_conditions(row, facts)
    )


def read_part(row: Row, part_type: PartType, decimals: int) -> Part:
    read_amount = amount_reader(decimals)
    return Part(
        key=_key(row),
        part_type=part_type.id,
        title=row.line("title"),
        price=row.need("price", read_amount, 0),
        core_deposit=row.read("core_deposit", read_amount, 0),
        pack_quantity=row.read("pack_quantity", read_whole, 1),
        stock=row.read("stock", read_whole, None),
        lead_days=row.read("lead_days", read_whole, None),
        condition=row.read("condition", choice_reader(CONDITIONS), "new"),
        emission_class=row.read("emission_class", choice_reader(EMISSION_CLASSES), "not_relevant"),
        life_km=row.read("life_km", read_whole, None),
        status=row.read("status", choice_reader(STATUSES), "current"),
        supplier=row.read("supplier", read_line, ""),
        note=row.read("note", read_text, ""),
        properties={
            definition.name: row.read(definition.name, VALUE_READERS[definition.kind], None)
            for definition in part_type.properties
        },
    )


def read_fitment(row: Row, facts: Sequence[FieldDefinition]) -> Fitment:
    return Fitment(
        part=_key(row),
        conditions=read_conditions(row, facts),
        fits=row.read("fits", read_flag, True),
        note=row.read("note", read_text, ""),
    )


def read_supersession(row: Row) -> Supersession:
    return Supersession(
        old=_key(row, "old_"), new=_key(row, "new_"), note=row.read("note", read_text, "")
    )


def read_tool(row: Row, decimals: int) -> Tool:
    read_amount = amount_reader(decimals)
    return Tool(
        id=row.line("id"),
        title=row.line("title"),
        purpose=row.line("purpose"),
        owned=row.read("owned", read_flag, False),
        hire_price=row.read("hire_price", read_amount, None),
        hire_lead_days=row.read("hire_lead_days", read_whole, None),
        buy_price=row.read("buy_price", read_amount, None),
        resale_price=row.read("resale_price", read_amount, None),
        buy_lead_days=row.read("buy_lead_days", read_whole, None),
    )


@dataclass(slots=True)
class Kits:
    """Kits with their contents, and the ``file:row`` of each in the same order."""

    kits: list[Kit] = field(default_factory=list)
    rows: list[str] = field(default_factory=list)
    content_rows: list[str] = field(default_factory=list)
    strays: list[Fault] = field(default_factory=list)
    """Faults of contents whose kit is not there."""


def read_kits(kit_rows: Sequence[Row], content_rows: Sequence[Row], decimals: int) -> Kits:
    """Join the two tables."""
    contents: dict[PartKey, list[tuple[KitContent, str]]] = {_key(row): [] for row in kit_rows}
    known = KnownKeys("kit", contents, "Add the kit to kits.csv.")
    read = Kits()
    for row in content_rows:
        kit = _key(row, "kit_")
        content = KitContent(part=_key(row), quantity=row.need("quantity", read_whole, 1))
        if kit in contents:
            contents[kit].append((content, row.where))
        elif all(kit):
            read.strays.extend(known.faults(f"{row.where}:kit_", kit))
    for row in kit_rows:
        own = contents.pop(_key(row), [])
        read.kits.append(_kit(row, tuple(content for content, _ in own), decimals))
        read.rows.append(row.where)
        read.content_rows.extend(where for _, where in own)
    return read


def _kit(row: Row, contents: tuple[KitContent, ...], decimals: int) -> Kit:
    return Kit(
        key=_key(row),
        title=row.line("title"),
        price=row.need("price", amount_reader(decimals), 0),
        contents=contents,
        stock=row.read("stock", read_whole, None),
        lead_days=row.read("lead_days", read_whole, None),
        supplier=row.read("supplier", read_line, ""),
        note=row.read("note", read_text, ""),
    )


def _key(row: Row, prefix: str = "") -> PartKey:
    return PartKey(row.line(f"{prefix}brand"), row.line(f"{prefix}number"))
