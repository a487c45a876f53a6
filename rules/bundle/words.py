"""Numbers and counts as a counter hand says them."""

from __future__ import annotations

from collections.abc import Iterable


def amount(count: int, counted_in: str) -> str:
    """``1 piece``, ``4 pieces``, ``3400 ml``."""
    if counted_in != "piece":
        return f"{count} {counted_in}"
    return f"{count} piece{'' if count == 1 else 's'}"


def counts(need: int, have: int, counted_in: str) -> str:
    """``4 pieces needed, 2 here``."""
    here = str(have) if counted_in == "piece" else amount(have, counted_in)
    return f"{amount(need, counted_in)} needed, {here} here"


def packs(count: int, pack_quantity: int, counted_in: str) -> str:
    """``2``, or ``1 pack of 4``, ``2 packs of 1000 ml`` where a pack holds more than one."""
    if pack_quantity == 1:
        return str(count)
    unit = "" if counted_in == "piece" else f" {counted_in}"
    return f"{count} pack{'' if count == 1 else 's'} of {pack_quantity}{unit}"


def joined(words: Iterable[object], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    *most, end = [*map(str, words)] or [""]
    return f"{', '.join(most)} {last} {end}" if most else end
