"""``catalog.yaml``: facts, properties, layers, part types, money and figures."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import Final

from rules.catalog import Catalog, FieldDefinition, Figure, PartType, PricePolicy
from rules.catalog_faults.names import Known, name_faults, repeated_faults
from rules.catalog_faults.values import definition_faults
from rules.catalog_faults.wording import quoted
from rules.expressions import BUILT_IN_PROPERTIES, RESERVED_NAMES
from rules.faults import Fault

FILE: Final = "catalog.yaml"
MODEL_YEAR: Final = "model_year"
LINE_KINDS: Final = (
    "part",
    "kit",
    "consumable",
    "labour",
    "tool",
    "sent_out",
    "core_deposit",
)
"""Every kind of line carries a tax class."""

MOST_DECIMALS: Final = 4
MOST_DIGITS: Final = 6
FULL_RATE_BASIS_POINTS: Final = 10_000

TAKEN_BY_TABLES: Final = frozenset(
    (
        "id",
        "label",
        "part_type",
        "brand",
        "number",
        "fits",
        "note",
        "title",
        "price",
        "core_deposit",
        "pack_quantity",
        "stock",
        "lead_days",
        "condition",
        "emission_class",
        "life_km",
        "status",
        "supplier",
    )
)
"""Column names of the tables: a fact or property column may not share one."""

_CURRENCY: Final = re.compile(r"[A-Z]{3}")


def settings_faults(catalog: Catalog) -> Iterator[Fault]:
    """Everything that ``catalog.yaml`` alone can get wrong."""
    if not _CURRENCY.fullmatch(catalog.currency):
        yield Fault(
            f"{FILE}:currency",
            f"{quoted(catalog.currency)} is not a currency code",
            "Write the three capital letters of ISO 4217, as in EUR.",
        )
    if not 0 <= catalog.currency_exponent <= MOST_DECIMALS:
        yield Fault(
            f"{FILE}:currency_exponent",
            f"{catalog.currency_exponent} decimals are not possible",
            f"Write 0 to {MOST_DECIMALS}; most currencies have 2.",
        )
    yield from _unique(catalog)
    yield from _facts(catalog)
    yield from _layers(catalog)
    layers = Known("layer", (one.id for one in catalog.layers), "Declare it under layers.")
    yield from chain.from_iterable(_part_type(one, layers) for one in catalog.part_types)
    yield from _money(catalog)
    yield from chain.from_iterable(_figure(figure) for figure in catalog.figures)


def _unique(catalog: Catalog) -> Iterator[Fault]:
    sections: tuple[tuple[str, str, Iterable[str]], ...] = (
        ("tax_classes", "tax class", (one.id for one in catalog.tax_classes)),
        ("layers", "layer", (one.id for one in catalog.layers)),
        ("part_types", "part type", (one.id for one in catalog.part_types)),
        ("consumables", "consumable", (one.id for one in catalog.consumables)),
        ("figures", "figure", (one.id for one in catalog.figures)),
    )
    for section, kind, ids in sections:
        keyed = [(one, f"{FILE}:{section}.{one}") for one in ids]
        yield from repeated_faults(kind, keyed, "id")
        taken = RESERVED_NAMES if section == "part_types" else ()
        for name, where in keyed:
            yield from name_faults(f"{where}:id", name, taken)


def _facts(catalog: Catalog) -> Iterator[Fault]:
    places = [(fact.name, f"{FILE}:facts.{fact.name}") for fact in catalog.facts]
    yield from repeated_faults("fact", places, "name")
    for fact, (_, where) in zip(catalog.facts, places, strict=True):
        yield from name_faults(f"{where}:name", fact.name, RESERVED_NAMES | TAKEN_BY_TABLES)
        if fact.name.endswith(("_from", "_to")):
            yield Fault(
                f"{where}:name",
                f"the fact name {quoted(fact.name)} ends like a range",
                "Leave out _from and _to: a range has two columns of its own.",
            )
        yield from definition_faults(where, fact)
    if not any(fact.name == MODEL_YEAR and fact.kind == "whole" for fact in catalog.facts):
        yield Fault(
            f"{FILE}:facts.{MODEL_YEAR}:kind",
            "the fact model_year is not declared whole",
            "Add {name: model_year, kind: whole, label: Model year} under facts.",
        )


def _layers(catalog: Catalog) -> Iterator[Fault]:
    for layer in catalog.layers:
        if layer.depth < 0:
            yield Fault(
                f"{FILE}:layers.{layer.id}:depth",
                f"the depth {layer.depth} is below 0",
                "Write 0 for the outside, more for what lies deeper.",
            )


def _part_type(part_type: PartType, layers: Known) -> Iterator[Fault]:
    where = f"{FILE}:part_types.{part_type.id}"
    yield from layers.faults(f"{where}:layer", part_type.layer)
    if isinstance(part_type.quantity, int) and part_type.quantity < 1:
        yield Fault(
            f"{where}:quantity",
            f"the quantity {part_type.quantity} is below 1",
            "Write how many fill one machine.",
        )
    yield from _properties(where, part_type.properties)


def _properties(where: str, properties: Sequence[FieldDefinition]) -> Iterator[Fault]:
    places = [(one.name, f"{where}.properties.{one.name}") for one in properties]
    yield from repeated_faults("property", places, "name")
    taken = RESERVED_NAMES | TAKEN_BY_TABLES | BUILT_IN_PROPERTIES.keys()
    for definition, (_, place) in zip(properties, places, strict=True):
        yield from name_faults(f"{place}:name", definition.name, taken)
        yield from definition_faults(place, definition)


def _money(catalog: Catalog) -> Iterator[Fault]:
    for tax_class in catalog.tax_classes:
        if not 0 <= tax_class.basis_points <= FULL_RATE_BASIS_POINTS:
            yield Fault(
                f"{FILE}:tax_classes.{tax_class.id}:rate_percent",
                "the rate is not between 0 and 100",
                'Write a rate as in "19.00".',
            )
    yield from _policy(catalog.policy, catalog)
    for consumable in catalog.consumables:
        if consumable.price < 0:
            yield Fault(
                f"{FILE}:consumables.{consumable.id}:price",
                "the price is below 0",
                "Write what one use costs.",
            )


def _policy(policy: PricePolicy, catalog: Catalog) -> Iterator[Fault]:
    if policy.labour_rate_per_hour < 0:
        yield Fault(
            f"{FILE}:policy:labour_rate_per_hour",
            "the rate is below 0",
            "Write what an hour costs.",
        )
    where = f"{FILE}:policy:tax_of"
    classes = Known(
        "tax class", (one.id for one in catalog.tax_classes), "Declare it under tax_classes."
    )
    for kind, tax_class in policy.tax_of.items():
        if kind not in LINE_KINDS:
            yield Fault(
                where,
                f"unknown kind of line {quoted(kind)}",
                f"Known are: {', '.join(LINE_KINDS)}.",
            )
        yield from classes.faults(where, tax_class)
    for kind in LINE_KINDS:
        if kind not in policy.tax_of:
            yield Fault(
                where,
                f"no tax class is given for {quoted(kind)}",
                f"Add {kind}: with the id of a tax class.",
            )


def _figure(figure: Figure) -> Iterator[Fault]:
    if not 0 <= figure.digits <= MOST_DIGITS:
        yield Fault(
            f"{FILE}:figures.{figure.id}:digits",
            f"{figure.digits} digits cannot be shown",
            f"Write 0 to {MOST_DIGITS}.",
        )
