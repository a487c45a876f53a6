"""What is bought: parts, kits, consumables, deposits; and old numbers that were asked for."""

from __future__ import annotations

from collections.abc import Iterator

from rules.answer import BuildList, KitLine, LeftOver, PartLine, Reason
from rules.wording.layout import (
    amount,
    entry,
    heading,
    listed,
    money_width,
    notes,
    numbered,
    plural,
    spoken,
)

_quantity_width = 9


def superseded(build: BuildList, width: int) -> list[str]:
    """Old numbers and what they are sold as now."""
    if not build.superseded:
        return []
    lines = [line for row in build.superseded for line in entry(row.sentence, width)]
    return [*heading("Old numbers", width), *lines]


def parts(build: BuildList, width: int) -> list[str]:
    """Every place renewed, its part, and why."""
    if not build.parts:
        return []
    currency = build.parts[0].amount.currency
    lines = heading("Parts", width, [("qty", _quantity_width), (currency, money_width)])
    for place, line in enumerate(build.parts, start=1):
        lines += entry(f"{line.part}, {line.title}", width, _figures(line), mark=numbered(place))
        lines += notes(_about(line), width)
    return lines


def _figures(line: PartLine) -> list[tuple[str, int]]:
    unit = "pc" if line.counted_in == "piece" else line.counted_in
    money = ("in kit", money_width) if line.from_kit else amount(line.amount)
    return [(f"{line.quantity} {unit}", _quantity_width), money]


def _about(line: PartLine) -> Iterator[str]:
    yield f"{line.label}: {_because(line.reasons)}"
    yield ", ".join(_supply(line))
    yield line.note


def _because(reasons: tuple[Reason, ...]) -> str:
    """The first reason in full; how many more there are."""
    if not reasons:
        return "no reason given"
    more = f" (and {len(reasons) - 1} more)" if len(reasons) > 1 else ""
    return f"{reasons[0].sentence.rstrip('.')}{more}"


def _supply(line: PartLine) -> Iterator[str]:
    if line.asked_as and line.asked_as != line.part:
        yield f"asked for as {line.asked_as}"
    if line.from_kit:
        yield f"comes with kit {line.from_kit}"
    elif line.pack_quantity > 1:
        packs = f"{plural(line.packs, 'pack')} of {line.pack_quantity} at {line.pack_price.amount}"
        yield packs + (f", {line.left_over} left over" if line.left_over else "")
    if line.condition != "new":
        yield line.condition
    if line.emission_class == "competition_only":
        yield "for competition only, not for the road"
    if line.from_kit is None:
        yield from _delivery(line)


def _delivery(line: PartLine | KitLine) -> Iterator[str]:
    if line.in_stock:
        yield "in stock"
    elif line.lead_days is None:
        yield "delivery time not known"
    else:
        yield f"{plural(line.lead_days, 'day')} to get"


def kits(build: BuildList, width: int) -> list[str]:
    """Kits bought, the places they supply, what is left over."""
    if not build.kits:
        return []
    names = _KitNames(build)
    lines = heading("Kits", width, [(build.kits[0].amount.currency, money_width)])
    for place, kit in enumerate(build.kits, start=1):
        lines += entry(f"{kit.kit}, {kit.title}", width, [amount(kit.amount)], mark=numbered(place))
        lines += notes(names.about(kit), width)
    return lines


class _KitNames:
    """What the places that a kit supplies are called, and what its parts are counted in."""

    def __init__(self, build: BuildList) -> None:
        self.labels = {line.part_type: line.label.lower() for line in build.parts}
        self.units = {line.part: line.counted_in for line in build.parts}

    def about(self, kit: KitLine) -> Iterator[str]:
        """The lines below a kit."""
        supplied = listed(self.labels.get(name, spoken(name)) for name in kit.supplies)
        yield f"Supplies {supplied}; {kit.saved} less than single packs"
        if kit.left_over:
            yield f"Left over: {listed(self._left(row) for row in kit.left_over)}"
        yield ", ".join(_delivery(kit))

    def _left(self, row: LeftOver) -> str:
        unit = " ml" if self.units.get(row.part) == "ml" else ""
        return f"{row.quantity}{unit} of {row.part} {row.title}"


def consumables(build: BuildList, width: int) -> list[str]:
    """Charged by the use."""
    if not build.consumables:
        return []
    columns = [("uses", _quantity_width), (build.consumables[0].amount.currency, money_width)]
    lines = heading("Consumables", width, columns)
    for line in build.consumables:
        figures = [(str(line.uses), _quantity_width), amount(line.amount)]
        lines += entry(line.title, width, figures)
    return lines


def deposits(build: BuildList, width: int) -> list[str]:
    """Refundable when the old unit comes back."""
    if not build.deposits:
        return []
    columns = [("units", _quantity_width), (build.deposits[0].amount.currency, money_width)]
    lines = heading("Core deposits, refundable", width, columns)
    for line in build.deposits:
        figures = [(str(line.units), _quantity_width), amount(line.amount)]
        lines += entry(f"{line.part}, {line.title}", width, figures)
    return lines
