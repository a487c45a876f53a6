"""A wish written on a command line, in the shape of the JSON request."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Mapping
from typing import Any, Final, get_args

from api.typed import typed
from rules.catalog import FieldDefinition
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.request import Aim

JsonObject = dict[str, Any]

_part_help: Final = "BRAND:NUMBER or 'BRAND NUMBER', in any case, or NUMBER alone"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options that describe a machine and a wish."""
    machine = parser.add_argument_group("the machine")
    machine.add_argument("--vehicle", metavar="ID", help="a configuration (see: machines)")
    _many(machine, "--fact", "NAME=VALUE", "a fact of the machine (see: facts); repeatable")
    _many(
        machine,
        "--fitted",
        "PLACE[=PART][@KM]",
        f"what sits there in place of the factory part; PART is {_part_help}; KM it has run",
    )
    _many(machine, "--measured", "PLACE.PROPERTY=VALUE", "a property of a fitted part")
    wish = parser.add_argument_group("the wish")
    _many(wish, "--job", "ID", "a job (see: jobs)")
    _many(wish, "--want", "PART", f"a part or kit that must be on it: {_part_help}")
    _many(wish, "--refuse", "PART", "a part that is not to be bought")
    _many(wish, "--keep", "PLACE", "a part type that stays as it is (see: places)")
    _many(wish, "--add-on", "PLACE", "an add-on taken")
    _many(wish, "--tool", "ID", "a special tool at hand (see: tools), in place of the cabinet")
    wish.add_argument("--no-tools", action="store_true", help="no special tool is at hand")
    wish.add_argument("--aim", choices=get_args(Aim), help="(cost)")
    wish.add_argument("--budget", metavar="AMOUNT", help="tax included; names the best add-ons")


def _many(group: argparse._ArgumentGroup, flag: str, metavar: str, text: str) -> None:
    group.add_argument(flag, action="append", default=[], metavar=metavar, help=text)


def written(given: argparse.Namespace, compiled: CompiledCatalog) -> JsonObject:
    """The request's JSON. Values are read by the kind that the catalog declares.

    Raises Faulty with every option that cannot be read.
    """
    reader = _Reader(compiled)
    body: JsonObject = {
        "vehicle": {"facts": reader.facts(given.fact)},
        "jobs": given.job,
        "parts_wanted": [part(text) for text in given.want],
        "parts_refused": [part(text) for text in given.refuse],
        "keep": given.keep,
        "fitted": reader.fitted(given.fitted, given.measured),
        "add_ons": given.add_on,
        "aim": given.aim or "cost",
    }
    if given.vehicle is not None:
        body["vehicle"]["id"] = given.vehicle
    if given.budget is not None:
        body["budget"] = given.budget
    if given.tool or given.no_tools:
        body["tools_owned"] = given.tool
    if reader.faults:
        raise Faulty(reader.faults)
    return body


_options: Final = (
    "vehicle", "fact", "fitted", "measured", "job", "want", "refuse", "keep", "add_on", "tool",
    "no_tools", "aim", "budget",
)  # fmt: skip


def options_given(given: argparse.Namespace) -> list[str]:
    """The options of ``add_arguments`` that were typed."""
    typed_ones = (name for name in _options if getattr(given, name) not in (None, False, []))
    return [f"--{name.replace('_', '-')}" for name in typed_ones]


def facts_only(given: Iterable[str], compiled: CompiledCatalog) -> JsonObject:
    """``NAME=VALUE`` texts as facts. Raises Faulty."""
    reader = _Reader(compiled)
    facts = reader.facts(given)
    if reader.faults:
        raise Faulty(reader.faults)
    return facts


def part(text: str) -> JsonObject:
    """``Corvane:CV-2210`` -> brand and number; without a colon the number alone."""
    brand, colon, number = text.partition(":")
    if not colon:
        return {"number": text}
    return {"number": number, **({"brand": brand} if brand else {})}


class _Reader:
    def __init__(self, compiled: CompiledCatalog) -> None:
        self.compiled = compiled
        self.faults: list[Fault] = []

    def facts(self, given: Iterable[str]) -> JsonObject:
        found: JsonObject = {}
        for text in given:
            name, value = self._pair("--fact", text, "model_year=2001")
            if name in found:
                self._twice("--fact", name)
            elif name:
                found[name] = typed(value, self.compiled.facts.get(name))
        return found

    def fitted(self, given: Iterable[str], measured: Iterable[str]) -> list[JsonObject]:
        places: dict[str, JsonObject] = {}
        for entry in map(self._fitted, given):
            if entry["part_type"] in places:
                self._twice("--fitted", entry["part_type"])
            places[entry["part_type"]] = entry
        for text in measured:
            name, value = self._pair("--measured", text, "camshaft.valve_lift_mm=11.9")
            place, dot, field = name.partition(".")
            if name and not dot:
                self._fault("--measured", text, "Write PLACE.PROPERTY=VALUE.")
            elif name:
                entry = places.setdefault(place, {"part_type": place})
                definition = self._properties(place).get(field)
                properties = entry.setdefault("properties", {})
                if field in properties:
                    self._twice("--measured", name)
                properties[field] = typed(value, definition)
        return list(places.values())

    def _fitted(self, text: str) -> JsonObject:
        rest, at, run = text.rpartition("@")
        place, equals, number = (rest if at else text).partition("=")
        entry: JsonObject = {"part_type": place}
        if equals:
            entry["part"] = part(number)
        if at and run.isascii() and run.isdigit():
            entry["run_km"] = int(run)
        elif at:
            self._fault("--fitted", text, "Write whole kilometres after the @.")
        return entry

    def _properties(self, place: str) -> Mapping[str, FieldDefinition]:
        known = self.compiled.part_types.get(place)
        return {field.name: field for field in known.properties} if known else {}

    def _pair(self, option: str, text: str, example: str) -> tuple[str, str]:
        name, equals, value = text.partition("=")
        if not equals or not name:
            self._fault(option, text, f"Write NAME=VALUE, as in {option} {example}.")
            return "", ""
        return name, value

    def _twice(self, option: str, name: str) -> None:
        self.faults.append(Fault(option, f"{name!r} is given twice", "Give it once."))

    def _fault(self, option: str, text: str, mend: str) -> None:
        self.faults.append(Fault(option, f"{text!r} cannot be read", mend))
