"""What it comes to: sums by kind, tax by class, deposits, what was saved.

While facts are missing there is no total yet, only the range that it lies in; the plan that
is safe whatever they turn out to be is summed up apart, under a name of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, Totals
from rules.money import Money
from rules.wording.layout import (
    amount,
    entry,
    filled,
    heading,
    hours,
    money_width,
    notes,
    plural,
)

safe_plan: Final = "The plan that is safe whatever the answer is"


def money(build: BuildList, width: int) -> list[str]:
    """The sums, tax by class, deposits, and what was saved."""
    totals = build.totals
    if totals is None:
        return []
    line = "-" * (money_width - 1)
    title = safe_plan if build.status == "needs_facts" else "What it comes to"
    named = "The safe plan, tax included" if title == safe_plan else "TOTAL, TAX INCLUDED"
    figures = [
        *heading(title, width, [(totals.total.currency, money_width)]),
        *_safety(build, totals, width),
        *_rows(_goods_and_work(totals), width),
        line.rjust(width),
        *_rows([("Before tax", totals.before_tax), *_taxes(totals)], width),
        line.rjust(width),
        *_rows([(named, totals.total)], width),
        ("=" * (money_width - 1)).rjust(width),
        *_rows(_deposits(totals), width),
    ]
    return [*figures, *notes(_remarks(totals), width, indent=1)]


def _safety(build: BuildList, totals: Totals, width: int) -> list[str]:
    """What the sums are of, so that nobody takes them for the quote."""
    if build.status != "needs_facts":
        return []
    text = "Not the quote: this is the cheapest plan that is right whatever the answer is"
    if build.total_to is not None and totals.total.minor > build.total_to.minor:
        text += f". It is dearer than what is needed in any one case ({build.total_to} at most)"
    return [*filled(f"{text}. The lines below are its lines.", width, " ", hang=1), ""]


def _rows(rows: Iterator[tuple[str, Money]] | list[tuple[str, Money]], width: int) -> list[str]:
    return [line for label, sum_ in rows for line in entry(label, width, [amount(sum_)])]


def _goods_and_work(totals: Totals) -> Iterator[tuple[str, Money]]:
    rate = totals.labour_rate_per_hour.amount
    rows = [
        ("Parts", totals.parts),
        ("Kits", totals.kits),
        ("Consumables", totals.consumables),
        (f"Labour, {hours(totals.labour_minutes)} at {rate} an hour", totals.labour),
        ("Special tools", totals.tools),
        ("Work sent out", totals.sent_out),
    ]
    return ((label, sum_) for label, sum_ in rows if sum_.minor)


def _taxes(totals: Totals) -> Iterator[tuple[str, Money]]:
    for tax in totals.taxes:
        yield f"{tax.label}: {tax.rate_percent} % of {tax.taxed.amount}", tax.tax


def _deposits(totals: Totals) -> Iterator[tuple[str, Money]]:
    if totals.deposits.minor:
        yield "Core deposits, refundable", totals.deposits
        yield "To pay on the day", totals.total_with_deposits


def _remarks(totals: Totals) -> Iterator[str]:
    if totals.saved_minutes_by_overlap:
        time, saved = hours(totals.saved_minutes_by_overlap), totals.saved_by_overlap
        yield f"Shared work is done and charged once: that saves {time}, {saved} before tax."
    if totals.saved_by_kits.minor:
        yield f"Kits save {totals.saved_by_kits} before tax."
    yield f"Hours: {totals.labour_basis}. Tax: {totals.tax_rounding}."


def closing(build: BuildList, width: int) -> list[str]:
    """The last lines: the total once more, and how the answer was closed."""
    lines: list[str] = []
    if build.status == "needs_facts" and build.next_question is not None:
        lines = ["=" * width, *_in_text("TOTAL, TAX INCLUDED", spoken_range(build), width)]
        if build.totals is not None:
            lines += _in_currency("The safe plan, tax included", build.totals.total, width)
    elif build.totals is not None:
        lines = ["=" * width, *_in_currency("TOTAL, TAX INCLUDED", build.totals.total, width)]
        if build.totals.deposits.minor:
            lines += _in_currency("To pay on the day", build.totals.total_with_deposits, width)
    if build.proof is not None:
        methods = {
            "reductions": "forced choices alone",
            "search": "complete search",
            "highs": "branch and bound (HiGHS)",
            "none": "no proof",
        }
        choices = plural(build.proof.choices_open, "open choice")
        lines += entry(f"Settled by {methods[build.proof.method]}, {choices}.", width)
    return lines


def _in_currency(label: str, sum_: Money, width: int) -> list[str]:
    return _in_text(label, str(sum_), width)


def _in_text(label: str, text: str, width: int) -> list[str]:
    return entry(label, width, [(text, len(text) + 1)])


def spoken_range(build: BuildList) -> str:
    """What stands where the total stands, while facts are missing."""
    low, high = build.total_from, build.total_to
    if low is not None and high is not None:
        return str(low) if low == high else f"{low.amount} to {high}"
    if low is not None:
        return f"at least {low}"
    return "not bounded yet" if high is None else f"at most {high}"


def together(build: BuildList, total: Money, rows: int, width: int) -> list[str]:
    """The sum under a section of several priced rows."""
    if build.totals is None or rows < 2:
        return []
    rule = ("-" * (money_width - 1)).rjust(width)
    return [rule, *entry("Together", width, [amount(total)])]
