"""YAML text to plain values, the strict way, and back in one fixed form.

Scalars follow the core schema of YAML 1.2 in its decimal spellings: ``true``/``false``,
``null``/``~``/nothing, whole numbers, decimal numbers; everything else is text (``yes``,
``off``, ``12:30`` and ``2020-01-01`` too). Anchors, aliases, tags and second documents are
refused: a catalog needs none of them, and they can blow a small file up.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from math import isfinite
from typing import Any, NoReturn

import yaml

from rules.catalog_faults.wording import quoted
from rules.folder.plain_text import composed, refused_character
from rules.folder.report import Report

DEEPEST = 12
"""Levels of nesting; a catalog needs seven (a fitted part's property in a case)."""

MOST_EVENTS = 1_000_000

LONGEST_NUMBER = 40
"""Digits; keeps a huge whole number from being converted at all."""

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WHOLE = re.compile(r"[-+]?[0-9]+")
_NUMBER = re.compile(r"[-+]?[0-9]+(\.[0-9]*)?([eE][-+]?[0-9]+)?|[-+]?\.[0-9]+([eE][-+]?[0-9]+)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9]")
_WORDS: Mapping[str, bool | None] = {
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
    "null": None,
    "Null": None,
    "NULL": None,
    "~": None,
    "": None,
}


class _RefusedYamlError(Exception):
    def __init__(self, line: int, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.line, self.problem, self.mend = line, problem, mend


def parse_yaml(file: str, text: str, report: Report) -> tuple[bool, object]:
    """(read, value): the one document of the text as dict, list, str, int, float, bool or None.

    When it cannot be read the fault is in the report at ``file:line``. Keys written twice
    are reported too, and the value is then read with the first of them.
    """
    try:
        return True, _Builder(file, report).document(yaml.parse(text, Loader=_LOADER))
    except _RefusedYamlError as refused:
        report.add_break(f"{file}:{refused.line}", refused.problem, refused.mend)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        report.add_break(
            f"{file}:{line}", f"not YAML: {error.problem}", "Mend the line or its indent."
        )
    except yaml.YAMLError as error:
        report.add_break(file, f"not YAML: {str(error).splitlines()[0]}", "Mend the text.")
    return False, None


class _Builder:
    """Builds values from parser events, so that nothing is expanded before it is looked at."""

    def __init__(self, file: str, report: Report) -> None:
        self._file = file
        self._report = report
        self._count = 0

    def document(self, events: Iterator[yaml.Event]) -> object:
        self._events = events
        value: object = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    _refuse(event, "a second document starts", "Keep one document in a file.")
                value = self._value(self._next(), 0)
        return value

    def _next(self) -> yaml.Event:
        self._count += 1
        event = next(self._events)
        if self._count > MOST_EVENTS:
            _refuse(event, "the file holds too many values", "Split it.")
        return event

    def _value(self, event: yaml.Event, depth: int) -> object:
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            _refuse(event, "anchors and aliases are not read", "Write the value out.")
        if getattr(event, "tag", None):
            _refuse(
                event,
                f"the tag {quoted(getattr(event, 'tag', ''))} is not read",
                "Leave the tag out.",
            )
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event)
        if depth >= DEEPEST:
            _refuse(event, f"nested deeper than {DEEPEST} levels", "Write it flatter.")
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(depth)
        return self._mapping(depth)

    def _sequence(self, depth: int) -> list[object]:
        items: list[object] = []
        while not isinstance(event := self._next(), yaml.SequenceEndEvent):
            items.append(self._value(event, depth + 1))
        return items

    def _mapping(self, depth: int) -> dict[str, object]:
        entries: dict[str, object] = {}
        while not isinstance(event := self._next(), yaml.MappingEndEvent):
            key = self._value(event, depth + 1)
            if not isinstance(key, str):
                _refuse(event, "a key that is not a word", "Write the key in quotes.")
            value = self._value(self._next(), depth + 1)
            if key in entries:
                self._report.add(
                    f"{self._file}:{_line(event)}",
                    f"the key {quoted(key)} is written twice",
                    "Keep one of the two.",
                )
            entries.setdefault(key, value)
        return entries


def _scalar(event: yaml.ScalarEvent) -> object:
    text = composed(event.value)
    if refused := refused_character(text):
        _refuse(event, f"holds the character {refused}", "Take it out.")
    if not event.implicit[0]:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if not _NUMBER.fullmatch(text):
        return text
    if _LEADING_ZERO.match(text):
        _refuse(
            event,
            f"the number {text} has a leading zero",
            "Write it in quotes if it is a text, without the zero if it is a number.",
        )
    if len(text) > LONGEST_NUMBER:
        _refuse(event, "a number with too many digits", "Write it in quotes if it is a text.")
    if _WHOLE.fullmatch(text):
        return int(text)
    number = float(text)
    if not isfinite(number):
        _refuse(event, f"{text} is too large a number", "Write a smaller one.")
    return number


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _refuse(event: yaml.Event, problem: str, mend: str) -> NoReturn:
    raise _RefusedYamlError(_line(event), problem, mend)


# Writing. The digest of an edition is taken over this text, so the form is fixed here and
# does not depend on the version of a library.

_PLAIN = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(?:[ ./-][A-Za-z0-9_]+)*\.?")
_NOT_PLAIN = {
    "true",
    "false",
    "null",
    "yes",
    "no",
    "on",
    "off",
    "y",
    "n",
}
"""Words that some YAML readers take for something other than text."""


def write_yaml(value: Mapping[str, object]) -> str:
    """Block style, two spaces; lists of plain words on one line; other texts in JSON quotes."""
    return "".join(f"{line}\n" for line in _mapping_lines(value))


def _mapping_lines(value: Mapping[str, object]) -> Iterator[str]:
    for key, item in value.items():
        yield from _entry_lines(_text(key), item)


def _entry_lines(key: str, item: object) -> Iterator[str]:
    if (inline := _inline(item)) is not None:
        yield f"{key}: {inline}"
        return
    yield f"{key}:"
    yield from (f"  {line}" for line in _block_lines(item))


def _block_lines(item: object) -> Iterator[str]:
    if isinstance(item, Mapping):
        yield from _mapping_lines(item)
    elif isinstance(item, Sequence):
        for element in item:
            yield from _item_lines(element)


def _item_lines(element: object) -> Iterator[str]:
    if (inline := _inline(element)) is not None:
        yield f"- {inline}"
        return
    for index, line in enumerate(_block_lines(element)):
        yield f"{'- ' if index == 0 else '  '}{line}"


def _inline(item: object) -> str | None:
    """The value on one line, or None when it needs lines of its own."""
    if isinstance(item, Mapping):
        return None if item else "{}"
    if isinstance(item, Sequence) and not isinstance(item, str):
        plain = all(isinstance(one, str) and _is_plain(one) for one in item)
        return f"[{', '.join(map(_scalar_text, item))}]" if plain else None
    return _scalar_text(item)


def _scalar_text(value: object) -> str:
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    if isinstance(value, int | float) and isfinite(value):
        return repr(value)
    raise TypeError(f"{value!r} has no place in a catalog file")


def _text(value: str) -> str:
    return value if _is_plain(value) else json.dumps(value, ensure_ascii=False)


def _is_plain(value: str) -> bool:
    return bool(_PLAIN.fullmatch(value)) and value.lower() not in _NOT_PLAIN
