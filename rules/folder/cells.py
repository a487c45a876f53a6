"""One written value at a time: text to value, or what is wrong with it and what mends it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from math import isfinite
from typing import Final, TypeVar

from rules.catalog import ValueKind
from rules.catalog_faults.wording import nearest, quoted
from rules.money import decimal_text, minor_units
from rules.values import Value

S = TypeVar("S")
T = TypeVar("T")

LARGEST_WHOLE: Final = 2**53 - 1
"""The largest whole number that a JSON reader with doubles keeps (RFC 7493 section 2.2)."""

LONGEST_AMOUNT = 16
"""Characters of a money amount: a thousand million with decimals is far inside."""

_WHOLE = re.compile(r"-?[0-9]{1,16}")
_NUMBER = re.compile(r"-?[0-9]{1,400}(\.[0-9]{1,400})?([eE][-+]?[0-9]{1,4})?")
_AMOUNT = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_GROUPED = re.compile(r"-?[0-9]{1,3}([ ,.'’  ][0-9]{3})+([.,][0-9]+)?")
_FLAGS: Mapping[str, bool] = {"yes": True, "no": False}


class UnreadableError(ValueError):
    """A written value that cannot be what its place wants."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.faults: tuple[tuple[str, str], ...] = ((problem, mend),)


def read_each(items: Iterable[S], reader: Callable[[S], T]) -> tuple[T, ...]:
    """Every item read. Raises UnreadableError with the faults of all that cannot be."""
    read: list[T] = []
    error: UnreadableError | None = None
    for item in items:
        try:
            read.append(reader(item))
        except UnreadableError as found:
            if error is None:
                error = found
            else:
                error.faults += found.faults
    if error is not None:
        raise error
    return tuple(read)


def read_text(text: str) -> str:
    return text


def read_line(text: str) -> str:
    """A text on one line: names, numbers and titles are printed in one."""
    if "\n" in text or "\t" in text:
        raise UnreadableError("a line break or tab inside the text", "Write it on one line.")
    return text


def read_whole(text: str) -> int:
    """A whole number in decimal digits, at most 2**53 - 1 either way."""
    if not _WHOLE.fullmatch(text):
        raise UnreadableError(f"{quoted(text)} is not a whole number", _whole_mend(text))
    value = int(text)
    if abs(value) > LARGEST_WHOLE:
        raise UnreadableError(f"{text} is too large", f"The largest is {LARGEST_WHOLE}.")
    return value


def _whole_mend(text: str) -> str:
    if _GROUPED.fullmatch(text):
        return "Write the digits without separators between thousands."
    return "Write digits only, as in 1200."


def read_number(text: str) -> float:
    """A finite decimal number with a dot; an exponent is read (``1e-7``), NaN is not."""
    if not _NUMBER.fullmatch(text):
        raise UnreadableError(f"{quoted(text)} is not a number", _number_mend(text))
    value = float(text)
    if not isfinite(value):
        raise UnreadableError(f"{text} is too large", "Write a number below 1e308.")
    return value + 0.0  # minus nought becomes nought: equal values have one text


def _number_mend(text: str) -> str:
    if re.fullmatch(r"-?[0-9]+,[0-9]+", text):
        return f"Write a dot for the decimals, as in {text.replace(',', '.')}."
    if _GROUPED.fullmatch(text):
        return "Write the digits without separators between thousands, a dot for the decimals."
    return "Write digits, with a dot before the decimals, as in 12.5."


def read_flag(text: str) -> bool:
    if text not in _FLAGS:
        raise UnreadableError(f"{quoted(text)} is neither yes nor no", "Write yes or no.")
    return _FLAGS[text]


def amount_reader(exponent: int) -> Callable[[str], int]:
    """Reader of a plain decimal amount of money into minor units."""

    def read_amount(text: str) -> int:
        if not _AMOUNT.fullmatch(text) or len(text) > LONGEST_AMOUNT:
            raise UnreadableError(
                f"{quoted(text)} is not an amount of money", _amount_mend(text, exponent)
            )
        try:
            return minor_units(text, exponent)
        except ValueError:
            raise UnreadableError(
                f"{text} has more than {exponent} decimals",
                f"Write at most {exponent}, as in {decimal_text(1990, exponent)}.",
            ) from None

    return read_amount


def _amount_mend(text: str, exponent: int) -> str:
    if _GROUPED.fullmatch(text) or "," in text:
        return "Write a dot for the decimals and nothing between thousands, as in " + (
            f"{decimal_text(123450, exponent)}."
        )
    return f"Write digits alone, as in {decimal_text(1990, exponent)}."


def choice_reader(choices: Mapping[str, T]) -> Callable[[str], T]:
    """Reader of one of a few words; the mapping gives each word's value."""

    def read_choice(text: str) -> T:
        if text not in choices:
            near = nearest(text, choices)
            hint = f"Did you mean {quoted(near)}? " if near else ""
            raise UnreadableError(
                f"{quoted(text)} is not one of the choices",
                f"{hint}Write one of: {', '.join(choices)}.",
            )
        return choices[text]

    return read_choice


VALUE_READERS: Final[Mapping[ValueKind, Callable[[str], Value]]] = {
    "text": read_line,
    "number": read_number,
    "whole": read_whole,
    "flag": read_flag,
}
"""How a cell of each kind of fact or property is read."""


def number_text(value: float) -> str:
    """The shortest decimal that reads back as the same double: 5.0 -> "5", 0.1 -> "0.1"."""
    return repr(float(value) + 0.0).removesuffix(".0")


def value_text(value: Value) -> str:
    """The cell of a fact or property value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return number_text(value)
    return str(value)
