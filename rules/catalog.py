"""The catalog as data: what a keeper writes, read and checked, nothing derived.

Every record is frozen and compares by value, so a catalog that went through the
database and back can be compared whole. Money is in minor units of the catalog's
currency. Expressions are kept as the text that the keeper wrote; ``rules.compiled``
turns them into checked expressions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from rules.values import Value
from rules.values import ValueKind as ValueKind  # noqa: PLC0414 - a name of the catalog

Condition = Literal["new", "rebuilt", "used"]
EmissionClass = Literal["not_relevant", "replacement", "exempted", "competition_only", "unknown"]
PartStatus = Literal["current", "withdrawn"]
TaxBasis = Literal["document", "line"]


class PartKey(NamedTuple):
    """Brand and part number: together they name one thing that is sold."""

    brand: str
    number: str

    def __str__(self) -> str:
        return f"{self.brand} {self.number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldDefinition:
    """A declared fact of the machine or property of a part.

    ``unit`` is how the unit is written (``mm``, ``cc``, ``km``) or None. ``values``
    lists the allowed texts (empty: any text). ``minimum``/``maximum`` bound numbers.
    """

    name: str
    kind: ValueKind
    label: str
    unit: str | None = None
    values: tuple[str, ...] = ()
    minimum: float | None = None
    maximum: float | None = None
    question: str | None = None
    """What to ask a person when it is missing (facts, and properties of fitted parts)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """How deep a place lies in the machine; ``depth`` 0 is the outside."""

    id: str
    label: str
    depth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartType:
    """A kind of place on the machine. ``quantity`` pieces (or ml) fill one machine.

    ``quantity`` is a whole number or an expression over facts that gives one.
    """

    id: str
    label: str
    layer: str
    quantity: int | str = 1
    counted_in: Literal["piece", "ml"] = "piece"
    properties: tuple[FieldDefinition, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxClass:
    """``basis_points``: 725 is 7.25 %."""

    id: str
    label: str
    basis_points: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable:
    """Charged by the use as its own line in money, never as a percentage."""

    id: str
    title: str
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePolicy:
    """How a shop turns minutes and prices into money.

    ``labour_basis`` is ``book time`` or ``clock time``; ``time_table`` names the table
    the minutes come from. ``tax_of`` maps a line kind (part, kit, consumable, labour,
    tool, sent_out, core_deposit) to a tax class id. ``tax_basis``: round the tax half up
    once per class on the whole document, or line by line.
    """

    labour_rate_per_hour: int
    labour_basis: Literal["book time", "clock time"]
    time_table: str
    tax_basis: TaxBasis
    tax_of: Mapping[str, str]
    prices_from: str
    """Whose price list the prices are, and its date, as printed on the estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """Engine arithmetic shown on the build list, as found and after the build."""

    id: str
    label: str
    value: str
    unit: str | None = None
    digits: int = 1
    when: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """One configuration. ``facts`` has its exact facts; the year is a range."""

    id: str
    label: str
    model_year_from: int
    model_year_to: int
    facts: Mapping[str, Value]


@dataclass(frozen=True, slots=True, kw_only=True)
class FactCondition:
    """The fact is one of ``values``, or lies within ``low`` and ``high`` inclusive."""

    fact: str
    values: tuple[Value, ...] = ()
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FactoryPart:
    """The factory put ``part`` on machines with such facts."""

    part_type: str
    part: PartKey
    conditions: tuple[FactCondition, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A thing that is sold. Blank properties, stock, lead days and life are None: unknown."""

    key: PartKey
    part_type: str
    title: str
    price: int
    core_deposit: int = 0
    pack_quantity: int = 1
    stock: int | None = None
    lead_days: int | None = None
    condition: Condition = "new"
    emission_class: EmissionClass = "not_relevant"
    life_km: int | None = None
    status: PartStatus = "current"
    supplier: str = ""
    note: str = ""
    properties: Mapping[str, Value | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitment:
    """The part fits (or, ``fits`` false, does not fit) machines with such facts.

    A part fits when some statement says yes and none says no. No statement: fits nothing.
    """

    part: PartKey
    conditions: tuple[FactCondition, ...] = ()
    fits: bool = True
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supersession:
    """``old`` is replaced by ``new``; several rows with one ``old``: by all of them together."""

    old: PartKey
    new: PartKey
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitContent:
    part: PartKey
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """One number that holds several parts. ``quantity`` counts pieces (or ml), not packs."""

    key: PartKey
    title: str
    price: int
    contents: tuple[KitContent, ...]
    stock: int | None = None
    lead_days: int | None = None
    supplier: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A special tool. None: that way of getting it is not offered."""

    id: str
    title: str
    purpose: str
    owned: bool = False
    hire_price: int | None = None
    hire_lead_days: int | None = None
    buy_price: int | None = None
    resale_price: int | None = None
    buy_lead_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SendOut:
    """Another workshop does the step: its price, days away, and our minutes of handling."""

    title: str
    price: int
    lead_days: int
    minutes: int = 0


Stage = Literal["strip", "work", "finish"]
"""When a step is done: taken apart on the way in; the work itself; set, filled, checked, tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A timed piece of work, there and back (take off *and* refit), done once per visit.

    ``minutes``: whole number or expression over facts. ``needs``: access steps that must
    be done too. ``spends``: part types that it destroys. ``when`` (facts only): on
    machines where it is false the step is nothing: no minutes, nothing needed or spent.
    ``stage`` and ``after`` say when it is done, never whether: ``after`` names steps of the
    same stage that come before it where they are done too.
    """

    id: str
    title: str
    layer: str
    minutes: int | str
    needs: tuple[str, ...] = ()
    spends: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    consumables: Mapping[str, int] = field(default_factory=dict)
    send_out: SendOut | None = None
    when: str | None = None
    note: str = ""
    stage: Stage = "work"
    after: tuple[str, ...] = ()
    file: str = "main"
    """The YAML file (without ending) it is written in; kept so that nothing is lost on export."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One method of doing an operation. ``when`` (facts only): only on such machines."""

    id: str
    title: str
    steps: tuple[str, ...]
    when: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """What is done; renewing any of ``renews`` needs it. Every part type has just one."""

    id: str
    title: str
    ways: tuple[Way, ...]
    renews: tuple[str, ...] = ()
    note: str = ""
    file: str = "main"


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the customer asks for, in the workshop's words.

    ``renew``: part types to renew. ``where``: for a part type, an expression that the
    target part must satisfy. ``operations``: work to do that need not renew anything.
    ``when`` (facts only): offered on such machines.
    """

    id: str
    title: str
    wish: str
    renew: tuple[str, ...] = ()
    where: Mapping[str, str] = field(default_factory=dict)
    operations: tuple[str, ...] = ()
    when: str | None = None
    file: str = "main"


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBase:
    """``sentence`` is read aloud. ``basis``: manual section, standard, common practice."""

    id: str
    sentence: str
    basis: str
    when: str | None = None
    file: str = "main"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit(RuleBase):
    """``limit`` must hold over the target (where ``when`` holds). A comparison has a margin."""

    limit: str
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement(RuleBase):
    """Where ``when`` holds: renew ``renew``; or the target ``part_type`` satisfies ``where``;
    or step ``do`` is done. ``quantity`` (facts only) raises the quantity of ``renew``.
    Exactly one of ``renew``, ``part_type`` + ``where``, ``do`` is given."""

    renew: str | None = None
    quantity: int | str | None = None
    part_type: str | None = None
    where: str | None = None
    do: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Exclusion(RuleBase):
    """Where ``when`` holds, the expressions of ``not_together`` are never all true."""

    not_together: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recommendation(RuleBase):
    """Where ``when`` holds in the finished plan and ``renew`` is kept, offer to renew it.

    ``life_km``: how far the part is expected to last; None: the fitted part's own figure.
    """

    renew: str
    life_km: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(RuleBase):
    """Shown where ``when`` holds and one of ``steps`` is done or one of ``parts`` (part
    types) is renewed; both empty: wherever ``when`` holds."""

    kind: Literal[
        "lifting",
        "hot_parts",
        "fuel",
        "stored_energy",
        "brakes",
        "electrical",
        "emission",
        "noise",
        "waste",
        "licence",
        "service_manual",
    ]
    steps: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()


Rule = Limit | Requirement | Exclusion | Recommendation | Caution


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """An example that the keeper writes: a request and what must come out.

    ``request`` has the shape of the JSON request. ``expect`` may hold: ``status``,
    ``renews`` / ``keeps`` (part types), ``parts`` (``brand number`` texts that must be
    bought), ``steps`` / ``not_steps``, ``rules`` (rule ids that are cited), ``total``,
    ``minutes``, ``add_ons`` (part types offered), ``asks`` (facts asked for).
    """

    id: str
    says: str
    request: Mapping[str, object]
    expect: Mapping[str, object]
    file: str = "main"


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalog:
    """One catalog, whole. Tuples are in the keeper's order; the answer never depends on it."""

    name: str
    shop: str
    currency: str
    currency_exponent: int
    policy: PricePolicy
    facts: tuple[FieldDefinition, ...]
    layers: tuple[Layer, ...]
    part_types: tuple[PartType, ...]
    tax_classes: tuple[TaxClass, ...]
    consumables: tuple[Consumable, ...] = ()
    figures: tuple[Figure, ...] = ()
    vehicles: tuple[Vehicle, ...] = ()
    factory_parts: tuple[FactoryPart, ...] = ()
    parts: tuple[Part, ...] = ()
    fitment: tuple[Fitment, ...] = ()
    supersessions: tuple[Supersession, ...] = ()
    kits: tuple[Kit, ...] = ()
    tools: tuple[Tool, ...] = ()
    steps: tuple[Step, ...] = ()
    operations: tuple[Operation, ...] = ()
    jobs: tuple[Job, ...] = ()
    rules: tuple[Rule, ...] = ()
    cases: tuple[Case, ...] = ()
