"""A catalog small enough to read whole, with a little of everything the lists show."""

from __future__ import annotations

from rules.catalog import (
    Case,
    Catalog,
    FactCondition,
    FieldDefinition,
    Fitment,
    Job,
    Kit,
    KitContent,
    Layer,
    Operation,
    Part,
    PartKey,
    PartType,
    PricePolicy,
    Step,
    Supersession,
    TaxClass,
    Tool,
    Vehicle,
    Way,
)

LINE_KINDS = ("part", "kit", "consumable", "labour", "tool", "sent_out", "core_deposit")

OLD = PartKey("Corvane", "CV-2190")
OLDER = PartKey("Corvane", "CV-2100")
CAM = PartKey("Corvane", "CV-2210")
SLASHED = PartKey("Alder & Rowe", "AR/55 B")
KIT = PartKey("Brackwater", "BW-K7")


def _vehicle(number: int) -> Vehicle:
    cooling = "air" if number % 3 else "liquid"
    return Vehicle(
        id=f"kestrel_{number:03d}",
        label=f"Kestrel {number // 2}",  # pairs share a label, so that order needs the id
        model_year_from=1990 + number % 20,
        model_year_to=1994 + number % 20,
        facts={"cooling": cooling, "displacement_cc": 980 if number % 2 else 1180},
    )


def _part(key: PartKey, title: str, **changes: object) -> Part:
    fields: dict[str, object] = {"part_type": "camshaft", "price": 31200, "life_km": 120000}
    return Part(key=key, title=title, **(fields | changes))  # type: ignore[arg-type]


CATALOG = Catalog(
    name="Saltmarsh Quay <demo>",
    shop="Saltmarsh Quay Motor Works",
    currency="EUR",
    currency_exponent=2,
    policy=PricePolicy(
        labour_rate_per_hour=9600,
        labour_basis="book time",
        time_table="Saltmarsh Quay times, 2024",
        tax_basis="document",
        tax_of=dict.fromkeys(LINE_KINDS, "goods"),
        prices_from="Saltmarsh Quay, list of 1 November 2024",
    ),
    facts=(
        FieldDefinition(
            name="model_year", kind="whole", label="Model year", minimum=1950, maximum=2050
        ),
        FieldDefinition(
            name="cooling",
            kind="text",
            label="Cooling",
            values=("air", "liquid"),
            question="Is the engine cooled by air or by liquid?",
        ),
        FieldDefinition(
            name="displacement_cc", kind="number", label="Displacement", unit="cc"
        ),
        FieldDefinition(name="sidecar", kind="flag", label="Sidecar"),
    ),
    layers=(Layer(id="cam_chest", label="Cam chest", depth=2),),
    part_types=(
        PartType(
            id="camshaft",
            label="Camshaft",
            layer="cam_chest",
            properties=(
                FieldDefinition(
                    name="valve_lift_mm", kind="number", label="Valve lift", unit="mm"
                ),
            ),
        ),
        PartType(id="oil_pump", label="Oil pump", layer="cam_chest"),
    ),
    tax_classes=(TaxClass(id="goods", label="Goods", basis_points=1900),),
    vehicles=tuple(_vehicle(number) for number in range(1, 121)),
    parts=(
        _part(CAM, "Camshaft, 12.2 mm lift", properties={"valve_lift_mm": 12.2}),
        _part(OLD, "Camshaft, early", status="withdrawn", properties={"valve_lift_mm": None}),
        _part(SLASHED, "Oil pump, rebuilt", part_type="oil_pump", condition="rebuilt"),
    ),
    fitment=(
        Fitment(
            part=CAM,
            conditions=(FactCondition(fact="displacement_cc", low=900.0, high=1200.0),),
            note="Not with the short case",
        ),
    ),
    supersessions=(Supersession(old=OLDER, new=OLD), Supersession(old=OLD, new=CAM)),
    kits=(
        Kit(
            key=KIT,
            title="Cam chest kit",
            price=42000,
            contents=(KitContent(part=CAM, quantity=1),),
        ),
    ),
    tools=(
        Tool(id="cam_bearing_puller", title="Cam bearing puller", purpose="Pulls bearings",
             hire_price=1500, hire_lead_days=1),
        Tool(id="lifter_magnets", title="Lifter magnets", purpose="Hold lifters", owned=True),
    ),
    steps=(
        Step(id="cam_cover_off", title="Cam cover off and on", layer="cam_chest", minutes=60),
    ),
    operations=(
        Operation(
            id="renew_camshaft",
            title="Renew camshaft",
            renews=("camshaft",),
            ways=(Way(id="only", title="Only way", steps=("cam_cover_off",)),),
        ),
        Operation(
            id="renew_oil_pump",
            title="Renew oil pump",
            renews=("oil_pump",),
            ways=(Way(id="only", title="Only way", steps=("cam_cover_off",)),),
        ),
    ),
    jobs=(
        Job(id="cam_upgrade", title="Cam upgrade", wish="More lift", renew=("camshaft",)),
        Job(id="pump", title="Oil pump renewed", wish="Sound oil pressure", renew=("oil_pump",)),
    ),
    cases=(
        Case(id="not_askable", says="", request={"vehicle": 5}, expect={"status": "valid"}),
        Case(
            id="cam_upgrade_plain",
            says="A plain cam upgrade",
            request={"vehicle": {"id": "kestrel_001"}, "jobs": ["cam_upgrade"]},
            expect={"status": "valid"},
        ),
    ),
)  # fmt: skip
