"""Build lists made by hand, one for each status, with every kind of line in the valid one.

The sums are right: a test adds them up.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rules.answer import (
    AddOn,
    AskedFact,
    BudgetAnswer,
    BuildList,
    CautionLine,
    Conflict,
    ConflictElement,
    ConsumableLine,
    DepositLine,
    FigureLine,
    KitLine,
    LeadTime,
    LeftOver,
    MachineFacts,
    MarginLine,
    NextQuestion,
    OperationLine,
    PartLine,
    Proof,
    Reason,
    SentOutLine,
    StepLine,
    Superseded,
    TaxLine,
    ToolLine,
    Totals,
)
from rules.catalog import PartKey
from rules.money import Money


def eur(minor: int) -> Money:
    return Money(minor, "EUR")


CAM = PartKey("Corvane", "CV-2210")
SPRINGS = PartKey("Corvane", "CV-3104")
GASKET = PartKey("Brackwater", "BW-118")
GASKET_KIT = PartKey("Brackwater", "BW-K7")
PUMP = PartKey("Alder & Rowe", "AR-55")

JOB = Reason(kind="job", ref="cam_upgrade", sentence="Cam upgrade renews the camshaft.")
LIFT = Reason(
    kind="limit",
    ref="spring_travel",
    sentence="The valve springs must allow the valve lift and 1.5 mm more.",
)
SPENT = Reason(
    kind="spent", ref="cam_cover_off", sentence="Cam cover off and on destroys the cam gasket."
)

PARTS = (
    PartLine(
        part_type="camshaft",
        label="Camshaft",
        part=CAM,
        title="Camshaft, 12.2 mm lift, 246/250 degrees",
        instead_of=PartKey("Kestrel Works", "KW-1001"),
        asked_as=PartKey("Corvane", "CV-2201"),
        quantity=1,
        counted_in="piece",
        pack_quantity=1,
        packs=1,
        left_over=0,
        pack_price=eur(31200),
        amount=eur(31200),
        from_kit=None,
        condition="new",
        emission_class="competition_only",
        supplier="Corvane direct",
        in_stock=False,
        lead_days=6,
        life_km=120000,
        note="Bring the old camshaft's thrust washer.",
        reasons=(JOB,),
    ),
    PartLine(
        part_type="valve_spring",
        label="Valve spring",
        part=SPRINGS,
        title="Valve springs",
        instead_of=PartKey("Kestrel Works", "KW-1140"),
        asked_as=None,
        quantity=4,
        counted_in="piece",
        pack_quantity=3,
        packs=2,
        left_over=2,
        pack_price=eur(4450),
        amount=eur(8900),
        from_kit=None,
        condition="new",
        emission_class="not_relevant",
        supplier="",
        in_stock=True,
        lead_days=0,
        life_km=None,
        note="",
        reasons=(LIFT, JOB),
    ),
    PartLine(
        part_type="cam_gasket",
        label="Cam cover gasket",
        part=GASKET,
        title="Cam cover gasket",
        instead_of=PartKey("Kestrel Works", "KW-1007"),
        asked_as=None,
        quantity=1,
        counted_in="piece",
        pack_quantity=1,
        packs=0,
        left_over=0,
        pack_price=eur(1400),
        amount=eur(0),
        from_kit=GASKET_KIT,
        condition="new",
        emission_class="not_relevant",
        supplier="",
        in_stock=True,
        lead_days=0,
        life_km=None,
        note="",
        reasons=(SPENT,),
    ),
    PartLine(
        part_type="oil_pump",
        label="Oil pump",
        part=PUMP,
        title="Oil pump, rebuilt",
        instead_of=PartKey("Kestrel Works", "KW-1300"),
        asked_as=None,
        quantity=1,
        counted_in="piece",
        pack_quantity=1,
        packs=1,
        left_over=0,
        pack_price=eur(18950),
        amount=eur(18950),
        from_kit=None,
        condition="rebuilt",
        emission_class="not_relevant",
        supplier="",
        in_stock=None,
        lead_days=2,
        life_km=80000,
        note="",
        reasons=(Reason(kind="add_on", ref="oil_pump", sentence="The oil pump is taken too."),),
    ),
)

KITS = (
    KitLine(
        kit=GASKET_KIT,
        title="Gaskets for the cam chest",
        amount=eur(1250),
        supplies=("cam_gasket",),
        left_over=(
            LeftOver(
                part=PartKey("Brackwater", "BW-9"), title="O-ring", quantity=2, counted_in="piece"
            ),
        ),
        saved=eur(150),
        supplier="",
        in_stock=True,
        lead_days=0,
        reasons=(SPENT,),
    ),
)

STEPS = (
    StepLine(
        step="cam_cover_off",
        title="Exhaust, cam cover and pushrod tubes off and on, with the lifters held up",
        layer="cam_chest",
        minutes=85,
        amount=eur(13600),
        sent_out=False,
        shared_by=("renew_camshaft", "renew_oil_pump"),
        tools=("lifter_magnets",),
        spends=("cam_gasket",),
        stage="strip",
        note="Mark the pushrods by bore.",
        reasons=(JOB,),
    ),
    StepLine(
        step="camshaft_swap",
        title="Camshaft out and in, timing marks checked",
        layer="cam_chest",
        minutes=50,
        amount=eur(8000),
        sent_out=False,
        shared_by=("renew_camshaft",),
        tools=("cam_bearing_puller",),
        spends=(),
        stage="work",
        note="",
        reasons=(JOB,),
    ),
    StepLine(
        step="valve_seats_cut",
        title="Valve seats cut",
        layer="top_end",
        minutes=10,
        amount=eur(1600),
        sent_out=True,
        shared_by=("renew_valve_springs",),
        tools=(),
        spends=(),
        stage="work",
        note="",
        reasons=(LIFT,),
    ),
    StepLine(
        step="oil_pump_swap",
        title="Oil pump off and on",
        layer="cam_chest",
        minutes=20,
        amount=eur(3200),
        sent_out=False,
        shared_by=("renew_oil_pump",),
        tools=(),
        spends=(),
        stage="finish",
        note="",
        reasons=(),
    ),
)

TOTALS = Totals(
    parts=eur(59050),
    kits=eur(1250),
    consumables=eur(240),
    labour=eur(26400),
    labour_minutes=165,
    labour_rate_per_hour=eur(9600),
    labour_basis="book time",
    tools=eur(5500),
    sent_out=eur(8500),
    before_tax=eur(100940),
    taxes=(
        TaxLine(
            tax_class="goods",
            label="Goods",
            rate_percent="19.00",
            taxed=eur(60540),
            tax=eur(11503),
        ),
        TaxLine(
            tax_class="services",
            label="Services",
            rate_percent="7.25",
            taxed=eur(40400),
            tax=eur(2929),
        ),
    ),
    tax=eur(14432),
    tax_rounding="rounded half up, once for each tax class, on the whole document",
    total=eur(115372),
    deposits=eur(6000),
    total_with_deposits=eur(121372),
    saved_minutes_by_overlap=85,
    saved_by_overlap=eur(13600),
    saved_by_kits=eur(150),
)

VALID = BuildList(
    status="valid",
    edition="2024-11",
    catalog="Saltmarsh Quay demo catalog",
    made_on=date(2024, 11, 25),
    aim="cost",
    machine=MachineFacts(
        vehicle_id="kestrel_980_s",
        label="Kestrel 980 S, 1999 to 2003",
        facts=(
            ("model_year", 2001),
            ("odometer_km", 48200),
            ("cooling", "air"),
            ("bore_mm", 92.5),
            ("passenger_seat", True),
        ),
        told=("Odometer 48200 km",),
    ),
    wish=("Cam upgrade: more lift than the camshaft that is fitted.", "Add-on: oil pump."),
    parts=PARTS,
    kits=KITS,
    operations=(
        OperationLine(
            operation="renew_camshaft",
            title="Renew camshaft",
            way="boxes_on",
            way_title="adjustable pushrods, rocker boxes stay on",
            minutes_alone=135,
            reasons=(JOB,),
        ),
        OperationLine(
            operation="renew_oil_pump",
            title="Renew oil pump",
            way="only",
            way_title="Renew oil pump",
            minutes_alone=105,
            reasons=(),
        ),
        OperationLine(
            operation="renew_valve_springs",
            title="Renew valve springs",
            way="only",
            way_title="",
            minutes_alone=10,
            reasons=(LIFT,),
        ),
    ),
    steps=STEPS,
    tools=(
        ToolLine(
            tool="lifter_magnets",
            title="Lifter magnets",
            how="owned",
            amount=eur(0),
            purchase=None,
            resale=None,
            lead_days=None,
            steps=("cam_cover_off",),
        ),
        ToolLine(
            tool="cam_bearing_puller",
            title="Cam bearing puller",
            how="bought",
            amount=eur(5500),
            purchase=eur(14500),
            resale=eur(9000),
            lead_days=4,
            steps=("camshaft_swap",),
        ),
    ),
    sent_out=(
        SentOutLine(step="valve_seats_cut", title="Valve seats cut", amount=eur(8500), lead_days=3),
    ),
    consumables=(
        ConsumableLine(
            consumable="thread_sealant",
            title="Thread sealant",
            uses=2,
            amount=eur(240),
            steps=("camshaft_swap",),
        ),
    ),
    deposits=(DepositLine(part=PUMP, title="Oil pump, rebuilt", units=1, amount=eur(6000)),),
    totals=TOTALS,
    lead_time=LeadTime(
        in_hand_on=date(2024, 12, 1), days=6, decided_by=("Corvane CV-2210",), unknown=()
    ),
    add_ons=(
        AddOn(
            part_type="cam_bearing_inner",
            label="Inner cam bearing",
            rule="bearing_while_there",
            sentence="With the camshaft out the inner bearing lies open",
            basis="common practice",
            part=PartKey("Alder & Rowe", "AR-12"),
            title="Inner cam bearing, caged",
            price_now=eur(3213),
            minutes_now=10,
            price_later=eur(29840),
            minutes_later=145,
            worth=eur(26627),
            run_km=48200,
            life_km=60000,
            layer="cam_chest",
            taken=False,
            within_budget=True,
        ),
        AddOn(
            part_type="oil_pump",
            label="Oil pump",
            rule="pump_while_there",
            sentence="With the cam cover off the oil pump lies open",
            basis="common practice",
            part=PUMP,
            title="Oil pump, rebuilt",
            price_now=eur(25982),
            minutes_now=20,
            price_later=eur(40000),
            minutes_later=105,
            worth=eur(14018),
            run_km=None,
            life_km=None,
            layer="cam_chest",
            taken=True,
            within_budget=None,
        ),
    ),
    budget=BudgetAnswer(
        budget=eur(125000),
        reached=True,
        add_ons=("cam_bearing_inner",),
        total=eur(118585),
        worth=eur(26627),
        proven=True,
    ),
    cautions=(
        CautionLine(
            rule="hot_exhaust",
            kind="hot_parts",
            sentence="Let the exhaust cool before it is touched",
            basis="common practice",
            because=("cam_cover_off",),
        ),
    ),
    margins=(
        MarginLine(
            rule="spring_travel",
            sentence="The valve springs must allow the valve lift and 1.5 mm more.",
            basis="spring maker's sheet",
            margin=0.3999999999999986,
            unit="mm",
            numbers="12.2 + 1.5 <= 14.1",
        ),
        MarginLine(
            rule="same_key",
            sentence="The camshaft's key fits the drive gear.",
            basis="common practice",
            margin=None,
            unit=None,
            numbers="'woodruff' == 'woodruff'",
        ),
    ),
    figures=(
        FigureLine(
            figure="compression",
            label="Static compression ratio",
            unit=None,
            as_found="9.2",
            after="9.2",
        ),
        FigureLine(figure="overlap", label="Valve overlap", unit="deg", as_found=None, after="38"),
    ),
    superseded=(
        Superseded(
            asked=PartKey("Corvane", "CV-2201"),
            chain=(CAM,),
            current=(CAM,),
            sentence="Corvane CV-2201 is now sold as Corvane CV-2210.",
        ),
    ),
    notes=("Prices: Saltmarsh Quay, list of 1 November 2024.",),
    proof=Proof(optimal=True, method="search", choices_open=4, nodes=9),
)

NEEDS_FACTS = replace(
    VALID,
    status="needs_facts",
    parts=(),
    kits=(),
    operations=(),
    steps=(),
    tools=(),
    sent_out=(),
    consumables=(),
    deposits=(),
    totals=None,
    lead_time=None,
    add_ons=(),
    budget=None,
    cautions=(),
    margins=(),
    figures=(),
    superseded=(),
    notes=(),
    proof=None,
    aim="hours",
    machine=MachineFacts(vehicle_id=None, label="Kestrel 980, one of 3", facts=(), told=()),
    asks=(
        AskedFact(
            fact="vehicle.cooling",
            question="Is the engine cooled by air or by liquid?",
            unit=None,
            choices=("air", "liquid"),
        ),
        AskedFact(
            fact="fitted.camshaft.valve_lift_mm",
            question="What valve lift does the camshaft that is fitted now have?",
            unit="mm",
            choices=(),
        ),
    ),
)

CONFLICT = replace(
    NEEDS_FACTS,
    status="conflict",
    aim="life",
    machine=VALID.machine,
    asks=(),
    wish=("Corvane CV-2210 (Camshaft).", "Kept as it is: valve springs."),
    conflicts=(
        Conflict(
            elements=(
                ConflictElement(
                    kind="wanted",
                    ref="Corvane CV-2210",
                    sentence="Corvane CV-2210 is wanted.",
                    basis="",
                ),
                ConflictElement(
                    kind="keep",
                    ref="valve_spring",
                    sentence="The valve springs stay as they are.",
                    basis="",
                ),
                ConflictElement(
                    kind="rule",
                    ref="spring_travel",
                    sentence="The valve springs must allow the valve lift and 1.5 mm more.",
                    basis="spring maker's sheet",
                ),
            )
        ),
        Conflict(
            elements=(
                ConflictElement(
                    kind="no_candidate",
                    ref="rocker_arm",
                    sentence="No rocker arm of the catalog fits this machine",
                    basis="fitment.csv",
                ),
            )
        ),
    ),
)

SAFE_PLAN = replace(
    VALID,
    status="needs_facts",
    asks=NEEDS_FACTS.asks,
    total_from=eur(90000),
    total_to=eur(110000),
    next_question=NextQuestion(
        fact="vehicle.cooling", question="Is the engine cooled by air or by liquid?"
    ),
    budget=BudgetAnswer(
        budget=eur(100000), reached=False, add_ons=(), total=eur(115372), worth=eur(0), proven=True
    ),
)
"""Not settled, with a plan that is valid in every case and dearer than any needs."""
