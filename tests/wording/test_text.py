"""The text of a build list: whole texts, and what must hold for any of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rules.answer import BuildList, Conflict, ConflictElement
from rules.text import narrowest, render
from rules.wording.layout import hours
from tests.wording.samples import CONFLICT, NEEDS_FACTS, SAFE_PLAN, VALID, eur

GOLDEN = Path(__file__).parent / "golden"
SAMPLES = {
    "valid": VALID,
    "needs_facts": NEEDS_FACTS,
    "safe_plan": SAFE_PLAN,
    "conflict": CONFLICT,
}


@pytest.mark.parametrize("name", SAMPLES)
def test_text_is_the_golden_one(name: str) -> None:
    expected = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")
    assert render(SAMPLES[name]) == expected


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("width", [narrowest, 72, 88, 132])
def test_no_line_is_wider_than_asked(name: str, width: int) -> None:
    lines = render(SAMPLES[name], width).split("\n")
    assert [line for line in lines if len(line) > width or line != line.rstrip()] == []


def test_fewer_columns_than_the_figures_need_are_refused() -> None:
    with pytest.raises(ValueError, match="64 columns"):
        render(VALID, narrowest - 1)


def test_nothing_on_the_list_goes_unsaid() -> None:
    text = " ".join(render(VALID).split())
    said = [
        *(str(line.part) for line in VALID.parts),
        *(line.title for line in VALID.parts),
        *(text for line in VALID.kits for text in (str(line.kit), line.title)),
        *(reason.sentence for line in VALID.parts for reason in line.reasons),
        *VALID.wish,
        *VALID.machine.told,
        VALID.edition,
        *(line.amount.amount for line in VALID.parts if line.from_kit is None),
        *(line.title for line in VALID.operations),
        *(line.note for line in VALID.steps if line.note),
        *(line.title for line in VALID.tools),
        *(line.title for line in VALID.sent_out),
        *(line.title for line in VALID.consumables),
        *(line.sentence for line in VALID.cautions),
        *(line.numbers for line in VALID.margins),
        *(line.label for line in VALID.figures),
        *(line.sentence for line in VALID.add_ons),
        *(line.basis for line in VALID.margins),
        *VALID.notes,
    ]
    assert [words for words in said if " ".join(words.split()) not in text] == []


def test_the_sample_adds_up() -> None:
    """So that a reader who adds up the golden text finds it right."""
    totals = VALID.totals
    assert totals is not None
    assert sum(line.amount.minor for line in VALID.parts) == totals.parts.minor
    assert sum(line.amount.minor for line in VALID.steps) == totals.labour.minor
    assert sum(line.minutes for line in VALID.steps) == totals.labour_minutes
    alone = sum(line.minutes_alone for line in VALID.operations)
    assert alone - totals.saved_minutes_by_overlap == totals.labour_minutes
    sums = (totals.parts, totals.kits, totals.consumables, totals.labour, totals.tools)
    assert sum(s.minor for s in (*sums, totals.sent_out)) == totals.before_tax.minor
    assert sum(tax.tax.minor for tax in totals.taxes) == totals.tax.minor
    assert totals.before_tax.minor + totals.tax.minor == totals.total.minor


@pytest.mark.parametrize(
    "hostile",
    ["\x1b[2Jgone", "line\nbreak", "bell\x07", "turned \u202e round", "tab\tbed", "x" * 500],
)
def test_catalog_text_cannot_steer_a_terminal(hostile: str) -> None:
    text = render(_named(hostile))
    assert all(character.isprintable() or character == "\n" for character in text)
    assert max(len(line) for line in text.split("\n")) <= 88


def _named(title: str) -> BuildList:
    part = replace(VALID.parts[0], title=title, note=title)
    return replace(VALID, parts=(part,), catalog=title, notes=(title,))


def test_a_safe_plan_is_not_headed_as_the_total() -> None:
    """The range stands where the total stands; the plan's own sum is named for what it is."""
    lines = [" ".join(line.split()) for line in render(SAFE_PLAN).split("\n")]
    assert [line for line in lines if line.startswith("TOTAL")] == [
        "TOTAL, TAX INCLUDED 900.00 to 1100.00 EUR"
    ]
    assert "THE PLAN THAT IS SAFE WHATEVER THE ANSWER IS EUR" in lines
    assert "The safe plan, tax included 1153.72" in lines
    assert "dearer than what is needed in any one case (1100.00 EUR at most)" in " ".join(lines)


@pytest.mark.parametrize(
    ("low", "high", "budget", "verdict"),
    [
        (90000, 110000, 110000, "is enough in every case: "),
        (90000, 110000, 109999, "is enough in some cases and not in others: "),
        (90000, 110000, 90000, "is enough in some cases and not in others: "),
        (90000, 110000, 89999, "is not enough in any case: "),
        (90000, None, 89999, "is not enough in any case: "),
        (90000, None, 90000, "is enough is open until the total is bounded."),
        (None, 110000, 110000, "is enough in every case: "),
        (None, None, 90000, "is enough is open until the total is bounded."),
    ],
)
def test_a_budget_is_judged_by_the_range(
    low: int | None, high: int | None, budget: int, verdict: str
) -> None:
    assert SAFE_PLAN.budget is not None
    build = replace(
        SAFE_PLAN,
        total_from=None if low is None else eur(low),
        total_to=None if high is None else eur(high),
        budget=replace(SAFE_PLAN.budget, budget=eur(budget)),
    )
    text = " ".join(render(build).split())
    assert f"{eur(budget)} {verdict}" in text
    assert "does not cover" not in text


def test_work_sent_out_is_one_after_the_other_in_working_order() -> None:
    first, second = VALID.sent_out[0], replace(VALID.sent_out[0], step="camshaft_swap", lead_days=5)
    text = " ".join(render(replace(VALID, sent_out=(first, second))).split())
    assert "Work sent out then takes 5 days, then 3 days, 8 days in all" in text


def test_steps_that_only_rules_ask_for_are_listed_besides() -> None:
    step = replace(VALID.steps[1], title="Map loaded and checked", minutes=20, shared_by=())
    text = " ".join(render(replace(VALID, steps=(*VALID.steps, step))).split())
    assert f"Required besides: map loaded and checked {hours(20)}" in text


def test_add_ons_that_save_nothing_stand_in_one_line() -> None:
    plain = replace(VALID.add_ons[0], label="Spark plug", worth=eur(0), price_later=eur(3213))
    text = render(replace(VALID, add_ons=(*VALID.add_ons, plain)))
    assert "No dearer later: spark plug, Alder & Rowe AR-12 (32.13 now, 32.13 later)" in text
    assert text.count("Inner cam bearing, caged") == 1


def test_the_condition_of_a_job_is_not_for_customers() -> None:
    sentence = "Big bore is not offered on this machine."
    element = ConflictElement(
        kind="job", ref="big_bore", sentence=sentence, basis="job big_bore: vehicle.cooling == 'x'"
    )
    build = replace(CONFLICT, conflicts=(Conflict(elements=(element,)),))
    text = render(build)
    assert sentence in text
    assert "vehicle.cooling" not in text
