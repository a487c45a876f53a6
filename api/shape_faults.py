"""What the shapes find wrong, in sentences of our own. What was sent is never quoted back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, get_args, get_origin

from pydantic import BaseModel

from rules.identify import close_names

_said: Final[Mapping[str, tuple[str, str]]] = {
    "missing": ("It is missing", "Give it."),
    "string_type": ("It is not a text", "Give a text in quotation marks."),
    "int_type": ("It is not a whole number", "Give a whole number, without quotation marks."),
    "int_parsing": ("It is not a whole number", "Give a whole number."),
    "int_parsing_size": ("It has too many digits", "Give a smaller number."),
    "int_from_float": ("It is not a whole number", "Give a whole number."),
    "list_type": ("It is not a list", "Give a list in square brackets."),
    "dict_type": ("It is not an object", "Give an object in curly brackets."),
    "model_type": ("It is not an object", "Give an object in curly brackets."),
    "model_attributes_type": ("It is not an object", "Give an object in curly brackets."),
    "too_long": ("It has more than {max_length} entries", "Give at most {max_length}."),
    "too_short": ("It has fewer entries than {min_length}", "Give {min_length} or more."),
    "string_too_long": (
        "It is longer than {max_length} characters",
        "Give at most {max_length} characters.",
    ),
    "string_too_short": ("It is empty", "Give a text that is not empty, or leave it out."),
    "literal_error": ("It is none of {expected}", "Give one of {expected}."),
    "greater_than_equal": ("It is less than {ge}", "Give {ge} or more."),
    "less_than_equal": ("It is more than {le}", "Give {le} or less."),
    "value_kind": (
        "It is neither a text of 1 to {most} characters nor a number, true or false",
        "Give a text, a number, true or false.",
    ),
}
"""Pydantic's stable error types (https://docs.pydantic.dev/latest/errors/validation_errors/)."""

_otherwise: Final = ("It is not as declared", "Give it as /openapi.json declares it.")

_usual_names: Final = {
    "limit": "page_size",
    "size": "page_size",
    "per_page": "page_size",
    "page": "cursor",
    "offset": "cursor",
    "search": "q",
    "query": "q",
}
"""What other services call the parameters of a list."""


def said(error: Mapping[str, Any], shape: type[BaseModel] | None, noun: str) -> tuple[str, str]:
    """The problem and its mend; ``error`` as pydantic gives it, its ``loc`` from ``shape`` on.

    ``noun``: what an unknown name would have been, field or parameter.
    """
    kind, path = str(error["type"]), tuple(error["loc"])
    if kind == "extra_forbidden":
        names = fields_at(shape, path[:-1])
        return f"There is no such {noun} here", _other_name(str(path[-1]), names, noun)
    if kind == "string_pattern_mismatch":
        return "It is not a plain amount of money", amount_mend(error.get("input"))
    if kind == "missing" and not path:
        return "There is no body", "Send a JSON object."
    problem, mend = _said.get(kind, _otherwise)
    context = error.get("ctx", {})
    return problem.format(**context), mend.format(**context)


def _other_name(name: str, names: Sequence[str], noun: str) -> str:
    usual = _usual_names.get(name.casefold())
    close = [usual] if usual in names else close_names(name, names)
    if close:
        return f"Did you mean {' or '.join(map(str, close))}?"
    listed = f" The {noun}s here are: {', '.join(names)}." if names else ""
    return f"Leave it out.{listed}"


def fields_at(shape: type[BaseModel] | None, path: Sequence[object]) -> list[str]:
    """The names that the shape declares at a place: ``("fitted", 0)`` -> those of its rows."""
    here: Any = shape
    for step in path:
        model = _model_of(here)
        if model is not None:
            field = model.model_fields.get(str(step))
            here = field.annotation if field else None
        else:
            here = next(_members_of(here), None)
    found = _model_of(here)
    return list(found.model_fields) if found else []


def _model_of(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (list, dict):
        return None
    found = (_model_of(inner) for inner in get_args(annotation))
    return next((model for model in found if model is not None), None)


def _members_of(annotation: Any) -> Iterator[Any]:
    """What a list or a dict holds, under whatever it is wrapped in."""
    if get_origin(annotation) in (list, dict):
        yield get_args(annotation)[-1]
    else:
        for inner in get_args(annotation):
            yield from _members_of(inner)


_grouped: Final = re.compile(r"([0-9]{1,3}(?:[., '’\u00a0\u202f][0-9]{3})*)(?:[.,]([0-9]{1,2}))?")


def amount_mend(given: object) -> str:
    """How to write an amount: ``1.500,00`` -> ``Write 1500.00.``"""
    text = given.strip() if isinstance(given, str) else ""
    read = _grouped.fullmatch(text)
    if read and len(text) <= 30:
        whole = re.sub(r"[^0-9]", "", read[1])
        return f"Write {whole}.{read[2]}." if read[2] else f"Write {whole}.00 or {whole}."
    if text.startswith("-"):
        return "Write an amount from 0 up, such as 1500.00."
    return "Write digits with at most one dot, such as 1500.00."
