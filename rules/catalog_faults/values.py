"""What a fact or property may hold, and whether a value is that."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from math import inf, isfinite
from typing import Final

from rules.catalog import FieldDefinition
from rules.catalog_faults.wording import nearest, quoted
from rules.expressions.units import parse_unit
from rules.faults import Fault
from rules.values import Value

MEASURED: Final = ("number", "whole")

UNIT_ENDINGS: Final = (
    "mm",
    "cm",
    "cc",
    "ml",
    "km",
    "kg",
    "kw",
    "nm",
    "deg",
    "rpm",
    "bar",
    "kpa",
    "mpa",
    "ohm",
    "km_h",
    "m_s",
    "l_s",
    "g_s",
    "cc_min",
    "n_per_mm",
    "g_per_kwh",
)
"""Endings that nobody reads as anything but a unit. One letter is left out on purpose."""

LONGEST_UNIT_WORDS: Final = 4
"""A unit in a name is at most so many words: ``n_per_mm`` is three."""


def definition_faults(where: str, definition: FieldDefinition) -> Iterator[Fault]:
    """What is wrong with a declared fact or property itself."""
    if definition.kind in MEASURED:
        yield from _bounds(where, definition)
    yield from _out_of_kind(where, definition)
    yield from _allowed_texts(where, definition)
    yield from _unit(where, definition)


def _bounds(where: str, definition: FieldDefinition) -> Iterator[Fault]:
    low, high = definition.minimum, definition.maximum
    if low is not None and high is not None and low > high:
        yield Fault(
            f"{where}:minimum",
            f"the minimum {shown(low)} is above the maximum {shown(high)}",
            "Swap the two.",
        )
    for field, bound in (("minimum", low), ("maximum", high)):
        if bound is not None and not isfinite(bound):
            yield Fault(
                f"{where}:{field}",
                "the bound is not a finite number",
                "Write a number, or leave it out.",
            )


def _out_of_kind(where: str, definition: FieldDefinition) -> Iterator[Fault]:
    if definition.values and definition.kind != "text":
        yield Fault(
            f"{where}:values",
            f"only texts have a list of values, not a {definition.kind}",
            "Take the list out, or make the kind text.",
        )
    if definition.kind not in MEASURED:
        for field, value in (
            ("minimum", definition.minimum),
            ("maximum", definition.maximum),
            ("unit", definition.unit),
        ):
            if value is not None:
                yield Fault(
                    f"{where}:{field}",
                    f"a {definition.kind} has no {field}",
                    "Take it out, or make the kind number or whole.",
                )


def _allowed_texts(where: str, definition: FieldDefinition) -> Iterator[Fault]:
    seen: set[str] = set()
    for text in definition.values:
        if text in seen:
            yield Fault(f"{where}:values", f"{quoted(text)} is in the list twice", "Keep it once.")
        if "|" in text:
            yield Fault(
                f"{where}:values",
                f"{quoted(text)} holds a |, which separates choices",
                "Choose a text without it.",
            )
        seen.add(text)


def _unit(where: str, definition: FieldDefinition) -> Iterator[Fault]:
    if definition.kind not in MEASURED:
        return
    words = definition.name.split("_")
    endings = [
        "_".join(words[-count:]) for count in range(1, LONGEST_UNIT_WORDS + 1) if count < len(words)
    ]
    if definition.unit is None:
        shown = next((ending for ending in reversed(endings) if ending in UNIT_ENDINGS), None)
        if shown:
            yield Fault(
                f"{where}:unit",
                f"the name ends in _{shown} but no unit is given",
                f"Add unit: {shown}, or take the ending off the name.",
            )
        return
    unit = parse_unit(definition.unit)
    if not any(parse_unit(ending) == unit for ending in endings):
        yield Fault(
            f"{where}:unit",
            f"the unit {quoted(definition.unit)} is not what the name ends in",
            f"End the name in the unit, as in {words[0]}_{_in_a_name(definition.unit)}, "
            "or mend the unit.",
        )


def _in_a_name(unit: str) -> str:
    return unit.lower().replace("/", "_per_").replace("·", "")


def value_faults(where: str, definition: FieldDefinition, value: Value) -> Iterator[Fault]:
    """A value that is not of the kind, not allowed, or out of range."""
    if not _is_of_kind(definition.kind, value):
        yield Fault(
            where, f"{quoted(value)} is not a {definition.kind}", f"Write a {definition.kind}."
        )
    elif isinstance(value, str):
        yield from _text_faults(where, value, definition.values)
    elif not isinstance(value, bool):
        yield from _range_faults(where, definition, value)


def _is_of_kind(kind: str, value: Value) -> bool:
    if isinstance(value, bool):
        return kind == "flag"
    wanted = {str: "text", int: "whole", float: "number"}[type(value)]
    return kind == wanted and (isinstance(value, str) or isfinite(value))


def _text_faults(where: str, text: str, allowed: Collection[str]) -> Iterator[Fault]:
    if allowed and text not in allowed:
        near = nearest(text, allowed)
        hint = f"Did you mean {quoted(near)}? " if near else ""
        yield Fault(
            where, f"{quoted(text)} is not allowed here", f"{hint}Allowed: {', '.join(allowed)}."
        )


def _range_faults(where: str, definition: FieldDefinition, value: float) -> Iterator[Fault]:
    low = -inf if definition.minimum is None else definition.minimum
    high = inf if definition.maximum is None else definition.maximum
    unit = f" {definition.unit}" if definition.unit else ""
    if value < low <= high:
        yield Fault(
            where,
            f"{shown(value)}{unit} is below the minimum {shown(low)}{unit}",
            "Mend the value, or the minimum in catalog.yaml.",
        )
    if value > high >= low:
        yield Fault(
            where,
            f"{shown(value)}{unit} is above the maximum {shown(high)}{unit}",
            "Mend the value, or the maximum in catalog.yaml.",
        )


def shown(number: float) -> str:
    """Without the decimal that a whole number does not need: 20.0 -> "20"."""
    return repr(number).removesuffix(".0")
