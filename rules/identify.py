"""From what a request says to a machine: configuration, facts, fitted parts; every fault listed."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping
from typing import Final

from rules.catalog import FieldDefinition, PartKey, Vehicle
from rules.compiled import CompiledCatalog, properties_of
from rules.faults import Fault, Faulty
from rules.machine import Fitted, Machine, factory_fitted
from rules.request import BuildRequest, FittedPart
from rules.values import Value

MODEL_YEAR = "model_year"


def identify(compiled: CompiledCatalog, request: BuildRequest) -> Machine:
    """The machine of a request. Raises Faulty listing every fault, as JSON Pointers."""
    faults: list[Fault] = []
    facts = _given_facts(compiled, request.facts, faults)
    vehicle = _named_vehicle(compiled, request.vehicle_id, faults)
    if faults:
        raise Faulty(faults)
    if vehicle is not None:
        _check_against(vehicle, facts, faults)
        candidates: tuple[Vehicle, ...] = (vehicle,)
    else:
        candidates = matching(compiled, facts)
        if not candidates:
            faults.append(_nothing_matches(compiled, facts))
    if faults:
        raise Faulty(faults)
    machine = machine_from(compiled, candidates, facts)
    return with_fitted(compiled, machine, request.fitted)


def machine_from(
    compiled: CompiledCatalog, candidates: tuple[Vehicle, ...], facts: Mapping[str, Value]
) -> Machine:
    """A machine that is one of ``candidates``: what they agree on is known."""
    known = {**_agreed(candidates), **facts}
    return Machine(
        facts=known,
        fitted=factory_fitted(compiled, known),
        vehicle=candidates[0] if len(candidates) == 1 else None,
        candidates=candidates,
    )


def _agreed(candidates: tuple[Vehicle, ...]) -> dict[str, Value]:
    first, *others = (facts_of(vehicle) for vehicle in candidates)
    return {
        name: value
        for name, value in first.items()
        if all(other.get(name) == value for other in others)
    }


def facts_of(vehicle: Vehicle) -> dict[str, Value]:
    """The exact facts of a configuration; the year only when its range is one year."""
    facts = dict(vehicle.facts)
    if vehicle.model_year_from == vehicle.model_year_to:
        facts[MODEL_YEAR] = vehicle.model_year_from
    return facts


def matching(compiled: CompiledCatalog, facts: Mapping[str, Value]) -> tuple[Vehicle, ...]:
    """Configurations that the given facts do not contradict."""
    return tuple(v for v in compiled.vehicles.values() if not _contradictions(v, facts))


def _contradictions(vehicle: Vehicle, facts: Mapping[str, Value]) -> list[str]:
    wrong = [n for n, v in vehicle.facts.items() if n in facts and facts[n] != v]
    year = facts.get(MODEL_YEAR)
    if isinstance(year, int) and not vehicle.model_year_from <= year <= vehicle.model_year_to:
        wrong.append(MODEL_YEAR)
    return wrong


# -- faults ------------------------------------------------------------------------


def escaped(name: str) -> str:
    """A name as a token of a JSON Pointer (RFC 6901 s. 3): ``a/b`` -> ``a~1b``."""
    return name.replace("~", "~0").replace("/", "~1")


def close_names(name: str, known: Iterable[str]) -> list[str]:
    """At most three of ``known`` that are spelled like ``name``, likeliest first, in any case."""
    spelled: dict[str, str] = {}
    for text in sorted(known):
        spelled.setdefault(text.casefold(), text)
    found = difflib.get_close_matches(name.casefold(), sorted(spelled), n=3, cutoff=0.6)
    return [spelled[text] for text in found]


look_it_up: Final = "Look it up in the catalog."


def near(name: str, known: Iterable[str]) -> str:
    """``Did you mean …?`` for a name that is not known, or where to look it up."""
    close = close_names(name, known)
    return f"Did you mean {' or '.join(close)}?" if close else look_it_up


def _named_vehicle(
    compiled: CompiledCatalog, vehicle_id: str | None, faults: list[Fault]
) -> Vehicle | None:
    if vehicle_id is None:
        return None
    vehicle = compiled.vehicles.get(vehicle_id)
    if vehicle is None:
        mend = near(vehicle_id, compiled.vehicles)
        faults.append(Fault("/vehicle/id", f"no machine is called {vehicle_id!r}", mend))
    return vehicle


def _given_facts(
    compiled: CompiledCatalog, given: Mapping[str, Value], faults: list[Fault]
) -> dict[str, Value]:
    facts: dict[str, Value] = {}
    for name in sorted(given):
        where = f"/vehicle/facts/{escaped(name)}"
        definition = compiled.facts.get(name)
        if definition is None:
            mend = near(name, compiled.facts)
            faults.append(Fault(where, f"no fact is called {name!r}", mend))
            continue
        value = checked_value(definition, given[name], where, faults)
        if value is not None:
            facts[name] = value
    return facts


def checked_value(
    definition: FieldDefinition, value: Value, where: str, faults: list[Fault]
) -> Value | None:
    """The value as its kind wants it, or None with a fault."""
    typed = _typed(definition, value)
    if typed is None:
        kinds = {"text": "a text", "number": "a number", "whole": "a whole number"}
        kind = kinds.get(definition.kind, "true or false")
        faults.append(Fault(where, f"{value!r} is not {kind}", f"Give {kind}."))
    elif definition.values and typed not in definition.values:
        mend = f"Use one of: {', '.join(definition.values)}."
        faults.append(Fault(where, f"{value!r} is not allowed", mend))
        return None
    elif not isinstance(typed, str) and not _within(definition, typed):
        low = "-" if definition.minimum is None else f"{definition.minimum:g}"
        high = "-" if definition.maximum is None else f"{definition.maximum:g}"
        unit = f" {definition.unit}" if definition.unit else ""
        mend = f"Give a value from {low} to {high}{unit}."
        faults.append(Fault(where, f"{value!r} is out of range", mend))
        return None
    return typed


def _typed(definition: FieldDefinition, value: Value) -> Value | None:
    kind = definition.kind
    if kind == "text":
        return value if isinstance(value, str) else None
    if kind == "flag":
        return value if isinstance(value, bool) else None
    if isinstance(value, bool | str):
        return None
    if kind == "whole":
        return value if isinstance(value, int) else None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def _within(definition: FieldDefinition, value: float) -> bool:
    low, high = definition.minimum, definition.maximum
    return (low is None or value >= low) and (high is None or value <= high)


def _check_against(vehicle: Vehicle, facts: Mapping[str, Value], faults: list[Fault]) -> None:
    for name in _contradictions(vehicle, facts):
        if name == MODEL_YEAR:
            says = f"{vehicle.model_year_from} to {vehicle.model_year_to}"
        else:
            says = str(vehicle.facts[name])
        problem = f"{facts[name]!r} contradicts {vehicle.id!r}, where it is {says}"
        mend = "Leave the fact out, or name another machine."
        faults.append(Fault(f"/vehicle/facts/{escaped(name)}", problem, mend))


def _nothing_matches(compiled: CompiledCatalog, facts: Mapping[str, Value]) -> Fault:
    best = min(
        compiled.vehicles.values(),
        key=lambda v: (len(_contradictions(v, facts)), v.id),
        default=None,
    )
    if best is None:
        return Fault("/vehicle", "the catalog lists no machines", "Load vehicles.csv.")
    wrong = ", ".join(_contradictions(best, facts))
    mend = f"The nearest is {best.id!r}; it differs in {wrong}."
    return Fault("/vehicle/facts", "no machine in the catalog has these facts", mend)


# -- fitted parts ------------------------------------------------------------------


def with_fitted(
    compiled: CompiledCatalog, machine: Machine, given: tuple[FittedPart, ...]
) -> Machine:
    """The machine with what the request says is fitted. Raises Faulty."""
    faults: list[Fault] = []
    fitted = dict(machine.fitted)
    seen: set[str] = set()
    for index, entry in enumerate(given):
        where = f"/fitted/{index}"
        if entry.part_type in seen:
            mend = "Name each place once."
            faults.append(Fault(where, f"{entry.part_type!r} is named twice", mend))
        seen.add(entry.part_type)
        place = _place(compiled, entry, fitted.get(entry.part_type), where, faults)
        if place is not None:
            fitted[entry.part_type] = place
    if faults:
        raise Faulty(faults)
    return Machine(
        facts=machine.facts,
        fitted=fitted,
        vehicle=machine.vehicle,
        candidates=machine.candidates,
        signature=(tuple(sorted(machine.facts.items())), repr(given)),
    )


def _place(
    compiled: CompiledCatalog,
    entry: FittedPart,
    before: Fitted | None,
    where: str,
    faults: list[Fault],
) -> Fitted | None:
    part_type = compiled.part_types.get(entry.part_type)
    if part_type is None:
        mend = near(entry.part_type, compiled.part_types)
        problem = f"no part type is called {entry.part_type!r}"
        faults.append(Fault(f"{where}/part_type", problem, mend))
        return None
    if entry.run_km is not None and entry.run_km < 0:
        faults.append(Fault(f"{where}/run_km", "a distance below nil", "Give km from 0 up."))
    told = _told_properties(part_type.properties, entry.properties, where, faults)
    if entry.part is None and not entry.properties and before is not None:
        # Only the distance is told: the factory part stays what it is.
        return Fitted(
            key=before.key,
            title=before.title,
            properties=before.properties,
            run_km=entry.run_km,
            factory=entry.run_km is None,
            unsure=before.unsure,
        )
    key, properties, title = _named_part(compiled, entry, where, faults)
    return Fitted(key=key, title=title, properties={**properties, **told}, run_km=entry.run_km)


def _told_properties(
    declared: tuple[FieldDefinition, ...],
    told: Mapping[str, Value],
    where: str,
    faults: list[Fault],
) -> dict[str, Value]:
    by_name = {field.name: field for field in declared}
    found: dict[str, Value] = {}
    for name in sorted(told):
        place = f"{where}/properties/{escaped(name)}"
        definition = by_name.get(name)
        if definition is None:
            faults.append(Fault(place, f"no property is called {name!r}", near(name, by_name)))
            continue
        value = checked_value(definition, told[name], place, faults)
        if value is not None:
            found[name] = value
    return found


def _named_part(
    compiled: CompiledCatalog, entry: FittedPart, where: str, faults: list[Fault]
) -> tuple[PartKey | None, dict[str, Value | None], str]:
    if entry.part is None:
        return None, {}, "a part that is not in the catalog"
    key = find_number(compiled, entry.part, f"{where}/part", faults)
    if key is None:
        return None, {}, ""
    part = compiled.parts.get(key)
    if part is None:
        return key, {}, f"{key} (its properties are not in the catalog)"
    if part.part_type != entry.part_type:
        label = compiled.part_types[part.part_type].label
        problem = f"{key} is a {label.lower()}, not a {entry.part_type}"
        faults.append(Fault(f"{where}/part", problem, f"Say part_type {part.part_type!r}."))
    return key, properties_of(part), part.title


def find_number(
    compiled: CompiledCatalog, asked: PartKey, where: str, faults: list[Fault]
) -> PartKey | None:
    """The catalog's own spelling of a number; a missing brand is found where only one fits.

    Without a brand the number can hold it too, as ``Brand Number`` or ``Brand:Number``.
    """
    known = compiled.keys_by_number.get(asked.number.strip().upper(), [])
    brand = asked.brand.strip().casefold()
    if brand:
        known = [key for key in known if key.brand.casefold() == brand]
    elif not known:
        known = _written_out(compiled, asked.number)
    if len(known) == 1:
        return known[0]
    if known:
        brands = ", ".join(key.brand for key in known)
        problem = f"number {asked.number!r} is sold under several brands"
        faults.append(Fault(where, problem, f"Name the brand: {brands}."))
        return None
    mend = _near_number(compiled, asked)
    faults.append(Fault(where, f"no part or kit has the number {str(asked).strip()!r}", mend))
    return None


def _written_out(compiled: CompiledCatalog, text: str) -> list[PartKey]:
    """Keys that ``text`` spells with brand and number, in any case."""
    asked = " ".join(text.split()).casefold()
    return [
        key
        for keys in compiled.keys_by_number.values()
        for key in keys
        if asked in (str(key).casefold(), f"{key.brand}:{key.number}".casefold())
    ]


def _near_number(compiled: CompiledCatalog, asked: PartKey) -> str:
    """What a mistyped number may have meant: with its brand, or by the bare number."""
    keys = [key for group in compiled.keys_by_number.values() for key in group]
    if not asked.brand.strip():
        bare = close_names(asked.number.strip(), {key.number for key in keys})
        if bare:
            meant = [str(key) for number in bare for key in keys if key.number == number]
            return f"Did you mean {' or '.join(meant)}?"
    return near(str(asked).strip(), map(str, keys))
