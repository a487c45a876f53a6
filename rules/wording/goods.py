"""What is bought: parts, kits, consumables, deposits; and old numbers that were asked for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, KitLine, LeftOver, PartLine
from rules.speech import in_a_sentence
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
from rules.wording.sums import together

_quantity_width: Final = 9
_reasons_at_most: Final = 3


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
    lines = heading("Parts, and why", width, [("qty", _quantity_width), (currency, money_width)])
    for place, line in enumerate(build.parts, start=1):
        lines += entry(_title(line), width, _figures(line), mark=numbered(place))
        lines += notes(_about(line), width)
    if build.totals is not None:
        lines += together(build, build.totals.parts, len(build.parts), width)
    return lines


def _title(line: PartLine) -> str:
    """The part's title, with the place it goes to where that does not say so already."""
    known = line.title.casefold()
    said = all(word in known for word in line.label.casefold().split())
    return line.title if said else f"{line.label}: {in_a_sentence(line.title)}"


def _figures(line: PartLine) -> list[tuple[str, int]]:
    money = ("in kit", money_width) if line.from_kit else amount(line.amount)
    return [(_counted(line.quantity, line.counted_in), _quantity_width), money]


def _counted(quantity: int, counted_in: str) -> str:
    return f"{quantity} {'pc' if counted_in == 'piece' else counted_in}"


def _about(line: PartLine) -> Iterator[str]:
    yield ", ".join([str(line.part), *_supply(line)])
    for reason in line.reasons[:_reasons_at_most]:
        yield reason.sentence
    if len(line.reasons) > _reasons_at_most:
        yield f"And {plural(len(line.reasons) - _reasons_at_most, 'more reason')} of the kind."
    yield line.note


def _supply(line: PartLine) -> Iterator[str]:
    if line.asked_as and line.asked_as != line.part:
        yield f"asked for as {line.asked_as}"
    if line.from_kit:
        yield f"in kit {line.from_kit}"
    elif line.pack_quantity > 1:
        packs = f"{plural(line.packs, 'pack')} of {line.pack_quantity} at {line.pack_price.amount}"
        over = _counted(line.left_over, line.counted_in)
        yield packs + (f", {over} left over" if line.left_over else "")
    if line.condition != "new":
        yield line.condition
    if line.emission_class == "competition_only":
        yield "for competition only, not for the road"
    if line.from_kit is None:
        yield _delivery(line)


def _delivery(line: PartLine | KitLine) -> str:
    if line.in_stock:
        return "in stock"
    if line.lead_days is None:
        return "delivery time not known"
    return f"{plural(line.lead_days, 'day')} to get" if line.lead_days else "to be had today"


def kits(build: BuildList, width: int) -> list[str]:
    """Kits bought, the places they supply, what is left over."""
    if not build.kits:
        return []
    labels = {line.part_type: line.label for line in build.parts}
    lines = heading("Kits", width, [(build.kits[0].amount.currency, money_width)])
    for place, kit in enumerate(build.kits, start=1):
        lines += entry(kit.title, width, [amount(kit.amount)], mark=numbered(place))
        lines += notes(_about_kit(kit, labels), width)
    if build.totals is not None:
        lines += together(build, build.totals.kits, len(build.kits), width)
    return lines


def _about_kit(kit: KitLine, labels: dict[str, str]) -> Iterator[str]:
    """The lines below a kit."""
    yield f"{kit.kit}, {_delivery(kit)}"
    supplied = listed(in_a_sentence(labels.get(name, spoken(name))) for name in kit.supplies)
    yield f"Holds {supplied}."
    yield from (reason.sentence for reason in kit.reasons)
    if kit.left_over:
        yield f"Left over: {listed(map(_left, kit.left_over))}."


def _left(row: LeftOver) -> str:
    return f"{_counted(row.quantity, row.counted_in)} of {row.title} ({row.part})"


def consumables(build: BuildList, width: int) -> list[str]:
    """Charged by the use."""
    if not build.consumables:
        return []
    columns = [("uses", _quantity_width), (build.consumables[0].amount.currency, money_width)]
    lines = heading("Consumables", width, columns)
    for line in build.consumables:
        figures = [(str(line.uses), _quantity_width), amount(line.amount)]
        lines += entry(line.title, width, figures)
    if build.totals is not None:
        lines += together(build, build.totals.consumables, len(build.consumables), width)
    return lines


def deposits(build: BuildList, width: int) -> list[str]:
    """Refundable when the old unit comes back."""
    if not build.deposits:
        return []
    columns = [("units", _quantity_width), (build.deposits[0].amount.currency, money_width)]
    lines = heading("Core deposits, back with the old unit", width, columns)
    for line in build.deposits:
        figures = [(str(line.units), _quantity_width), amount(line.amount)]
        lines += entry(f"{line.title} ({line.part})", width, figures)
    return lines
