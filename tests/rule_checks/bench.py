"""A small catalog in which nothing is odd, to make odd in one place."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rules.catalog import (
    Catalog,
    FactCondition,
    FactoryPart,
    FieldDefinition,
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
    Rule,
    Step,
    TaxClass,
    Tool,
    Vehicle,
    Way,
)
from rules.compiled import compile_catalog
from rules.rule_checks import RuleFindings, check_rules
from rules.rule_checks.search import MOST_CASES_IN_ALL

LINE_KINDS = ("part", "kit", "consumable", "labour", "tool", "sent_out", "core_deposit")

T1 = PartKey("Corvane", "T-1")
H2 = PartKey("Halden", "H-2")
S1 = PartKey("Corvane", "S-1")
S2 = PartKey("Halden", "S-2")
F1 = PartKey("Corvane", "F-1")
OLD = PartKey("Corvane", "T-0")

ON_TERN = (FactCondition(fact="family", values=("tern",)),)
ON_NOTHING = (FactCondition(fact="family", values=("osprey",)),)


def _part(key: PartKey, part_type: str, price: int = 1000, **properties: float | str) -> Part:
    return Part(
        key=key, part_type=part_type, title=str(key), price=price, properties=dict(properties)
    )


CATALOG = Catalog(
    name="Bench",
    shop="Quay Nine Motors",
    currency="EUR",
    currency_exponent=2,
    policy=PricePolicy(
        labour_rate_per_hour=9600,
        labour_basis="book time",
        time_table="own",
        tax_basis="document",
        tax_of=dict.fromkeys(LINE_KINDS, "goods"),
        prices_from="own list",
    ),
    facts=(
        FieldDefinition(
            name="model_year", kind="whole", label="Model year", minimum=1950, maximum=2050
        ),
        FieldDefinition(
            name="family", kind="text", label="Family", values=("tern", "heron", "osprey")
        ),
        FieldDefinition(name="market", kind="text", label="Market", values=("road", "track")),
        FieldDefinition(
            name="load_w", kind="number", label="Load", unit="W", minimum=0, maximum=900
        ),
        FieldDefinition(
            name="odometer_km", kind="whole", label="Odometer", unit="km", minimum=0, maximum=500000
        ),
        FieldDefinition(name="sidecar", kind="flag", label="Sidecar"),
    ),
    layers=(Layer(id="inside", label="Inside", depth=2),),
    part_types=(
        PartType(
            id="camshaft",
            label="Camshaft",
            layer="inside",
            properties=(
                FieldDefinition(
                    name="valve_lift_mm",
                    kind="number",
                    label="Valve lift",
                    unit="mm",
                    minimum=5,
                    maximum=20,
                ),
                FieldDefinition(
                    name="grind", kind="text", label="Grind", values=("mild", "hot", "wild")
                ),
            ),
        ),
        PartType(
            id="valve_spring",
            label="Valve springs",
            layer="inside",
            properties=(
                FieldDefinition(
                    name="max_lift_mm", kind="number", label="Greatest lift", unit="mm", minimum=5
                ),
            ),
        ),
        PartType(id="oil_filter", label="Oil filter", layer="inside"),
    ),
    tax_classes=(TaxClass(id="goods", label="Goods", basis_points=1900),),
    vehicles=(
        Vehicle(
            id="tern_900",
            label="Tern 900",
            model_year_from=2000,
            model_year_to=2003,
            facts={"family": "tern", "load_w": 200.0},
        ),
        Vehicle(
            id="heron_1300",
            label="Heron 1300",
            model_year_from=2004,
            model_year_to=2004,
            facts={"family": "heron", "market": "road", "load_w": 300.0},
        ),
    ),
    factory_parts=(
        FactoryPart(part_type="camshaft", part=T1),
        FactoryPart(part_type="valve_spring", part=S1),
    ),
    parts=(
        _part(T1, "camshaft", valve_lift_mm=10.0, grind="mild"),
        _part(H2, "camshaft", valve_lift_mm=12.5, grind="hot"),
        _part(S1, "valve_spring", max_lift_mm=11.5),
        _part(S2, "valve_spring", max_lift_mm=13.0),
        _part(F1, "oil_filter"),
    ),
    fitment=tuple(Fitment(part=key) for key in (T1, H2, S1, S2, F1)),
    kits=(
        Kit(
            key=PartKey("Halden", "K-1"),
            title="Cam kit",
            price=1900,
            contents=(KitContent(part=H2, quantity=1), KitContent(part=S2, quantity=1)),
        ),
    ),
    tools=(Tool(id="cam_puller", title="Cam puller", purpose="Pulls cams", owned=True),),
    steps=(
        Step(id="cover_off", title="Cover off", layer="inside", minutes=30, tools=("cam_puller",)),
        Step(id="swap_filter", title="Filter", layer="inside", minutes=5),
        Step(
            id="sidecar_off",
            title="Sidecar off",
            layer="inside",
            minutes=20,
            when="vehicle.sidecar",
        ),
    ),
    operations=(
        Operation(
            id="open_chest",
            title="Cam chest",
            renews=("camshaft", "valve_spring"),
            ways=(Way(id="only", title="Cover", steps=("cover_off", "sidecar_off")),),
        ),
        Operation(
            id="filter",
            title="Filter",
            renews=("oil_filter",),
            ways=(Way(id="only", title="Filter", steps=("swap_filter",)),),
        ),
    ),
    jobs=(
        Job(
            id="more_lift",
            title="More lift",
            wish="More lift",
            renew=("camshaft",),
            where={"camshaft": "camshaft.valve_lift_mm > fitted.camshaft.valve_lift_mm"},
        ),
    ),
    rules=(
        Limit(
            id="spring_room",
            sentence="Springs keep room.",
            basis="common practice",
            limit="camshaft.valve_lift_mm + 1.0 <= valve_spring.max_lift_mm",
            unit="mm",
        ),
        Requirement(
            id="filter_with_cam",
            sentence="A new cam takes a new filter.",
            basis="common practice",
            when="renewed('camshaft') && doing('cover_off')",
            renew="oil_filter",
        ),
        Recommendation(
            id="springs_too",
            sentence="Springs tire.",
            basis="common practice",
            when="doing('cover_off') && run_km('valve_spring') >= 60000",
            renew="valve_spring",
        ),
    ),
)


def found_in(most: int = MOST_CASES_IN_ALL, **changes: Any) -> RuleFindings:
    """What the checks find in the catalog with some fields replaced."""
    return check_rules(compile_catalog(replace(CATALOG, **changes)), most=most)


def found_in_rule(rule: Rule, **changes: Any) -> RuleFindings:
    """What the checks find in the catalog with this one rule."""
    return found_in(rules=(rule,), **changes)


def stated(**fields: Any) -> dict[str, Any]:
    """Fields of a rule called ``r`` in ``rules/main.yaml``."""
    return {"id": "r", "sentence": "So it is.", "basis": "common practice", **fields}
