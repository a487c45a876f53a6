"""Readers of YAML field values: a parsed value to what the field wants."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from rules.catalog_faults.wording import quoted
from rules.folder.cells import (
    LARGEST_WHOLE,
    UnreadableError,
    amount_reader,
    choice_reader,
    read_each,
    read_line,
)
from rules.money import decimal_text

T = TypeVar("T")


def text_field(value: object) -> str:
    """A text, trimmed. A number or true/false is not taken for one."""
    if not isinstance(value, str):
        raise UnreadableError(f"{_shown(value)} is not a text", _quote_mend(value))
    if not value.strip():
        raise UnreadableError("the text is empty", "Write something, or leave the field out.")
    return value.strip()


def line_field(value: object) -> str:
    """A text on one line."""
    return read_line(text_field(value))


def whole_field(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise UnreadableError(f"{_shown(value)} is not a whole number", "Write digits only.")
    if abs(value) > LARGEST_WHOLE:
        raise UnreadableError(f"{value} is too large", f"The largest is {LARGEST_WHOLE}.")
    return value


def number_field(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnreadableError(f"{_shown(value)} is not a number", "Write it as in 12.5.")
    return float(value)


def whole_or_expression(value: object) -> int | str:
    """A whole number, or the text of an expression that gives one."""
    if isinstance(value, str):
        return text_field(value)
    if isinstance(value, float):
        raise UnreadableError(
            f"{value} is not a whole number", "Write digits only, or an expression in quotes."
        )
    return whole_field(value)


def amount_field(exponent: int) -> Callable[[object], int]:
    """Reader of money written as a text in quotes; numbers are refused."""
    read_amount = amount_reader(exponent)

    def read_field(value: object) -> int:
        if isinstance(value, int | float) and not isinstance(value, bool):
            raise UnreadableError(
                f"{value} is a number; an amount is written as a text",
                f'Write it in quotes: "{_amount_shown(value, exponent)}".',
            )
        return read_amount(text_field(value))

    return read_field


def _amount_shown(value: float, exponent: int) -> str:
    if isinstance(value, int):
        return decimal_text(value * 10**exponent, exponent)
    return f"{value:.{exponent}f}"


def choice_field(choices: Mapping[str, T]) -> Callable[[object], T]:
    """Reader of one of a few words."""
    read_choice = choice_reader(choices)
    return lambda value: read_choice(text_field(value))


def texts_field(value: object) -> tuple[str, ...]:
    """A list of texts."""
    if not isinstance(value, list):
        raise UnreadableError(f"{_shown(value)} is not a list", "Write a list: [...].")
    return read_each(value, text_field)


def mapping_field(read_item: Callable[[object], T]) -> Callable[[object], Mapping[str, T]]:
    """Reader of names with a value each, as ``{thread_sealant: 1}``."""

    def read_field(value: object) -> Mapping[str, T]:
        if not isinstance(value, dict):
            raise UnreadableError(
                f"{_shown(value)} is not a list of names with values", "Write {name: value, ...}."
            )
        return dict(read_each(value.items(), read_entry))

    def read_entry(entry: tuple[str, object]) -> tuple[str, T]:
        name, item = entry
        try:
            return name, read_item(item)
        except UnreadableError as error:
            error.faults = tuple((f"{name}: {what}", mend) for what, mend in error.faults)
            raise

    return read_field


def plain_mapping(value: object) -> Mapping[str, object]:
    """A mapping of any depth, kept as it is (the request of a case)."""
    if not isinstance(value, dict):
        raise UnreadableError(f"{_shown(value)} is not a record", "Write names and values.")
    return value


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "nothing"
    return quoted(value) if isinstance(value, str) else quoted(value).strip("'\"")


def _quote_mend(value: object) -> str:
    if isinstance(value, dict | list):
        return "Write a text."
    return f'Write it in quotes: "{_shown(value)}".'
