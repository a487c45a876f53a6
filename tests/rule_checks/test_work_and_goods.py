"""Work that is never done or cannot be done, jobs without parts, rows that match nothing."""

from __future__ import annotations

from dataclasses import replace

from rules.catalog import (
    FactCondition,
    FactoryPart,
    Figure,
    Fitment,
    Job,
    Kit,
    Limit,
    Requirement,
    SendOut,
    Step,
    Supersession,
    Tool,
    Way,
)
from rules.faults import Fault
from rules.rule_checks import RuleFindings
from tests.rule_checks.bench import (
    CATALOG,
    F1,
    H2,
    OLD,
    ON_NOTHING,
    ON_TERN,
    S1,
    S2,
    T1,
    found_in,
    found_in_rule,
    stated,
)

COVER, FILTER_STEP, SIDECAR = CATALOG.steps
CHEST, FILTER = CATALOG.operations
(MORE_LIFT,) = CATALOG.jobs
NOWHERE = "vehicle.family == 'osprey'"


def places(faults: tuple[Fault, ...]) -> list[str]:
    return [fault.where for fault in faults]


def test_a_step_that_is_never_done() -> None:
    found = found_in(steps=(COVER, FILTER_STEP, replace(SIDECAR, when=NOWHERE)))
    assert found.faults == (
        Fault(
            "work/main.yaml:sidecar_off:when",
            "the condition holds on no configuration and with no part, so the step never applies",
            "Mend the condition, add what it speaks of to the catalog, or take it out.",
        ),
    )


def test_a_step_that_nothing_calls_for() -> None:
    stray = Step(id="polish", title="Polish", layer="inside", minutes=5)
    deeper = replace(stray, id="buff", needs=("polish",))
    found = found_in(steps=(*CATALOG.steps, stray, deeper))
    assert (found.faults, places(found.warnings)) == (
        (),
        ["work/main.yaml:buff:id", "work/main.yaml:polish:id"],
    )
    asked = Requirement(**stated(when="renewed('camshaft')", do="buff"))
    assert found_in_rule(asked, steps=(*CATALOG.steps, stray, deeper)) == RuleFindings((), ())


def test_a_tool_that_cannot_be_had() -> None:
    tools = (Tool(id="cam_puller", title="Cam puller", purpose="Pulls cams"),)
    assert places(found_in(tools=tools).warnings) == ["work/main.yaml:cover_off:tools"]
    away = replace(COVER, send_out=SendOut(title="Away", price=100, lead_days=1))
    assert found_in(tools=tools, steps=(away, FILTER_STEP, SIDECAR)) == RuleFindings((), ())


def test_minutes_and_quantities_that_are_no_amounts() -> None:
    late = replace(COVER, minutes="2002 - vehicle.model_year")
    none = replace(FILTER_STEP, minutes="20 + 10 / (vehicle.model_year - 2001)")
    camshaft, spring, oil = CATALOG.part_types
    found = found_in(
        steps=(late, none, SIDECAR),
        part_types=(camshaft, spring, replace(oil, quantity="vehicle.model_year - 2004")),
    )
    mend = "Mend the expression, so that it gives 0 or more on every configuration."
    assert found.faults == (
        Fault(
            "catalog.yaml:part_types.oil_filter:quantity",
            "it comes out as -4 on tern_900 (model_year 2000)",
            mend,
        ),
        Fault("work/main.yaml:cover_off:minutes", "it comes out as -2 on heron_1300", mend),
        Fault(
            "work/main.yaml:swap_filter:minutes",
            "it comes out as no number (division by zero) on tern_900 (model_year 2001)",
            mend,
        ),
    )


def test_a_way_that_can_never_be_gone() -> None:
    ways = (*CHEST.ways, Way(id="other", title="Other", steps=("cover_off",), when=NOWHERE))
    assert places(found_in(operations=(replace(CHEST, ways=ways), FILTER)).faults) == [
        "work/main.yaml:open_chest.ways.other:when"
    ]


def test_an_operation_without_a_way_where_its_place_is_fitted() -> None:
    ways = (replace(CHEST.ways[0], when="vehicle.family == 'heron' || vehicle.model_year < 2003"),)
    found = found_in(operations=(replace(CHEST, ways=ways), FILTER))
    assert found.faults == (
        Fault(
            "work/main.yaml:open_chest:ways",
            "no way can be gone on tern_900 (model_year 2003), "
            "which has camshaft, valve_spring fitted",
            "Add a way for such machines, or widen the condition of one.",
        ),
    )
    empty = (replace(FILTER.ways[0], when="vehicle.family == 'heron'"),)
    assert found_in(operations=(CHEST, replace(FILTER, ways=empty))) == RuleFindings((), ())


def test_a_job_that_is_never_offered() -> None:
    assert places(found_in(jobs=(replace(MORE_LIFT, when=NOWHERE),)).faults) == [
        "work/main.yaml:more_lift:when"
    ]


def test_a_job_without_parts() -> None:
    job = Job(id="filter", title="Filter", wish="Filter", renew=("oil_filter",))
    rows = tuple(Fitment(part=key) for key in (T1, H2, S1, S2))
    mend = "Add one to the parts and the fitment, or narrow the condition."
    assert found_in(jobs=(job,), fitment=rows, rules=()).faults == (
        Fault(
            "work/main.yaml:filter:renew",
            "no oil_filter fits any configuration that the job is offered on: "
            "heron_1300 and 1 more",
            mend,
        ),
    )
    some = found_in(jobs=(job,), fitment=(*rows, Fitment(part=F1, conditions=ON_TERN)), rules=())
    assert some == RuleFindings(
        (),
        (
            Fault(
                "work/main.yaml:filter:renew",
                "no oil_filter fits some configurations that the job is offered on: heron_1300",
                mend,
            ),
        ),
    )
    only = replace(job, when="vehicle.family == 'tern'")
    assert found_in(
        jobs=(only,), fitment=(*rows, Fitment(part=F1, conditions=ON_TERN)), rules=()
    ) == RuleFindings((), ())


def test_a_job_whose_condition_no_part_meets() -> None:
    wild = replace(MORE_LIFT, where={"camshaft": "camshaft.grind == 'wild'"})
    found = found_in(jobs=(wild,))
    assert found.faults == (
        Fault(
            "work/main.yaml:more_lift:where",
            "no camshaft meets it on any configuration, as heron_1300 and 1 more",
            "Add such a camshaft to the parts and the fitment, or mend the condition.",
        ),
    )
    rows = (*(Fitment(part=k) for k in (T1, S1, S2, F1)), Fitment(part=H2, conditions=ON_TERN))
    some = found_in(fitment=rows, rules=())
    assert some.faults == ()
    assert [w.problem for w in some.warnings] == [
        "no camshaft meets it on some configurations as built: heron_1300"
    ]
    like = replace(
        MORE_LIFT, where={"camshaft": "camshaft.valve_lift_mm == fitted.camshaft.valve_lift_mm"}
    )
    assert found_in(jobs=(like,)) == RuleFindings((), ())


def test_a_figure_that_is_never_shown() -> None:
    figure = Figure(id="lift", label="Lift", value="camshaft.valve_lift_mm", when=NOWHERE)
    assert places(found_in(figures=(figure,)).faults) == ["catalog.yaml:figures.lift:when"]


# -- tables -----------------------------------------------------------------------------


def test_rows_that_no_configuration_matches() -> None:
    late = (FactCondition(fact="model_year", low=2005),)
    both = (FactCondition(fact="model_year", low=2004), *ON_TERN)
    found = found_in(
        fitment=(
            *CATALOG.fitment,
            Fitment(part=F1, conditions=ON_NOTHING),
            Fitment(part=F1, conditions=late),
            Fitment(part=F1, conditions=both, fits=False),
        ),
        factory_parts=(
            *CATALOG.factory_parts,
            FactoryPart(part_type="oil_filter", part=F1, conditions=late),
        ),
    )
    mend = "Mend its conditions, add the configuration to vehicles.csv, or take it out."
    assert found == RuleFindings(
        (),
        tuple(
            Fault(f"{row}:number", "no configuration matches the row", mend)
            for row in ("fitment.csv:7", "fitment.csv:8", "fitment.csv:9", "factory_parts.csv:4")
        ),
    )


def test_parts_that_fit_no_configuration() -> None:
    cam = CATALOG.parts[0]
    stray = replace(cam, key=OLD)
    barred = (*CATALOG.fitment, Fitment(part=OLD), Fitment(part=OLD, fits=False))
    for rows in (CATALOG.fitment, barred):
        found = found_in(parts=(stray, *CATALOG.parts), fitment=rows)
        assert found == RuleFindings(
            (),
            (
                Fault(
                    "parts/camshaft.csv:2:number",
                    "Corvane T-0 fits no configuration",
                    "Add a row to fitment.csv, mark it withdrawn, or take it out.",
                ),
            ),
        )
    gone = replace(stray, status="withdrawn")
    assert found_in(parts=(gone, *CATALOG.parts)) == RuleFindings((), ())
    replaced = found_in(
        parts=(stray, *CATALOG.parts), supersessions=(Supersession(old=OLD, new=T1),)
    )
    assert replaced == RuleFindings((), ())


def test_a_kit_that_is_dearer_than_its_parts() -> None:
    (kit,) = CATALOG.kits
    dear = replace(kit, price=2050)
    assert found_in(kits=(replace(kit, price=2000),)) == RuleFindings((), ())
    assert found_in(kits=(dear,)) == RuleFindings(
        (),
        (
            Fault(
                "kits.csv:2:price",
                "the kit Halden K-1 is dearer than its parts singly, by 0.50 EUR",
                "Check the price; the engine passes such a kit over.",
            ),
        ),
    )
    assert _with_packs_of_three(dear) == RuleFindings((), ())


def _with_packs_of_three(kit: Kit) -> RuleFindings:
    """Two packs of three are needed for four pieces, so the kit saves again."""
    four = tuple(replace(content, quantity=4) for content in kit.contents)
    parts = tuple(replace(part, pack_quantity=3) for part in CATALOG.parts)
    return found_in(kits=(replace(kit, contents=four, price=4000),), parts=parts)


def test_every_finding_is_listed() -> None:
    found = found_in(
        rules=(Limit(**stated(limit="camshaft.valve_lift_mm <= 9.0")),),
        jobs=(replace(MORE_LIFT, when=NOWHERE),),
        steps=(COVER, FILTER_STEP, replace(SIDECAR, when="1 > 2")),
    )
    assert places(found.faults) == [
        "rules/main.yaml:r:limit",
        "work/main.yaml:sidecar_off:when",
        "work/main.yaml:more_lift:when",
    ]
