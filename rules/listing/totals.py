"""What it comes to: sums by kind, tax by class, deposits apart, and what was saved."""

from __future__ import annotations

from rules.answer import DepositLine, TaxLine, Totals
from rules.listing.charges import Charge, Tax, charges, taxes
from rules.listing.context import Context
from rules.listing.kit_savings import saved_by
from rules.listing.labour import Labour
from rules.model.costs import EXACT_PER_MINOR
from rules.money import decimal_text, half_up

ROUNDING = {
    "document": "rounded half up once for each tax class, on the whole document",
    "line": "rounded half up line by line",
}


def totals(context: Context, labour: Labour, deposits: tuple[DepositLine, ...]) -> Totals:
    """Totals of a plan. Deposits carry the tax of their own line kind and stand apart."""
    compiled = context.compiled
    policy = compiled.catalog.policy
    listed = charges(context.model, context.plan)
    taxed = taxes(compiled, listed)
    before_tax = sum(charge.amount for charge in listed)
    tax = sum(line.tax for line in taxed)
    deposit = _deposits(context, deposits)
    return Totals(
        parts=context.money(_sum(listed, "part")),
        kits=context.money(_sum(listed, "kit")),
        consumables=context.money(_sum(listed, "consumable")),
        labour=context.money(_sum(listed, "labour")),
        labour_minutes=context.plan.labour_minutes,
        labour_rate_per_hour=context.money(policy.labour_rate_per_hour),
        labour_basis=f"{policy.labour_basis}, {policy.time_table}",
        tools=context.money(_sum(listed, "tool")),
        sent_out=context.money(_sum(listed, "sent_out")),
        before_tax=context.money(before_tax),
        taxes=tuple(_tax_line(context, line) for line in taxed),
        tax=context.money(tax),
        tax_rounding=ROUNDING[policy.tax_basis],
        total=context.money(before_tax + tax),
        deposits=context.money(deposit),
        total_with_deposits=context.money(before_tax + tax + deposit),
        saved_minutes_by_overlap=labour.saved_minutes,
        saved_by_overlap=context.money(labour.saved),
        saved_by_kits=context.money(saved_by(context, context.plan.kits)),
    )


def _sum(listed: list[Charge], kind: str) -> int:
    return sum(charge.amount for charge in listed if charge.kind == kind)


def _deposits(context: Context, deposits: tuple[DepositLine, ...]) -> int:
    amount = sum(line.amount.minor for line in deposits)
    rate = context.compiled.tax_basis_points("core_deposit")
    return amount + half_up(amount * rate, EXACT_PER_MINOR)


def _tax_line(context: Context, tax: Tax) -> TaxLine:
    tax_class = context.compiled.tax_classes[tax.tax_class]
    return TaxLine(
        tax_class=tax_class.id,
        label=tax_class.label,
        rate_percent=decimal_text(tax_class.basis_points, 2),
        taxed=context.money(tax.taxed),
        tax=context.money(tax.tax),
    )
