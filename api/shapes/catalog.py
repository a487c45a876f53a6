"""What the catalog lists answer with."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from api.shapes.common import Answer, JsonValue, MoneyShape, PartKeyShape
from rules.catalog import (
    Condition,
    EmissionClass,
    FactCondition,
    FieldDefinition,
    Fitment,
    Job,
    Kit,
    Part,
    PartKey,
    PartStatus,
    PartType,
    Tool,
    ValueKind,
    Vehicle,
)
from rules.money import Money


class Currency:
    """Turns minor units into the money shape of one catalog."""

    def __init__(self, code: str, exponent: int) -> None:
        self.code = code
        self.exponent = exponent

    def money(self, minor: int) -> MoneyShape:
        return MoneyShape.model_validate(Money(minor, self.code, self.exponent))

    def perhaps(self, minor: int | None) -> MoneyShape | None:
        return None if minor is None else self.money(minor)


class VehicleShape(Answer):
    """One configuration of the catalog."""

    id: str
    label: str
    model_year_from: int
    model_year_to: int
    facts: dict[str, JsonValue]
    """The facts that the configuration fixes."""

    @classmethod
    def of(cls, vehicle: Vehicle) -> VehicleShape:
        return cls.model_validate(vehicle)


class JobShape(Answer):
    """What a customer asks for, in the workshop's words."""

    id: str
    title: str
    wish: str
    renew: list[str]
    """Part types that it renews."""
    operations: list[str]
    """Work that it does besides."""

    @classmethod
    def of(cls, job: Job) -> JobShape:
        return cls.model_validate(job)


class ToolShape(Answer):
    """A special tool. A price that is null: that way of getting it is not offered."""

    id: str
    title: str
    purpose: str
    owned: bool
    hire_price: MoneyShape | None
    hire_lead_days: int | None
    buy_price: MoneyShape | None
    resale_price: MoneyShape | None
    buy_lead_days: int | None

    @classmethod
    def of(cls, tool: Tool, currency: Currency) -> ToolShape:
        return cls(
            id=tool.id,
            title=tool.title,
            purpose=tool.purpose,
            owned=tool.owned,
            hire_price=currency.perhaps(tool.hire_price),
            hire_lead_days=tool.hire_lead_days,
            buy_price=currency.perhaps(tool.buy_price),
            resale_price=currency.perhaps(tool.resale_price),
            buy_lead_days=tool.buy_lead_days,
        )


class PartShape(Answer):
    """A part as the catalog sells it. Null is: not known."""

    brand: str
    number: str
    part_type: str
    title: str
    price: MoneyShape
    """Of one pack."""
    pack_quantity: int
    core_deposit: MoneyShape
    stock: int | None
    lead_days: int | None
    condition: Condition
    emission_class: EmissionClass
    life_km: int | None
    status: PartStatus
    supplier: str
    note: str
    properties: dict[str, JsonValue | None]

    @classmethod
    def of(cls, part: Part, currency: Currency) -> PartShape:
        return cls(
            brand=part.key.brand,
            number=part.key.number,
            part_type=part.part_type,
            title=part.title,
            price=currency.money(part.price),
            pack_quantity=part.pack_quantity,
            core_deposit=currency.money(part.core_deposit),
            stock=part.stock,
            lead_days=part.lead_days,
            condition=part.condition,
            emission_class=part.emission_class,
            life_km=part.life_km,
            status=part.status,
            supplier=part.supplier,
            note=part.note,
            properties=dict(part.properties),
        )


class KitContentShape(Answer):
    part: PartKeyShape
    quantity: int
    """Pieces or ml, not packs."""


class KitShape(Answer):
    """One number that holds several parts."""

    brand: str
    number: str
    title: str
    price: MoneyShape
    contents: list[KitContentShape]
    stock: int | None
    lead_days: int | None
    supplier: str
    note: str

    @classmethod
    def of(cls, kit: Kit, currency: Currency) -> KitShape:
        return cls(
            brand=kit.key.brand,
            number=kit.key.number,
            title=kit.title,
            price=currency.money(kit.price),
            contents=[KitContentShape.model_validate(content) for content in kit.contents],
            stock=kit.stock,
            lead_days=kit.lead_days,
            supplier=kit.supplier,
            note=kit.note,
        )


class ConditionShape(Answer):
    """The fact is one of `values`, or lies within `low` and `high`, both included."""

    fact: str
    values: list[JsonValue]
    low: float | None
    high: float | None

    @classmethod
    def of(cls, condition: FactCondition) -> ConditionShape:
        return cls.model_validate(condition)


class FitmentShape(Answer):
    """A statement: the part fits machines with such facts, or does not. No condition: all."""

    fits: bool
    conditions: list[ConditionShape]
    note: str

    @classmethod
    def of(cls, fitment: Fitment) -> FitmentShape:
        return cls.model_validate(fitment)


class PartPage(Answer):
    """All that the catalog says about one number: a part, a kit, or an old number."""

    brand: str
    number: str
    part: PartShape | None
    kit: KitShape | None
    replaces: list[PartKeyShape]
    """Old numbers that this one stands for."""
    replaced_by: list[PartKeyShape]
    """Every number on the way to what is sold today, nearest first."""
    current: list[PartKeyShape]
    """What it is sold as today: itself, or one or more others."""
    fitment: list[FitmentShape]
    kits: list[PartKeyShape]
    """Kits that hold it."""


class FieldShape(Answer):
    """A declared fact of machines or property of parts."""

    name: str
    kind: ValueKind
    label: str
    unit: str | None
    values: list[str]
    minimum: float | None
    maximum: float | None
    question: str | None

    @classmethod
    def of(cls, definition: FieldDefinition) -> FieldShape:
        return cls.model_validate(definition)


class PartTypeShape(Answer):
    """A kind of place on the machine."""

    id: str
    label: str
    layer: str
    counted_in: str
    properties: list[FieldShape]

    @classmethod
    def of(cls, part_type: PartType) -> PartTypeShape:
        return cls.model_validate(part_type)


class CatalogShape(Answer):
    """The edition that answers come from now."""

    edition: str
    digest: str
    """SHA-256 of its content."""
    name: str
    shop: str
    currency: str = Field(pattern=r"^[A-Z]{3}$")
    prices_from: str
    time_table: str
    counts: dict[str, int]
    facts: list[FieldShape]
    part_types: list[PartTypeShape]


Next = Annotated[str | None, Field(description="Address of the next page; null: the last one.")]


class VehicleList(Answer):
    vehicles: list[VehicleShape]
    next: Next


class PartList(Answer):
    parts: list[PartShape]
    next: Next


class JobList(Answer):
    jobs: list[JobShape]
    next: Next


class ToolList(Answer):
    tools: list[ToolShape]
    next: Next


def key_shape(key: PartKey) -> PartKeyShape:
    """The shape of a part key."""
    return PartKeyShape(brand=key.brand, number=key.number)
