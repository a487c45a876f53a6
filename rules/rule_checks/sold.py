"""Parts that fit nothing, rows that no configuration matches, kits dearer than their parts."""

from __future__ import annotations

from collections.abc import Iterable

from rules.catalog import FactCondition, Kit, Vehicle
from rules.catalog_faults.factory import can_all_hold, fixed_by
from rules.money import decimal_text
from rules.rule_checks.checking import Checking
from rules.rule_checks.situations import is_sold


class _Matches:
    """Whether some configuration meets the conditions of a row."""

    def __init__(self, checking: Checking) -> None:
        self._facts = checking.compiled.facts
        self._vehicles = checking.configurations.distinct
        self._known: dict[tuple[FactCondition, ...], bool] = {}

    def some(self, conditions: tuple[FactCondition, ...]) -> bool:
        if conditions not in self._known:
            self._known[conditions] = any(self._one(v, conditions) for v in self._vehicles)
        return self._known[conditions]

    def _one(self, vehicle: Vehicle, conditions: Iterable[FactCondition]) -> bool:
        return can_all_hold([*fixed_by(vehicle), *conditions], self._facts)


def check_sold(checking: Checking) -> None:
    """Warnings about the tables; none of these keeps a catalog from loading."""
    _rows(checking)
    _parts(checking)
    _kits(checking)


def _rows(checking: Checking) -> None:
    catalog, places, matches = checking.compiled.catalog, checking.places, _Matches(checking)
    rows = [
        *zip(places.fitment, (row.conditions for row in catalog.fitment), strict=True),
        *zip(places.factory_parts, (row.conditions for row in catalog.factory_parts), strict=True),
    ]
    for where, conditions in rows:
        if not matches.some(conditions):
            checking.report.warning(
                f"{where}:number",
                "no configuration matches the row",
                "Mend its conditions, add the configuration to vehicles.csv, or take it out.",
            )


def _parts(checking: Checking) -> None:
    compiled = checking.compiled
    for part, where in zip(compiled.catalog.parts, checking.places.parts, strict=True):
        if is_sold(compiled, part.key) and not checking.configurations.fits_some(part):
            checking.report.warning(
                f"{where}:number",
                f"{part.key} fits no configuration",
                "Add a row to fitment.csv, mark it withdrawn, or take it out.",
            )


def _kits(checking: Checking) -> None:
    catalog = checking.compiled.catalog
    for kit, where in zip(catalog.kits, checking.places.kits, strict=True):
        singly = _singly(checking, kit)
        if singly is not None and kit.price > singly:
            dearer = kit.price - singly
            checking.report.warning(
                f"{where}:price",
                f"the kit {kit.key} is dearer than its parts singly, by "
                f"{decimal_text(dearer, catalog.currency_exponent)} {catalog.currency}",
                "Check the price; the engine passes such a kit over.",
            )


def _singly(checking: Checking, kit: Kit) -> int | None:
    """What the parts cost in single packs, or None when some are no longer sold so."""
    total = 0
    for content in kit.contents:
        if not is_sold(checking.compiled, content.part):
            return None
        part = checking.compiled.parts[content.part]
        total += part.price * -(-content.quantity // part.pack_quantity)
    return total
