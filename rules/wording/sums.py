"""The money: from the lines to what is paid on the day."""

from __future__ import annotations

from collections.abc import Iterator

from rules.answer import BuildList, Totals
from rules.money import Money
from rules.wording.layout import amount, entry, heading, hours, money_width, notes


def money(build: BuildList, width: int) -> list[str]:
    """The sums, tax by class, deposits, and what was saved."""
    totals = build.totals
    if totals is None:
        return []
    line = "-" * (money_width - 1)
    figures = [
        *heading("Money", width, [(totals.total.currency, money_width)]),
        *_rows(_goods_and_work(totals), width),
        line.rjust(width),
        *_rows([("Before tax", totals.before_tax), *_taxes(totals)], width),
        line.rjust(width),
        *_rows([("Total, tax included", totals.total), *_deposits(totals)], width),
    ]
    return [*figures, *notes(_remarks(totals), width, indent=1)]


def _rows(rows: Iterator[tuple[str, Money]] | list[tuple[str, Money]], width: int) -> list[str]:
    return [line for label, sum_ in rows for line in entry(label, width, [amount(sum_)])]


def _goods_and_work(totals: Totals) -> Iterator[tuple[str, Money]]:
    rate = totals.labour_rate_per_hour.amount
    time = f"{hours(totals.labour_minutes)} at {rate} an hour, {totals.labour_basis}"
    rows = [
        ("Parts", totals.parts),
        ("Kits", totals.kits),
        ("Consumables", totals.consumables),
        (f"Labour, {time}", totals.labour),
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
    yield f"Tax: {totals.tax_rounding}."
    if totals.saved_minutes_by_overlap:
        time, saved = hours(totals.saved_minutes_by_overlap), totals.saved_by_overlap
        yield f"Saved by doing shared work once: {time}, {saved} before tax."
    if totals.saved_by_kits.minor:
        yield f"Saved by kits: {totals.saved_by_kits} before tax."
