"""The tables: editions of catalogs, every row keyed by its edition and its place in it.

Money is whole minor units in 64-bit integers. Measured numbers are doubles, which both
SQLite and PostgreSQL give back bit for bit. What an edition holds is written once and
never changed; only its publication is.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from sqlalchemy import (
    JSON,
    BigInteger,
    CheckConstraint,
    DateTime,
    Dialect,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    MetaData,
    String,
    Text,
    TypeDecorator,
    UniqueConstraint,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

DIGEST_CHARACTERS = 64
"""SHA-256 in hex."""

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, the same on every database, so that migrations can name it."""


class UtcDateTime(TypeDecorator[datetime]):
    """A moment with its offset, kept as UTC. SQLite has no offsets, so it is put back on."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without its offset from UTC")
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if dialect.name == "sqlite" else value.astimezone(UTC)


Amount = Annotated[int, mapped_column(BigInteger)]
Whole = Annotated[int, mapped_column(BigInteger)]
Measure = Annotated[float, mapped_column(Double)]
Words = Annotated[str, mapped_column(Text)]


class Base(DeclarativeBase):
    """Declarative base of all tables."""

    metadata = MetaData(naming_convention=NAMES)


class Edition(Base):
    """One catalog as it was handed in. ``publication`` counts publications: the edition
    with the highest is in force; NULL: never published."""

    __tablename__ = "editions"
    __table_args__ = (
        UniqueConstraint("number"),
        UniqueConstraint("digest"),
        UniqueConstraint("publication"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    number: Mapped[int]
    name: Mapped[Words]
    digest: Mapped[str] = mapped_column(String(DIGEST_CHARACTERS))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    publication: Mapped[int | None]


class OfEdition:
    """A row of an edition. ``position`` counts from 0 in the catalog's order."""

    @declared_attr
    def edition_id(cls) -> Mapped[int]:  # noqa: N805
        return mapped_column(
            ForeignKey("editions.id", ondelete="CASCADE"), primary_key=True, sort_order=-3
        )

    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False, sort_order=-1)


def _owned_by(table: str, column: str) -> ForeignKeyConstraint:
    return ForeignKeyConstraint(
        ["edition_id", column], [f"{table}.edition_id", f"{table}.position"], ondelete="CASCADE"
    )


class Record(OfEdition, Base):
    """Whatever is only ever read whole: steps, operations, jobs, rules, cases, settings."""

    __tablename__ = "records"
    __table_args__ = (Index(None, "edition_id", "kind", "name"),)

    kind: Mapped[str] = mapped_column(String(20), primary_key=True, sort_order=-2)
    name: Mapped[Words]
    body: Mapped[Any] = mapped_column(JSON)


class Defined:
    """Columns of a declared fact or property. ``choices``: allowed texts, a JSON list."""

    name: Mapped[Words]
    kind: Mapped[str] = mapped_column(String(10))
    label: Mapped[Words]
    unit: Mapped[Words | None]
    choices: Mapped[Any] = mapped_column(JSON)
    minimum: Mapped[Measure | None]
    maximum: Mapped[Measure | None]
    question: Mapped[Words | None]


class Fact(Defined, OfEdition, Base):
    __tablename__ = "facts"


class PartTypeRow(OfEdition, Base):
    """``quantity`` is a JSON number or the text of an expression."""

    __tablename__ = "part_types"
    __table_args__ = (UniqueConstraint("edition_id", "name"),)

    name: Mapped[Words]
    label: Mapped[Words]
    layer: Mapped[Words]
    quantity: Mapped[Any] = mapped_column(JSON)
    counted_in: Mapped[str] = mapped_column(String(10))


class PropertyRow(Defined, OfEdition, Base):
    """``position`` runs through all properties of the edition."""

    __tablename__ = "properties"
    __table_args__ = (_owned_by("part_types", "part_type_position"),)

    part_type_position: Mapped[int]


class TypedValue:
    """A value in the one column of its kind, so that it comes back as it was."""

    text_value: Mapped[Words | None]
    number_value: Mapped[Measure | None]
    whole_value: Mapped[Whole | None]
    flag_value: Mapped[bool | None]


def _one_value() -> CheckConstraint:
    columns = ("text_value", "number_value", "whole_value", "flag_value")
    count = " + ".join(f"CASE WHEN {column} IS NULL THEN 0 ELSE 1 END" for column in columns)
    return CheckConstraint(f"{count} = 1", name="one_value")


class VehicleRow(OfEdition, Base):
    __tablename__ = "vehicles"
    __table_args__ = (UniqueConstraint("edition_id", "name"),)

    name: Mapped[Words]
    label: Mapped[Words]
    model_year_from: Mapped[Whole]
    model_year_to: Mapped[Whole]


class VehicleFact(TypedValue, OfEdition, Base):
    __tablename__ = "vehicle_facts"
    __table_args__ = (_owned_by("vehicles", "vehicle_position"), _one_value())

    vehicle_position: Mapped[int]
    fact: Mapped[Words]


class PartRow(OfEdition, Base):
    __tablename__ = "parts"
    __table_args__ = (
        UniqueConstraint("edition_id", "brand", "number"),
        Index(None, "edition_id", "number"),
        Index(None, "edition_id", "part_type"),
    )

    brand: Mapped[Words]
    number: Mapped[Words]
    part_type: Mapped[Words]
    title: Mapped[Words]
    price: Mapped[Amount]
    core_deposit: Mapped[Amount]
    pack_quantity: Mapped[Whole]
    stock: Mapped[Whole | None]
    lead_days: Mapped[Whole | None]
    condition: Mapped[str] = mapped_column(String(20))
    emission_class: Mapped[str] = mapped_column(String(20))
    life_km: Mapped[Whole | None]
    status: Mapped[str] = mapped_column(String(20))
    supplier: Mapped[Words]
    note: Mapped[Words]


class PartProperty(TypedValue, OfEdition, Base):
    """A known property of a part; an unknown one has no row."""

    __tablename__ = "part_properties"
    __table_args__ = (_owned_by("parts", "part_position"), _one_value())

    part_position: Mapped[int]
    name: Mapped[Words]


class ConditionOn:
    """``choices``: a JSON list of values, empty when there is a range."""

    fact: Mapped[Words]
    choices: Mapped[Any] = mapped_column(JSON)
    low: Mapped[Measure | None]
    high: Mapped[Measure | None]


class FitmentRow(OfEdition, Base):
    __tablename__ = "fitment"
    __table_args__ = (Index(None, "edition_id", "brand", "number"),)

    brand: Mapped[Words]
    number: Mapped[Words]
    fits: Mapped[bool]
    note: Mapped[Words]


class FitmentCondition(ConditionOn, OfEdition, Base):
    __tablename__ = "fitment_conditions"
    __table_args__ = (_owned_by("fitment", "fitment_position"),)

    fitment_position: Mapped[int]


class FactoryPartRow(OfEdition, Base):
    __tablename__ = "factory_parts"

    part_type: Mapped[Words]
    brand: Mapped[Words]
    number: Mapped[Words]


class FactoryCondition(ConditionOn, OfEdition, Base):
    __tablename__ = "factory_conditions"
    __table_args__ = (_owned_by("factory_parts", "factory_part_position"),)

    factory_part_position: Mapped[int]


class SupersessionRow(OfEdition, Base):
    __tablename__ = "supersessions"
    __table_args__ = (Index(None, "edition_id", "old_number"),)

    old_brand: Mapped[Words]
    old_number: Mapped[Words]
    new_brand: Mapped[Words]
    new_number: Mapped[Words]
    note: Mapped[Words]


class KitRow(OfEdition, Base):
    __tablename__ = "kits"
    __table_args__ = (UniqueConstraint("edition_id", "brand", "number"),)

    brand: Mapped[Words]
    number: Mapped[Words]
    title: Mapped[Words]
    price: Mapped[Amount]
    stock: Mapped[Whole | None]
    lead_days: Mapped[Whole | None]
    supplier: Mapped[Words]
    note: Mapped[Words]


class KitContentRow(OfEdition, Base):
    __tablename__ = "kit_contents"
    __table_args__ = (_owned_by("kits", "kit_position"),)

    kit_position: Mapped[int]
    brand: Mapped[Words]
    number: Mapped[Words]
    quantity: Mapped[Whole]


class ToolRow(OfEdition, Base):
    __tablename__ = "tools"
    __table_args__ = (UniqueConstraint("edition_id", "name"),)

    name: Mapped[Words]
    title: Mapped[Words]
    purpose: Mapped[Words]
    owned: Mapped[bool]
    hire_price: Mapped[Amount | None]
    hire_lead_days: Mapped[Whole | None]
    buy_price: Mapped[Amount | None]
    resale_price: Mapped[Amount | None]
    buy_lead_days: Mapped[Whole | None]
