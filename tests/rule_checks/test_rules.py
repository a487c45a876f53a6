"""Rules that never fire, bind nothing, ask for what cannot be had, or refuse factory machines."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rules.catalog import (
    Caution,
    Exclusion,
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Fitment,
    Job,
    Limit,
    Part,
    PartKey,
    Recommendation,
    Requirement,
    Rule,
)
from rules.faults import Fault
from rules.rule_checks import RuleFindings
from tests.rule_checks.bench import (
    CATALOG,
    F1,
    H2,
    ON_TERN,
    S1,
    S2,
    T1,
    found_in,
    found_in_rule,
    stated,
)

NOTHING = RuleFindings((), ())
HARDLY = "nothing that the catalog lists meets the condition, so the rule hardly ever applies"


def test_the_bench_has_nothing_odd() -> None:
    assert found_in() == NOTHING


def test_the_order_of_records_changes_nothing() -> None:
    changes = {
        name: tuple(reversed(getattr(CATALOG, name))) for name in ("vehicles", "parts", "facts")
    }
    rule = Limit(**stated(limit="camshaft.valve_lift_mm <= 9.5 || vehicle.market == 'road'"))
    assert found_in_rule(rule, **changes) == found_in_rule(rule)


# -- conditions --------------------------------------------------------------------------


def conditional(when: str) -> Rule:
    return Caution(**stated(when=when, kind="fuel"))


@pytest.mark.parametrize(
    "when",
    [
        "vehicle.family == 'tern' && vehicle.family == 'heron'",
        "camshaft.valve_lift_mm > 20.0",
        "vehicle.model_year < 1950",
        "renewed('camshaft') && !renewed('camshaft')",
        "fitted.camshaft.grind != 'mild' && !(fitted.camshaft.grind in ['hot', 'wild'])",
        "run_km('camshaft') > 40000 && run_km('camshaft') < 30000",
        "1 > 2",
    ],
)
def test_a_condition_that_contradicts_itself(when: str) -> None:
    assert found_in_rule(conditional(when)) == RuleFindings(
        (
            Fault(
                "rules/main.yaml:r:when",
                "the condition contradicts itself, so the rule never applies",
                "Mend the condition; no values of what it reads can meet it.",
            ),
        ),
        (),
    )


@pytest.mark.parametrize(
    "when",
    [
        "vehicle.family == 'osprey'",
        "vehicle.model_year > 2004",
        "vehicle.family == 'heron' && vehicle.market == 'track'",
        "vehicle.load_w > 250.0 && vehicle.family == 'tern'",
        "renewed('camshaft') && camshaft.valve_lift_mm > 13.0",
        "renewed('oil_filter') && oil_filter.brand == 'Halden'",
        "doing('never_done')",
    ],
)
def test_a_condition_that_holds_nowhere(when: str) -> None:
    stray = replace(CATALOG.steps[1], id="never_done")
    found = found_in_rule(conditional(when), steps=(*CATALOG.steps, stray))
    assert found.faults == (
        Fault(
            "rules/main.yaml:r:when",
            "the condition holds on no configuration and with no part, so the rule never applies",
            "Mend the condition, add what it speaks of to the catalog, or take it out.",
        ),
    )


@pytest.mark.parametrize(
    "when",
    [
        "camshaft.valve_lift_mm > 13.0",
        "fitted.camshaft.valve_lift_mm == 11.25",
        "camshaft.brand == 'Elsewhere'",
        "camshaft.valve_lift_mm * 2.0 > 30.0",
    ],
)
def test_a_condition_that_only_an_unlisted_part_could_meet(when: str) -> None:
    found = found_in_rule(conditional(when))
    assert found.faults == ()
    assert [(warning.where, warning.problem) for warning in found.warnings] == [
        ("rules/main.yaml:r:when", HARDLY)
    ]


@pytest.mark.parametrize(
    "when",
    [
        "vehicle.market == 'track'",
        "vehicle.model_year == 2002",
        "vehicle.odometer_km >= 499999",
        "vehicle.odometer_km * 2 > 900000",
        "fitted.camshaft.grind == 'hot'",
        "fitted.oil_filter.number == 'F-1'",
        "present('oil_filter')",
        "!present('oil_filter')",
        "run_km('camshaft') >= 60000 && run_km('camshaft') < 60001",
        "run_km('camshaft') >= fitted.camshaft.life_km || renewed('camshaft')",
        "doing('sidecar_off')",
        "camshaft.valve_lift_mm > fitted.camshaft.valve_lift_mm + 2.0",
    ],
)
def test_a_condition_that_some_build_meets(when: str) -> None:
    assert found_in_rule(conditional(when)) == NOTHING


@pytest.mark.parametrize(
    "when",
    [
        "vehicle.family in ['tern', 'heron', 'osprey']",
        "vehicle.model_year >= 1950",
        "camshaft.valve_lift_mm <= 20.0",
        "renewed('camshaft') || !renewed('camshaft')",
        "2 > 1",
    ],
)
def test_a_condition_that_says_nothing(when: str) -> None:
    assert found_in_rule(conditional(when)) == RuleFindings(
        (),
        (
            Fault(
                "rules/main.yaml:r:when",
                "the condition always holds, so it says nothing",
                "Leave it out, or mend it.",
            ),
        ),
    )


def test_a_step_that_is_nothing_is_not_done() -> None:
    rule = conditional("doing('sidecar_off') && !vehicle.sidecar")
    assert [fault.where for fault in found_in_rule(rule).faults] == ["rules/main.yaml:r:when"]


# -- limits ------------------------------------------------------------------------------


def limit(text: str, when: str | None = None, unit: str | None = None) -> Rule:
    return Limit(**stated(limit=text, when=when, unit=unit))


def test_a_limit_that_factory_machines_break() -> None:
    found = found_in_rule(limit("camshaft.valve_lift_mm + 2.0 <= valve_spring.max_lift_mm"))
    assert found == RuleFindings(
        (
            Fault(
                "rules/main.yaml:r:limit",
                "the factory machine breaks the limit: heron_1300 and 1 more: "
                "camshaft Corvane T-1; valve_spring Corvane S-1; "
                "camshaft.valve_lift_mm is 10; valve_spring.max_lift_mm is 11.5; short by 0.5 mm",
                "Mend the numbers of the rule or of the parts, or narrow the condition.",
            ),
        ),
        (),
    )


def test_a_limit_that_some_factory_machines_break_names_what_is_open() -> None:
    rule = limit("camshaft.valve_lift_mm <= 9.5", when="vehicle.market == 'track'")
    assert found_in_rule(rule).faults[0].problem == (
        "the factory machine breaks the limit: tern_900 (market track): camshaft Corvane T-1; "
        "vehicle.market is track; camshaft.valve_lift_mm is 10; short by 0.5 mm"
    )


def test_a_factory_machine_has_run_no_distance_that_is_known() -> None:
    for text in ("run_km('camshaft') <= 90000", "vehicle.odometer_km <= 90000"):
        assert found_in_rule(limit(text)) == NOTHING


def test_a_limit_within_the_tolerance_is_kept() -> None:
    parts = tuple(
        replace(part, properties={"max_lift_mm": 12.9}) if part.key == S1 else part
        for part in CATALOG.parts
    )
    cams = tuple(
        replace(part, properties={**part.properties, "valve_lift_mm": 11.4})
        if part.key == T1
        else part
        for part in parts
    )
    rule = limit("camshaft.valve_lift_mm + 1.5 <= valve_spring.max_lift_mm")
    assert found_in_rule(rule, parts=cams).faults == ()


def test_a_limit_that_binds_nothing() -> None:
    assert found_in_rule(limit("camshaft.valve_lift_mm <= 12.5")) == RuleFindings(
        (),
        (
            Fault(
                "rules/main.yaml:r:limit",
                "nothing in the catalog breaks the limit, so the rule binds nothing here",
                "Check its numbers and names, or take it out.",
            ),
        ),
    )


def test_a_limit_on_what_is_fitted_binds_where_a_listed_part_may_be_fitted() -> None:
    assert found_in_rule(limit("fitted.camshaft.valve_lift_mm <= 12.0")) == NOTHING


@pytest.mark.parametrize("text", ["camshaft.valve_lift_mm > 20.5", "vehicle.load_w < 0.0", "2 < 1"])
def test_a_limit_that_nothing_keeps(text: str) -> None:
    assert found_in_rule(limit(text)).faults == (
        Fault(
            "rules/main.yaml:r:limit",
            "the limit contradicts itself, so nothing keeps it",
            "Mend the limit.",
        ),
    )


# -- exclusions --------------------------------------------------------------------------


def exclusion(*together: str, when: str | None = None) -> Rule:
    return Exclusion(**stated(not_together=together, when=when))


def test_an_exclusion_with_a_part_of_it_that_never_holds() -> None:
    found = found_in_rule(exclusion("camshaft.grind == 'hot'", "vehicle.family == 'osprey'"))
    assert [(fault.where, fault.problem) for fault in found.faults] == [
        (
            "rules/main.yaml:r:not_together",
            "the condition holds on no configuration and with no part, so the exclusion of "
            "\"vehicle.family == 'osprey'\" never applies",
        )
    ]


def test_an_exclusion_that_excludes_nothing() -> None:
    rule = exclusion("camshaft.grind == 'hot'", "camshaft.valve_lift_mm < 11.0")
    assert [(w.where, w.problem) for w in found_in_rule(rule).warnings] == [
        (
            "rules/main.yaml:r:not_together",
            "nothing in the catalog brings these together, so the rule binds nothing here",
        )
    ]


def test_an_exclusion_that_factory_machines_break() -> None:
    rule = exclusion("camshaft.grind == 'mild'", "vehicle.load_w < 250.0")
    assert [fault.problem for fault in found_in_rule(rule).faults] == [
        "the factory machine breaks the exclusion: tern_900: camshaft Corvane T-1; "
        "camshaft.grind is mild; vehicle.load_w is 200"
    ]


def test_an_exclusion_of_a_fitted_part_is_met_by_what_a_customer_may_have() -> None:
    assert found_in_rule(exclusion("doing('cover_off')", "fitted.camshaft.grind == 'hot'")) == (
        NOTHING
    )


# -- requirements and recommendations ------------------------------------------------------


def fitting(*keys: PartKey, narrowed: PartKey | None = None) -> tuple[Fitment, ...]:
    rows = [Fitment(part=key) for key in keys]
    return (*rows, Fitment(part=narrowed, conditions=ON_TERN)) if narrowed else tuple(rows)


@pytest.mark.parametrize("kind", [Requirement, Recommendation])
def test_a_renewal_for_which_there_is_no_part(
    kind: type[Requirement] | type[Recommendation],
) -> None:
    rule = kind(**stated(when="renewed('camshaft')", renew="oil_filter"))
    everywhere = found_in_rule(rule, fitment=fitting(T1, H2, S1, S2))
    mend = "Add one to the parts and the fitment, or narrow the condition."
    assert everywhere.faults == (
        Fault(
            "rules/main.yaml:r:renew",
            "no oil_filter fits any configuration that the rule speaks of, "
            "as heron_1300 and 1 more",
            mend,
        ),
    )
    some = found_in_rule(rule, fitment=fitting(T1, H2, S1, S2, narrowed=F1))
    assert some == RuleFindings(
        (),
        (
            Fault(
                "rules/main.yaml:r:renew",
                "no oil_filter fits some configurations that the rule speaks of: heron_1300",
                mend,
            ),
        ),
    )


def test_a_gap_outside_of_what_the_rule_speaks_of_does_not_matter() -> None:
    rule = Requirement(**stated(when="vehicle.family == 'tern'", renew="oil_filter"))
    assert found_in_rule(rule, fitment=fitting(T1, H2, S1, S2, narrowed=F1)) == NOTHING


def where_rule(where: str, when: str | None = "renewed('camshaft')") -> Rule:
    return Requirement(**stated(when=when, part_type="valve_spring", where=where))


def test_a_requirement_that_no_part_meets() -> None:
    found = found_in_rule(where_rule("valve_spring.number == 'S-3'"))
    problem = "no valve_spring meets it on some configurations that it speaks of: "
    assert found.faults == ()  # an unlisted spring may be that one
    assert [w.problem for w in found.warnings] == [f"{problem}heron_1300 and 1 more"]
    found = found_in_rule(where_rule("valve_spring.max_lift_mm < 4.0"))
    assert [(f.where, f.problem) for f in found.faults] == [
        (
            "rules/main.yaml:r:where",
            "no valve_spring meets it on any configuration that it speaks of, "
            "as heron_1300 and 1 more",
        )
    ]


def test_a_requirement_that_no_part_meets_on_some_configurations() -> None:
    rule = where_rule("valve_spring.max_lift_mm >= 12.0")
    assert found_in_rule(rule) == NOTHING
    found = found_in_rule(rule, fitment=fitting(T1, H2, S1, F1, narrowed=S2))
    assert found.faults == ()
    assert [w.problem for w in found.warnings] == [
        "no valve_spring meets it on some configurations that it speaks of: heron_1300"
    ]


def test_a_requirement_that_everything_meets() -> None:
    found = found_in_rule(where_rule("valve_spring.max_lift_mm >= 11.0"))
    assert [w.problem for w in found.warnings] == [
        "nothing in the catalog falls short of it, so the rule binds nothing here"
    ]


def test_a_requirement_that_factory_machines_break() -> None:
    rule = where_rule("valve_spring.max_lift_mm >= 12.0", when="vehicle.model_year >= 2003")
    assert [f.problem for f in found_in_rule(rule).faults] == [
        "the factory machine breaks the requirement: heron_1300 and 1 more: "
        "valve_spring Corvane S-1; vehicle.model_year is 2004; valve_spring.max_lift_mm is 11.5"
    ]


def test_a_required_step_that_is_nothing_where_the_rule_fires() -> None:
    rule = Requirement(**stated(when="!vehicle.sidecar", do="sidecar_off"))
    assert [(w.where, w.problem) for w in found_in_rule(rule).warnings] == [
        (
            "rules/main.yaml:r:do",
            "the step sidecar_off is nothing on every configuration that the rule speaks of",
        )
    ]
    assert found_in_rule(Requirement(**stated(when="renewed('camshaft')", do="sidecar_off"))) == (
        NOTHING
    )


# -- what limits the search -----------------------------------------------------------------


@pytest.mark.parametrize("most", range(0, 60, 7))
def test_too_many_cases_are_said_and_nothing_more_is_claimed(most: int) -> None:
    changes: dict[str, Any] = {
        "rules": (
            Limit(**stated(limit="camshaft.valve_lift_mm <= 12.5")),
            replace(where_rule("valve_spring.max_lift_mm < 4.0"), id="s"),
            replace(conditional("renewed('camshaft') && camshaft.valve_lift_mm > 13.0"), id="t"),
            replace(conditional("camshaft.valve_lift_mm > 13.0"), id="u"),
        ),
        "fitment": fitting(T1, H2, S1, S2),
        "jobs": (Job(id="filter", title="F", wish="F", renew=("oil_filter",)),),
    }
    whole, capped = found_in(**changes), found_in(most=most, **changes)
    assert len(whole.faults) == 3
    assert set(capped.faults) <= set(whole.faults)
    *claims, said = capped.warnings
    # What is certain of the whole may be said of the part that was looked at, as a warning.
    assert {c.where for c in claims} <= {f.where for f in (*whole.faults, *whole.warnings)}
    assert (said.where, said.problem.split(":")[0]) == (
        "rules",
        "not checked whole, there are too many cases",
    )


def test_a_catalog_without_configurations_is_not_looked_at() -> None:
    found = found_in(vehicles=())
    assert found == RuleFindings(
        (),
        (
            Fault(
                "vehicles.csv",
                "there are no configurations, so rules were not looked at",
                "List the machines that the rules speak of.",
            ),
        ),
    )


def test_an_open_number_is_tried_on_both_sides_of_what_it_is_compared_with() -> None:
    facts = (*CATALOG.facts, FieldDefinition(name="weight_kg", kind="number", label="W", unit="kg"))
    for when in (
        "vehicle.weight_kg > 250.0",
        "vehicle.weight_kg < 250.0 && vehicle.weight_kg > 249.0",
    ):
        assert found_in_rule(conditional(when), facts=facts) == NOTHING


def test_factory_parts_that_depend_on_an_open_fact_are_all_looked_at() -> None:
    wild = Part(
        key=PartKey("Corvane", "T-9"),
        part_type="camshaft",
        title="",
        price=1,
        properties={"valve_lift_mm": 13.0, "grind": "wild"},
    )
    track = (FactCondition(fact="market", values=("track",)),)
    road = (FactCondition(fact="market", values=("road",)),)
    found = found_in_rule(
        limit("camshaft.valve_lift_mm <= 12.8"),
        parts=(*CATALOG.parts, wild),
        fitment=(*CATALOG.fitment, Fitment(part=wild.key)),
        factory_parts=(
            FactoryPart(part_type="camshaft", part=wild.key, conditions=track),
            FactoryPart(part_type="camshaft", part=T1, conditions=road),
        ),
    )
    assert [f.problem.split(": ")[1] for f in found.faults] == ["tern_900 (market track)"]
