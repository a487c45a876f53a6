"""What the operators do with values (CEL language definition, Standard Definitions).

These functions see values of the checked kinds only; unknowns and failures are dealt
with in ``closures``. Whole numbers are 64-bit and fail on overflow; numbers are IEEE
doubles and go to infinity.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from math import copysign, inf, isnan, nan, trunc
from typing import Any, Final

from rules.expressions.lexer import WHOLE_MAX, WHOLE_MIN
from rules.values import Failure, Outcome

_OVERFLOW: Final = Failure("the whole number does not fit in 64 bits")


def _checked(value: int) -> int | Failure:
    return value if WHOLE_MIN <= value <= WHOLE_MAX else _OVERFLOW


def _add_whole(a: int, b: int) -> int | Failure:
    return _checked(a + b)


def _subtract_whole(a: int, b: int) -> int | Failure:
    return _checked(a - b)


def _multiply_whole(a: int, b: int) -> int | Failure:
    return _checked(a * b)


def _divide_whole(a: int, b: int) -> int | Failure:
    if b == 0:
        return Failure("division by zero")
    quotient = abs(a) // abs(b)
    return _checked(quotient if (a < 0) == (b < 0) else -quotient)


def _remainder_whole(a: int, b: int) -> int | Failure:
    if b == 0:
        return Failure("remainder of a division by zero")
    rest = abs(a) % abs(b)
    return rest if a >= 0 else -rest


def _negate_whole(a: int) -> int | Failure:
    return _checked(-a)


def _divide_number(a: float, b: float) -> float:
    if b != 0.0:
        return a / b
    if a == 0.0 or isnan(a):
        return nan
    return copysign(inf, a) * copysign(1.0, b)


def _smaller(a: float, b: float) -> float:
    return b if b < a or isnan(b) else a


def _larger(a: float, b: float) -> float:
    return b if b > a or isnan(b) else a


def _absolute_whole(a: int) -> int | Failure:
    return _checked(abs(a))


def _number_to_whole(a: float) -> int | Failure:
    # Both ends excluded: 2**63 as a double is out of range, and so is what rounds to -2**63.
    if not -(2.0**63) < a < 2.0**63:
        return Failure("the number does not fit in a whole number of 64 bits")
    return trunc(a)


def _same(a: Any) -> Any:
    return a


Operate = Callable[..., Outcome]

OPERATIONS: Final[Mapping[tuple[str, str], Operate]] = {
    ("+", "whole"): _add_whole,
    ("-", "whole"): _subtract_whole,
    ("*", "whole"): _multiply_whole,
    ("/", "whole"): _divide_whole,
    ("%", "whole"): _remainder_whole,
    ("negate", "whole"): _negate_whole,
    ("min", "whole"): min,
    ("max", "whole"): max,
    ("abs", "whole"): _absolute_whole,
    ("double", "whole"): float,
    ("int", "whole"): _same,
    ("bare", "whole"): _same,
    ("+", "number"): operator.add,
    ("-", "number"): operator.sub,
    ("*", "number"): operator.mul,
    ("/", "number"): _divide_number,
    ("negate", "number"): operator.neg,
    ("min", "number"): _smaller,
    ("max", "number"): _larger,
    ("abs", "number"): abs,
    ("double", "number"): _same,
    ("int", "number"): _number_to_whole,
    ("bare", "number"): _same,
    ("+", "text"): operator.add,
    ("size", "text"): len,
    ("startsWith", "text"): str.startswith,
    ("endsWith", "text"): str.endswith,
    ("contains", "text"): operator.contains,
    ("!", "flag"): operator.not_,
}
"""By operator and the kind of the first operand."""

_EXACT: Final[Mapping[str, Operate]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}
_NO_ORDER: Final = Failure("the arithmetic has no answer, so it cannot be compared")


def comparison(text: str) -> Operate:
    """Compares two texts, two whole numbers or two flags."""
    return _EXACT[text]


def number_comparison(text: str, tolerance: float) -> Operate:
    """Compares two numbers, or a number and a whole number taken as a double.

    Numbers within ``tolerance`` of each other count as equal. NaN is unequal to
    everything and has no order: comparing it fails, as in the reference implementation.
    """
    return _NUMBER_COMPARISONS[text](tolerance)


def _equal(tolerance: float) -> Operate:
    return lambda a, b: a == b or abs(a - b) <= tolerance


def _unequal(tolerance: float) -> Operate:
    return lambda a, b: not (a == b or abs(a - b) <= tolerance)


def _at_most(tolerance: float) -> Operate:
    def compare(a: float, b: float) -> bool | Failure:
        if a <= b or a - b <= tolerance:
            return True
        return False if a > b else _NO_ORDER

    return compare


def _at_least(tolerance: float) -> Operate:
    def compare(a: float, b: float) -> bool | Failure:
        if a >= b or b - a <= tolerance:
            return True
        return False if a < b else _NO_ORDER

    return compare


def _below(tolerance: float) -> Operate:
    def compare(a: float, b: float) -> bool | Failure:
        if b - a > tolerance:
            return True
        return False if a >= b or b - a <= tolerance else _NO_ORDER

    return compare


def _above(tolerance: float) -> Operate:
    def compare(a: float, b: float) -> bool | Failure:
        if a - b > tolerance:
            return True
        return False if a <= b or a - b <= tolerance else _NO_ORDER

    return compare


_NUMBER_COMPARISONS: Final[Mapping[str, Callable[[float], Operate]]] = {
    "==": _equal,
    "!=": _unequal,
    "<": _below,
    "<=": _at_most,
    ">": _above,
    ">=": _at_least,
}
