"""A build list in which the owner's own parts are paid for already.

The engine chooses with the parts on hand costing nothing (``parts_on_hand``); here the lines,
sums, tax, deposits and the lead time of its list follow.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from rules.answer import BuildList, DepositLine, KitLine, PartLine, TaxLine, Totals
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.listing.context import money
from rules.listing.lines import lead_time
from rules.model.costs import EXACT_PER_MINOR, packs
from rules.money import Money, half_up


@dataclass
class PaidFor:
    """``build``: a list with lines and totals, priced as if everything were bought here."""

    compiled: CompiledCatalog
    build: BuildList
    on_hand: Mapping[PartKey, int]

    @property
    def own_parts(self) -> Money:
        """What the parts on hand that are used would have cost here, before tax."""
        return money(self.compiled, self._saved)

    def completed(self) -> BuildList:
        """The list with only what is still to buy. Add-ons and the totals that other facts
        would lead to, both priced as if everything were bought here, are left out."""
        build = self.build
        parts = tuple(self._parts.values())
        kits = tuple(self._kit(kit) for kit in build.kits)
        deposits = tuple(line for old in build.deposits if (line := self._deposit(old)) is not None)
        totals = None if build.totals is None else self._totals(build.totals, kits, deposits)
        lead = lead_time(parts, kits, build.tools, build.made_on)
        return replace(
            build,
            parts=parts,
            kits=kits,
            deposits=deposits,
            totals=totals,
            lead_time=lead,
            add_ons=(),
            budget=None,
            total_from=None,
            total_to=None,
            next_question=None,
        )

    # -- lines ---------------------------------------------------------------------

    @cached_property
    def _parts(self) -> dict[str, PartLine]:
        return {line.part_type: self._part(line) for line in self.build.parts}

    def _part(self, line: PartLine) -> PartLine:
        have = self.on_hand.get(line.part, 0)
        if line.from_kit is not None or not have:
            return line
        bought = self._short_packs(line)
        return replace(
            line,
            packs=bought,
            left_over=have + bought * line.pack_quantity - line.quantity,
            amount=money(self.compiled, bought * line.pack_price.minor),
            in_stock=line.in_stock if bought else True,
            lead_days=line.lead_days if bought else 0,
        )

    def _short_packs(self, line: PartLine) -> int:
        short = line.quantity - self.on_hand.get(line.part, 0)
        return packs(self.compiled.parts[line.part], max(0, short))

    @cached_property
    def _saved(self) -> int:
        return sum(self._saving(line) for line in self.build.parts)

    def _saving(self, line: PartLine) -> int:
        return line.amount.minor - self._parts[line.part_type].amount.minor

    def _kit(self, kit: KitLine) -> KitLine:
        """What the kit saves is counted against the packs that would be bought without it."""
        singles = sum(
            self._short_packs(line) * line.pack_price.minor
            for line in self.build.parts
            if line.from_kit == kit.kit
        )
        return replace(kit, saved=money(self.compiled, singles - kit.amount.minor))

    def _deposit(self, old: DepositLine) -> DepositLine | None:
        units = sum(line.packs for line in self._parts.values() if line.part == old.part)
        each = self.compiled.parts[old.part].core_deposit
        amount = money(self.compiled, units * each)
        return replace(old, units=units, amount=amount) if units else None

    # -- sums ----------------------------------------------------------------------

    def _totals(
        self, before: Totals, kits: tuple[KitLine, ...], deposits: tuple[DepositLine, ...]
    ) -> Totals:
        taxes = tuple(line for old in before.taxes if (line := self._tax(old)) and line.taxed.minor)
        net = before.before_tax.minor - self._saved
        tax = sum(line.tax.minor for line in taxes)
        deposit = sum(line.amount.minor for line in deposits)
        rate = self.compiled.tax_basis_points("core_deposit")
        deposit += half_up(deposit * rate, EXACT_PER_MINOR)
        say = self._money
        return replace(
            before,
            parts=say(before.parts.minor - self._saved),
            before_tax=say(net),
            taxes=taxes,
            tax=say(tax),
            total=say(net + tax),
            deposits=say(deposit),
            total_with_deposits=say(net + tax + deposit),
            saved_by_kits=say(sum(kit.saved.minor for kit in kits)),
        )

    def _tax(self, old: TaxLine) -> TaxLine:
        policy = self.compiled.catalog.policy
        if old.tax_class != policy.tax_of["part"]:
            return old
        rate = self.compiled.tax_basis_points("part")
        taxed = old.taxed.minor - self._saved
        if policy.tax_basis == "line":
            before = sum(half_up(p.amount.minor * rate, EXACT_PER_MINOR) for p in self.build.parts)
            after = sum(
                half_up(p.amount.minor * rate, EXACT_PER_MINOR) for p in self._parts.values()
            )
            tax = old.tax.minor - before + after
        else:
            tax = half_up(taxed * rate, EXACT_PER_MINOR)
        return replace(old, taxed=self._money(taxed), tax=self._money(tax))

    def _money(self, minor: int) -> Money:
        return money(self.compiled, minor)
