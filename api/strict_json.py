"""JSON read strictly: RFC 8259 kept to I-JSON (RFC 7493), because money hangs on it.

Refused whole: bytes that are not UTF-8, NaN and infinities, numbers past the range of a
double, one name twice in an object, lone surrogates, U+0000 and absurd nesting. The
standard parser lets the last four of these through.
"""

from __future__ import annotations

import json
import math
import re
from typing import Final

Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None

max_depth: Final = 32
"""Deeper than any request of ours by far, and shallow enough for every parser after this one."""

exact_whole: Final = 2**53 - 1
"""Whole numbers past this lose digits in readers that hold numbers as doubles (RFC 7493 s. 2.2)."""


class NotStrictJson(ValueError):
    """Why the text was refused, in one sentence without its final stop."""


class _Token(ValueError):
    """A number that cannot be taken, spelled ``text``; the parser tells its hooks no place."""

    def __init__(self, text: str, problem: str) -> None:
        super().__init__(problem)
        self.text = text


_tokens: Final = re.compile(r'"(?:[^"\\]|\\.)*"|[^\s\[\]{},:"]+')
"""Texts whole, so that nothing inside one is taken for a number."""


def loads(body: bytes) -> Json:
    """Read one JSON value. Raises NotStrictJson, never another error, whatever the bytes."""
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise NotStrictJson(f"byte {error.start} is not UTF-8") from None
    try:
        value: Json = json.loads(
            text,
            object_pairs_hook=_object,
            parse_float=_number,
            parse_int=_whole,
            parse_constant=_constant,
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise NotStrictJson(f"it is not JSON at {where}: {error.msg}") from None
    except RecursionError:
        raise NotStrictJson(f"it is nested more than {max_depth} deep") from None
    except _Token as error:
        where = _place_of(error.text, text)
        raise NotStrictJson(f"{error} at {where}") from None
    _inspect(value)
    return value


def _object(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for place, name in enumerate(names) if name in names[:place])
        raise NotStrictJson(f"the name {printable(twice)} stands twice in one object")
    return members


def _number(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise _Token(text, "a number is past the range of a double")
    return value


def _whole(text: str) -> int:
    # Length first: int() itself refuses, with an error of its own, past some thousands of digits.
    if len(text) > len(str(exact_whole)) + 1 or abs(int(text)) > exact_whole:
        raise _Token(text, f"a whole number is past {exact_whole}, where digits are lost,")
    return int(text)


def _constant(text: str) -> Json:
    raise _Token(text, f"{text} is not a JSON number")


def _place_of(token: str, text: str) -> str:
    """Line and column of the first such token. The parser reads from the front and stops at the
    first that it cannot take, so the first of the same spelling is the one it stopped at."""
    tokens = (found for found in _tokens.finditer(text) if found[0] == token)
    start = next((found.start() for found in tokens), 0)
    line = text.count("\n", 0, start) + 1
    return f"line {line}, column {start - text.rfind(chr(10), 0, start)}"


def _inspect(value: Json) -> None:
    """Walk with a list of our own, so that depth costs no stack."""
    rest: list[tuple[Json, int]] = [(value, 0)]
    while rest:
        item, depth = rest.pop()
        if depth > max_depth:
            raise NotStrictJson(f"it is nested more than {max_depth} deep")
        if isinstance(item, str):
            _inspect_text(item)
        elif isinstance(item, list):
            rest += [(member, depth + 1) for member in item]
        elif isinstance(item, dict):
            rest += [(member, depth + 1) for pair in item.items() for member in pair]


def _inspect_text(text: str) -> None:
    if "\0" in text:
        raise NotStrictJson("a text holds the character U+0000")
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise NotStrictJson("a text holds half of a surrogate pair")


def printable(text: str, limit: int = 60) -> str:
    """A caller's text made safe to quote back: ASCII, short, in quotation marks."""
    shortened = text if len(text) <= limit else text[:limit] + "..."
    return json.dumps(shortened)
