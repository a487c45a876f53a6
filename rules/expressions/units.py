"""Units as products of powers, so that a sum of millimetres and degrees is refused.

A unit is a sorted tuple of (symbol, exponent): N/mm is (("mm", -1), ("n", 1)). ``None``
is *not stated*: a literal or a name declared without a unit, which takes on whatever unit
it meets. ``()`` is a pure number that follows from units, such as mm divided by mm.
Nothing is converted: mm and cm are different units.
"""

from __future__ import annotations

import re
from typing import Final

Unit = tuple[tuple[str, int], ...]

_WRITTEN_SHORT: Final = {
    "g_s": "g/s", "m_s": "m/s", "l_s": "l/s", "l_min": "l/min", "cc_min": "cc/min",
    "km_h": "km/h", "nm": "n·m", "n_m": "n·m", "mpa": "n/mm2", "l": "l",
}  # fmt: skip
"""Units whose usual spelling hides a product. MPa is N/mm² (ISO 80000-4)."""

_PART: Final = re.compile(r"(.+?)(?:\^?([23])|([²³]))")
_SUPERSCRIPT: Final = {"²": 2, "³": 3}


def parse_unit(text: str | None) -> Unit | None:
    """``"n_per_mm"`` or ``"N/mm"`` to (("mm", -1), ("n", 1)); None stays None."""
    if text is None or not text.strip():
        return None
    spelled = text.strip().lower()
    spelled = _WRITTEN_SHORT.get(spelled, spelled).replace("_per_", "/")
    over, *under = spelled.split("/")
    unit = _product(over)
    for part in under:
        unit = combine(unit, _product(part), -1)
    return unit


def _product(text: str) -> Unit:
    unit: Unit = ()
    for part in re.split(r"[·*]", text):
        unit = combine(unit, _power(part.strip()))
    return unit


def _power(text: str) -> Unit:
    if text in ("", "1"):
        return ()
    if text in _WRITTEN_SHORT and _WRITTEN_SHORT[text] != text:
        return parse_unit(_WRITTEN_SHORT[text]) or ()
    match = _PART.fullmatch(text)
    if match is None:
        return ((text, 1),)
    symbol, digit, superscript = match.groups()
    return ((symbol, int(digit) if digit else _SUPERSCRIPT[superscript]),)


def combine(left: Unit, right: Unit, sign: int = 1) -> Unit:
    """The unit of a product, or with ``sign`` −1 of a quotient."""
    powers = dict(left)
    for symbol, exponent in right:
        powers[symbol] = powers.get(symbol, 0) + sign * exponent
    return tuple(sorted((s, e) for s, e in powers.items() if e))


def product(left: Unit | None, right: Unit | None, sign: int = 1) -> Unit | None:
    """As ``combine``; what is not stated leaves the other as it is."""
    if left is None and right is None:
        return None
    return combine(left or (), right or (), sign)


def agree(left: Unit | None, right: Unit | None) -> bool:
    """Whether the two may be added or compared."""
    return left is None or right is None or left == right


def either(left: Unit | None, right: Unit | None) -> Unit | None:
    """The unit of a sum: whichever side states one."""
    return right if left is None else left


_SYMBOLS: Final = {"n": "N", "kw": "kW", "kwh": "kWh", "l": "L", "mpa": "MPa", "bar": "bar"}


def show_unit(unit: Unit | None) -> str | None:
    """``N/mm``; None when no unit is stated or it cancelled out."""
    if not unit:
        return None
    over = "·".join(_show_power(s, e) for s, e in unit if e > 0)
    under = "".join("/" + _show_power(s, -e) for s, e in unit if e < 0)
    return (over or "1") + under


def _show_power(symbol: str, exponent: int) -> str:
    return _SYMBOLS.get(symbol, symbol) + (str(exponent) if exponent > 1 else "")
