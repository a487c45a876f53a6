"""Requests with something left out, every way they could turn out, and what was promised."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from rules.answer import BuildList, CaseLine
from rules.catalog import Catalog, Vehicle
from rules.request import BuildRequest, FittedPart
from rules.values import Value

Values = dict[str, tuple[Value, ...]]


def without(request: BuildRequest, names: frozenset[str]) -> BuildRequest:
    """The request with these facts left out; ``vehicle`` leaves out which configuration it is,
    ``fitted`` what is known of parts that are not the factory's."""
    facts = {name: value for name, value in request.facts.items() if name not in names}
    asked = replace(request, facts=facts)
    if "vehicle" in names:
        asked = replace(asked, vehicle_id=None)
    if "fitted" in names:
        asked = replace(asked, fitted=tuple(_gap(one) for one in asked.fitted))
    return asked


def _gap(fitted: FittedPart) -> FittedPart:
    """One property less, and the distance not known."""
    told = dict(fitted.properties)
    if told:
        told.pop(sorted(told)[0])
    return replace(fitted, properties=told, run_km=None)


def told_in_full(catalog: Catalog, asked: BuildRequest, values: Values) -> Iterator[BuildRequest]:
    """Every machine that ``asked`` could be, with one of ``values`` for each open fact."""
    for vehicle in catalog.vehicles:
        if asked.vehicle_id not in (None, vehicle.id) or not _fits(vehicle, asked):
            continue
        open_ = {
            name: _of(vehicle, name, options)
            for name, options in values.items()
            if name not in asked.facts and name not in vehicle.facts
        }
        for chosen in product(*open_.values()):
            facts = {**asked.facts, **dict(zip(open_, chosen, strict=True))}
            yield replace(asked, vehicle_id=vehicle.id, facts=facts)


def _fits(vehicle: Vehicle, asked: BuildRequest) -> bool:
    year = asked.facts.get("model_year", vehicle.model_year_from)
    inside = isinstance(year, int) and vehicle.model_year_from <= year <= vehicle.model_year_to
    return inside and all(asked.facts.get(n, v) == v for n, v in vehicle.facts.items())


def _of(vehicle: Vehicle, name: str, options: tuple[Value, ...]) -> tuple[Value, ...]:
    if name == "model_year":
        return tuple(range(vehicle.model_year_from, vehicle.model_year_to + 1))
    return options


def holds(line: CaseLine, answer: BuildList) -> bool:
    """Whether a line is in an answer."""
    known: dict[str, set[object]] = {
        "place": {one.part_type for one in answer.parts},
        "part": {(one.part_type, one.part) for one in answer.parts},
        "kit": {one.kit for one in answer.kits},
        "step": {one.step for one in answer.steps},
        "sent_out": {one.step for one in answer.sent_out},
        "tool": {one.tool for one in answer.tools},
        "consumable": {one.consumable for one in answer.consumables},
    }
    what: object = line.ref
    if line.kind == "part":
        what = (line.ref, line.part)
    elif line.kind == "kit":
        what = line.part
    return what in known[line.kind]


def build_of(answer: BuildList) -> object:
    """What a customer would see differ."""
    return (
        answer.status,
        [(one.part, one.quantity, one.packs, one.from_kit) for one in answer.parts],
        [one.kit for one in answer.kits],
        sorted((one.step, one.sent_out, one.minutes) for one in answer.steps),
        answer.totals and answer.totals.total,
    )


def broken_promises(before: BuildList, after: BuildList) -> list[str]:
    """What was said while facts were missing and is not so now; empty: nothing."""
    broken = [f"not in it: {line}" for line in before.always if not holds(line, after)]
    if after.totals is None:
        return broken
    total = after.totals.total.minor
    if before.total_from is not None and total < before.total_from.minor:
        broken.append(f"{total} below {before.total_from}")
    if before.total_to is not None and total > before.total_to.minor:
        broken.append(f"{total} above {before.total_to}")
    return broken
