"""Configurations, parts, kits, fitment, supersessions and tools."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, pairwise
from typing import Final

from rules.catalog import Catalog, FactCondition, FieldDefinition, Kit, Part, PartKey, Tool, Vehicle
from rules.catalog_faults.cycles import cycles
from rules.catalog_faults.names import Known, KnownKeys, name_faults, repeated, repeated_faults
from rules.catalog_faults.places import Places
from rules.catalog_faults.values import MEASURED, shown, value_faults
from rules.catalog_faults.wording import quoted, unknown_name
from rules.faults import Fault

Definitions = Mapping[str, FieldDefinition]

DECLARE: Final = "Declare it in catalog.yaml."


def sold_faults(catalog: Catalog, places: Places) -> Iterator[Fault]:
    """Everything the tables can get wrong, except overlapping factory rows."""
    facts = {fact.name: fact for fact in catalog.facts}
    yield from _vehicles(catalog, places, facts)
    yield from _parts(catalog, places)
    yield from _conditions(catalog, places, facts)
    yield from _part_uses(catalog, places)
    yield from _supersessions(catalog, places)
    yield from _kits(catalog, places)
    yield from _tools(catalog, places)


def _vehicles(catalog: Catalog, places: Places, facts: Definitions) -> Iterator[Fault]:
    keyed = [
        (vehicle.id, where)
        for vehicle, where in zip(catalog.vehicles, places.vehicles, strict=True)
    ]
    yield from repeated_faults("configuration", keyed, "id")
    known = Known("fact", facts, DECLARE)
    for vehicle, (_, where) in zip(catalog.vehicles, keyed, strict=True):
        yield from name_faults(f"{where}:id", vehicle.id)
        yield from _years(vehicle, where, facts)
        for name, value in vehicle.facts.items():
            if name in facts:
                yield from value_faults(f"{where}:{name}", facts[name], value)
            else:
                yield from known.faults(f"{where}:{name}", name)


def _years(vehicle: Vehicle, where: str, facts: Definitions) -> Iterator[Fault]:
    first, last = vehicle.model_year_from, vehicle.model_year_to
    if first > last:
        yield Fault(f"{where}:model_year_to", f"{last} is before {first}", "Swap the two years.")
    if "model_year" in facts and facts["model_year"].kind == "whole":
        yield from value_faults(f"{where}:model_year_from", facts["model_year"], first)
        yield from value_faults(f"{where}:model_year_to", facts["model_year"], last)


def _parts(catalog: Catalog, places: Places) -> Iterator[Fault]:
    known = Known("part type", (one.id for one in catalog.part_types), DECLARE)
    definitions = {
        part_type.id: {one.name: one for one in part_type.properties}
        for part_type in catalog.part_types
    }
    located = list(zip(catalog.parts, places.parts, strict=True))
    sold = [(part.key, where) for part, where in located]
    sold += [(kit.key, where) for kit, where in zip(catalog.kits, places.kits, strict=True)]
    yield from _repeated_numbers(sold)
    for part, where in located:
        yield from _part_numbers(part, where)
        yield from known.faults(f"{where}:number", part.part_type)
        if part.part_type in definitions:
            yield from _properties(part, where, definitions[part.part_type])


def _repeated_numbers(sold: Iterable[tuple[PartKey, str]]) -> Iterator[Fault]:
    spelled = (((key.brand.casefold(), key.number.casefold()), where) for key, where in sold)
    for (brand, number), where, first in repeated(spelled):
        if brand and number:
            yield Fault(
                f"{where}:number",
                f"brand and number are the same as at {first}",
                "One brand and number names one thing: change or take out one row.",
            )


def _part_numbers(part: Part, where: str) -> Iterator[Fault]:
    yield from _at_least(
        where,
        0,
        price=part.price,
        core_deposit=part.core_deposit,
        stock=part.stock,
        lead_days=part.lead_days,
    )
    yield from _at_least(where, 1, pack_quantity=part.pack_quantity, life_km=part.life_km)


def _properties(part: Part, where: str, definitions: Definitions) -> Iterator[Fault]:
    for name, value in part.properties.items():
        if name not in definitions:
            yield Fault(f"{where}:{name}", *unknown_name("property", name, None, DECLARE))
        elif value is not None:
            yield from value_faults(f"{where}:{name}", definitions[name], value)


def _at_least(where: str, least: int, **numbers: int | None) -> Iterator[Fault]:
    """Faults for columns that are below ``least``; unknown ones pass."""
    for column, number in numbers.items():
        if number is not None and number < least:
            yield Fault(
                f"{where}:{column}",
                f"{column} is below {least}",
                f"Write {least} or more, or mend the sign.",
            )


def _conditions(catalog: Catalog, places: Places, facts: Definitions) -> Iterator[Fault]:
    located = chain(
        zip((row.conditions for row in catalog.factory_parts), places.factory_parts, strict=True),
        zip((row.conditions for row in catalog.fitment), places.fitment, strict=True),
    )
    known = Known("fact", facts, DECLARE)
    for conditions, where in located:
        for condition in conditions:
            if condition.fact in facts:
                yield from _condition(condition, where, facts[condition.fact])
            else:
                yield from known.faults(f"{where}:{condition.fact}", condition.fact)


def _condition(condition: FactCondition, where: str, fact: FieldDefinition) -> Iterator[Fault]:
    seen = set()
    for value in condition.values:
        yield from value_faults(f"{where}:{fact.name}", fact, value)
        if value in seen:
            yield Fault(f"{where}:{fact.name}", f"{quoted(value)} is there twice", "Keep it once.")
        seen.add(value)
    if condition.low is None and condition.high is None:
        return
    if fact.kind not in MEASURED:
        yield Fault(f"{where}:{fact.name}", f"a {fact.kind} has no range", "Write the values.")
        return
    if condition.values:
        yield Fault(
            f"{where}:{fact.name}",
            "both exact values and a range are given",
            f"Leave {fact.name} empty, or {fact.name}_from and {fact.name}_to.",
        )
    yield from _range(condition, where, fact)


def _range(condition: FactCondition, where: str, fact: FieldDefinition) -> Iterator[Fault]:
    low, high = condition.low, condition.high
    if low is not None and high is not None and low > high:
        yield Fault(
            f"{where}:{fact.name}_to", f"{shown(high)} is below {shown(low)}", "Swap the two."
        )
    for column, bound in ((f"{fact.name}_from", low), (f"{fact.name}_to", high)):
        if bound is not None and fact.kind == "whole" and not float(bound).is_integer():
            yield Fault(f"{where}:{column}", f"{bound} is not a whole number", "Write digits only.")
        elif bound is not None:
            value = int(bound) if fact.kind == "whole" else float(bound)
            yield from value_faults(f"{where}:{column}", fact, value)


def _part_uses(catalog: Catalog, places: Places) -> Iterator[Fault]:
    parts = {part.key: part.part_type for part in catalog.parts}
    known = _known_parts(catalog)
    types = Known("part type", (one.id for one in catalog.part_types), DECLARE)
    for row, where in zip(catalog.factory_parts, places.factory_parts, strict=True):
        yield from types.faults(f"{where}:part_type", row.part_type)
        yield from known.faults(f"{where}:", row.part)
        if row.part in parts and row.part_type in types and parts[row.part] != row.part_type:
            yield Fault(
                f"{where}:part_type",
                f"{row.part} is of type {parts[row.part]}, not {row.part_type}",
                "Mend the part type or the number.",
            )
    for fitment, where in zip(catalog.fitment, places.fitment, strict=True):
        yield from known.faults(f"{where}:", fitment.part)


def _known_parts(catalog: Catalog) -> KnownKeys:
    return KnownKeys(
        "part", (part.key for part in catalog.parts), "Add the part to its file under parts."
    )


def _supersessions(catalog: Catalog, places: Places) -> Iterator[Fault]:
    located = list(zip(catalog.supersessions, places.supersessions, strict=True))
    for (old, new), where, first in repeated(((row.old, row.new), at) for row, at in located):
        yield Fault(
            f"{where}:new_number",
            f"{old} to {new} is stated at {first} already",
            "Take one of the rows out.",
        )
    olds = {row.old for row, _ in located}
    ends = {part.key for part in catalog.parts} | {kit.key for kit in catalog.kits} | olds
    known = KnownKeys("part, kit or old number", ends, "Add the part, or say what replaces it.")
    for row, where in located:
        yield from known.faults(f"{where}:new_", row.new)
    yield from _supersession_cycles(catalog, places)


def _supersession_cycles(catalog: Catalog, places: Places) -> Iterator[Fault]:
    follows: dict[PartKey, list[PartKey]] = {}
    at: dict[tuple[PartKey, PartKey], str] = {}
    for row, where in zip(catalog.supersessions, places.supersessions, strict=True):
        follows.setdefault(row.old, []).append(row.new)
        at.setdefault((row.old, row.new), where)
    for cycle in cycles(follows):
        ring = [*cycle, cycle[0]]
        rows = [at[edge] for edge in pairwise(ring)]
        numbers = ", ".join(where.rpartition(":")[2] for where in rows)
        yield Fault(
            f"{rows[-1]}:new_number",
            f"the numbers replace each other: {' → '.join(map(str, ring))}",
            f"Take out one of the rows that lead round: {numbers}."
            if len(rows) > 1
            else "Take this row out.",
        )


def _kits(catalog: Catalog, places: Places) -> Iterator[Fault]:
    parts = _known_parts(catalog)
    content_places = iter(places.kit_contents)
    for kit, where in zip(catalog.kits, places.kits, strict=True):
        yield from _at_least(where, 0, price=kit.price, stock=kit.stock, lead_days=kit.lead_days)
        if not kit.contents:
            yield Fault(
                f"{where}:number",
                f"the kit {kit.key} holds nothing",
                "Add what it holds to kit_contents.csv.",
            )
        own = [next(content_places) for _ in kit.contents]
        yield from _kit_contents(kit, own, parts)


def _kit_contents(kit: Kit, places: Sequence[str], parts: KnownKeys) -> Iterator[Fault]:
    located = list(zip(kit.contents, places, strict=True))
    for content, where in located:
        yield from parts.faults(f"{where}:", content.part)
        yield from _at_least(where, 1, quantity=content.quantity)
    for part, where, first in repeated((content.part, at) for content, at in located):
        yield Fault(
            f"{where}:number",
            f"{part} is in the kit at {first} already",
            "Write one row with the whole quantity.",
        )


def _tools(catalog: Catalog, places: Places) -> Iterator[Fault]:
    located = list(zip(catalog.tools, places.tools, strict=True))
    yield from repeated_faults("tool", ((tool.id, where) for tool, where in located), "id")
    for tool, where in located:
        yield from name_faults(f"{where}:id", tool.id)
        yield from _at_least(
            where,
            0,
            hire_price=tool.hire_price,
            buy_price=tool.buy_price,
            resale_price=tool.resale_price,
            hire_lead_days=tool.hire_lead_days,
            buy_lead_days=tool.buy_lead_days,
        )
        yield from _tool_offers(tool, where)


def _tool_offers(tool: Tool, where: str) -> Iterator[Fault]:
    if tool.hire_price is None and tool.hire_lead_days is not None:
        yield Fault(
            f"{where}:hire_price",
            "lead days for a hire without a price",
            "Write the hire price, or take the lead days out.",
        )
    for column, value in (
        ("buy_lead_days", tool.buy_lead_days),
        ("resale_price", tool.resale_price),
    ):
        if tool.buy_price is None and value is not None:
            yield Fault(
                f"{where}:buy_price",
                f"{column} for a purchase without a price",
                f"Write the buy price, or take {column} out.",
            )
    if tool.buy_price is not None and (tool.resale_price or 0) > tool.buy_price:
        yield Fault(
            f"{where}:resale_price",
            "the resale price is above the buy price",
            "Write what the tool fetches afterwards.",
        )
