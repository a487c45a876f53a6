"""Values that were written as text, on a command line or in a query."""

from __future__ import annotations

from typing import Final

from rules.catalog import FieldDefinition
from rules.values import Value

_flags: Final[dict[str, Value]] = {"true": True, "yes": True, "false": False, "no": False}


def typed(text: str, definition: FieldDefinition | None) -> Value:
    """``text`` read by its declared kind; left as text where it is not one, to be refused
    with the declared kind in the message. Not declared: text."""
    kind = definition.kind if definition else "text"
    if kind == "text":
        return text
    if kind == "flag":
        return _flags.get(text.casefold(), text)
    try:
        return float(text) if kind == "number" and "." in text else int(text)
    except ValueError:
        return text
