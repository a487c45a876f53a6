"""The text of a build list: whole texts, and what must hold for any of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rules.answer import BuildList
from rules.text import narrowest, render
from tests.wording.samples import CONFLICT, NEEDS_FACTS, VALID

GOLDEN = Path(__file__).parent / "golden"
SAMPLES = {"valid": VALID, "needs_facts": NEEDS_FACTS, "conflict": CONFLICT}


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
