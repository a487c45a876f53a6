"""Seeded random catalogs of a workshop's shape, each with one request of which all is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from rules.catalog import Catalog, FieldDefinition, Layer, PricePolicy, TaxClass
from rules.request import BuildRequest

from .draft import MEDIUM, SMALL, TINY, Draft, Shape
from .random_parts import (
    LAYERS,
    draw_kits,
    draw_part_types,
    draw_parts,
    draw_supersessions,
    draw_vehicles,
)
from .random_requests import draw_jobs, draw_request
from .random_rules import draw_rules
from .random_work import CONSUMABLES, draw_operations, draw_steps, draw_tools
from .terms import Term

__all__ = ["MEDIUM", "SMALL", "TINY", "Generated", "Shape", "generate"]

FACTS = (
    FieldDefinition(name="model_year", kind="whole", label="Model year", question="Which year?"),
    FieldDefinition(
        name="odometer_km", kind="whole", label="Odometer", unit="km", question="How far run?"
    ),
    FieldDefinition(
        name="cooling",
        kind="text",
        label="Cooling",
        values=("air", "liquid"),
        question="Air or liquid?",
    ),
    FieldDefinition(
        name="market",
        kind="text",
        label="Market",
        values=("home", "export"),
        question="Sold where?",
    ),
    FieldDefinition(name="bore_mm", kind="number", label="Bore", unit="mm", question="Which bore?"),
)


@dataclass(frozen=True)
class Generated:
    """``terms`` gives, for each expression text in the catalog, the same thing as a function."""

    seed: int
    shape: Shape
    catalog: Catalog = field(repr=False)
    request: BuildRequest = field(repr=False)
    terms: Mapping[str, Term] = field(repr=False)


def generate(seed: int, shape: Shape) -> Generated:
    """The same seed and shape give the same catalog and request."""
    draft = Draft(Random(seed), shape)
    draw_part_types(draft)
    draw_vehicles(draft)
    draw_parts(draft)
    draw_supersessions(draft)
    draw_tools(draft)
    draw_steps(draft)
    draw_operations(draft)
    draw_jobs(draft)
    draw_kits(draft)
    draw_rules(draft)
    request = draw_request(draft)
    return Generated(seed, shape, _catalog(draft), request, draft.terms)


def _policy(draft: Draft) -> PricePolicy:
    kinds = ("part", "kit", "consumable", "labour", "tool", "sent_out")
    classes = ["goods", "goods", "goods", "services", "services", "services"]
    return PricePolicy(
        labour_rate_per_hour=draft.rng.choice([9600, 8850, 10475]),
        labour_basis="book time",
        time_table="Harbour Workshop times, edition 3",
        tax_basis=draft.rng.choice(["document", "line"]),
        tax_of={**dict(zip(kinds, classes, strict=True)), "core_deposit": "untaxed"},
        prices_from="Kettle Row Spares, 1 March",
    )


def _catalog(draft: Draft) -> Catalog:
    goods, services = draft.rng.choice([(1900, 1900), (725, 0), (2000, 900)])
    return Catalog(
        name="Generated",
        shop="Kettle Row Workshop",
        currency="EUR",
        currency_exponent=2,
        policy=_policy(draft),
        facts=FACTS,
        layers=tuple(Layer(id=one, label=one, depth=depth) for depth, one in enumerate(LAYERS)),
        part_types=tuple(draft.part_types),
        tax_classes=(
            TaxClass(id="goods", label="Goods", basis_points=goods),
            TaxClass(id="services", label="Services", basis_points=services),
            TaxClass(id="untaxed", label="Untaxed", basis_points=0),
        ),
        consumables=CONSUMABLES,
        vehicles=tuple(draft.vehicles),
        factory_parts=tuple(draft.factory),
        parts=tuple(draft.parts),
        fitment=tuple(draft.fitment),
        supersessions=tuple(draft.supersessions),
        kits=tuple(draft.kits),
        tools=tuple(draft.tools),
        steps=tuple(draft.steps),
        operations=tuple(draft.operations),
        jobs=tuple(draft.jobs),
        rules=tuple(draft.rules),
    )
