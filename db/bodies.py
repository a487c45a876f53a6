"""Catalog records as JSON values and back, by their declared types."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")


def to_body(value: object) -> Any:
    """Dataclasses and mappings to dicts, tuples to lists, everything else as it is."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_body(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {key: to_body(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [to_body(item) for item in value]
    return value


def from_body(kind: type[T], body: Mapping[str, Any]) -> T:
    """The dataclass ``kind`` with its fields from ``to_body``.

    A field that is not in the body, as in editions from before there was such a field, takes
    its default. Raises TypeError where it has none.
    """
    hints = _hints(cast(Any, kind))
    return kind(**{name: _value(hints[name], body[name]) for name in hints if name in body})


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _value(hint: Any, body: Any) -> Any:
    origin = get_origin(hint)
    if origin is tuple:
        return tuple(_value(get_args(hint)[0], item) for item in body)
    if origin is Mapping:
        return {key: _value(get_args(hint)[1], item) for key, item in body.items()}
    if origin in (Union, UnionType) and body is not None:
        return _value_of_union(get_args(hint), body)
    if is_dataclass(hint) and isinstance(hint, type):
        return from_body(hint, body)
    return body


def _value_of_union(hints: tuple[Any, ...], body: Any) -> Any:
    """An optional dataclass is a dict; every other union here is of plain values."""
    records = [hint for hint in hints if is_dataclass(hint)]
    return _value(records[0], body) if records and isinstance(body, dict) else body
