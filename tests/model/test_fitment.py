"""Fitment in three values, and why a part does not fit."""

from __future__ import annotations

from rules.catalog import FactCondition, Fitment, PartKey
from rules.fitment import fits, verdict
from rules.values import Unknown

KEY = PartKey("Pennywhit", "PY-1")
LABELS = {"cooling": "Cooling", "displacement_cc": "Displacement", "model_year": "Model year"}


def says(*conditions: FactCondition, fits: bool = True, note: str = "") -> Fitment:
    return Fitment(part=KEY, conditions=conditions, fits=fits, note=note)


LIQUID = FactCondition(fact="cooling", values=("liquid",))
FROM_2015 = FactCondition(fact="model_year", low=2015)
TO_2018 = FactCondition(fact="model_year", high=2018)


def test_no_statement_fits_nothing() -> None:
    assert fits((), {"cooling": "liquid"}) is False


def test_a_statement_without_conditions_fits_everything() -> None:
    assert fits((says(),), {}) is True


def test_every_condition_of_one_statement_must_hold() -> None:
    statement = says(LIQUID, FROM_2015, TO_2018)
    assert fits((statement,), {"cooling": "liquid", "model_year": 2015}) is True
    assert fits((statement,), {"cooling": "liquid", "model_year": 2018}) is True
    assert fits((statement,), {"cooling": "liquid", "model_year": 2014}) is False
    assert fits((statement,), {"cooling": "liquid", "model_year": 2019}) is False
    assert fits((statement,), {"cooling": "air_oil", "model_year": 2016}) is False


def test_one_no_outweighs_every_yes() -> None:
    statements = (says(), says(LIQUID, fits=False))
    assert fits(statements, {"cooling": "liquid"}) is False
    assert fits(statements, {"cooling": "air_oil"}) is True


def test_a_missing_fact_leaves_it_open_unless_another_decides() -> None:
    open_ = fits((says(LIQUID),), {})
    assert open_ == Unknown(frozenset({"vehicle.cooling"}))
    assert fits((says(LIQUID, FROM_2015),), {"model_year": 2010}) is False
    assert fits((says(LIQUID), says()), {}) is True
    assert fits((says(), says(LIQUID, fits=False)), {}) == Unknown(frozenset({"vehicle.cooling"}))
    assert fits((says(FROM_2015, fits=False), says(LIQUID)), {"model_year": 2016}) is False


def test_the_verdict_names_the_condition_that_fails() -> None:
    statement = says(FactCondition(fact="displacement_cc", values=(1303,)), LIQUID)
    found = verdict((statement,), {"displacement_cc": 1478, "cooling": "liquid"}, LABELS)
    assert found.fits is False
    assert found.reasons == ("made for displacement 1303, this machine's is 1478",)


def test_the_verdict_gives_the_note_of_an_exclusion() -> None:
    statements = (says(), says(LIQUID, fits=False, note="The water pump is in the way."))
    found = verdict(statements, {"cooling": "liquid"}, LABELS)
    assert found.reasons == ("The water pump is in the way.",)


def test_the_verdict_says_what_is_missing() -> None:
    found = verdict((says(LIQUID),), {}, LABELS)
    assert found.reasons == ("depends on cooling, which is not known",)


def test_year_bounds_read_as_a_range() -> None:
    statement = says(FactCondition(fact="model_year", low=2015, high=2018))
    found = verdict((statement,), {"model_year": 2012}, LABELS)
    assert found.reasons == ("made for model year 2015 to 2018, this machine's is 2012",)
