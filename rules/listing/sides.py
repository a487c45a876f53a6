"""The two sides of a limit in words: what is needed, and what is there."""

from __future__ import annotations

from rules.expressions import Environment, Expression
from rules.speech import decimals_of, measured


def sides_of(limit: Expression, env: Environment) -> tuple[float, float] | None:
    """Both sides of a limit that compares two numbers; None where one is not known."""
    sides = limit.sides(env) if limit.has_margin else None
    if sides is None:
        return None
    left, right = sides
    if isinstance(left, bool) or isinstance(right, bool):
        return None
    if not isinstance(left, int | float) or not isinstance(right, int | float):
        return None
    return float(left), float(right)


def numbers_of(limit: Expression, env: Environment, unit: str | None) -> str:
    """``11.2 mm, at most 11.9 mm``; empty where the limit compares no numbers."""
    sides = sides_of(limit, env)
    if sides is None:
        return ""
    left, right = _both(*sides, unit)
    return f"{left}, {'at most' if limit.left_is_bounded else 'at least'} {right}"


def shortfall(
    limit: Expression, kept: Environment, renewed: Environment, label: str, unit: str | None
) -> str:
    """What a limit asks for and what the place would give if it were kept as it is.

    The side that changes when the place is renewed is the place's own: ``11.2 mm is needed;
    the valve spring fitted now allows 10.4 mm.`` Empty where there are no numbers to show.
    """
    before, after = sides_of(limit, kept), sides_of(limit, renewed)
    if before is None:
        return ""
    left, right = _both(*before, unit)
    own_right = after is not None and after[0] == before[0] and after[1] != before[1]
    if own_right and limit.left_is_bounded:
        return f"{left} is needed; the {label} fitted now allows {right}."
    if own_right:
        return f"With the {label} fitted now {right} is needed, and {left} is there."
    if limit.left_is_bounded:
        return f"With the {label} fitted now it is {left}; at most {right} is allowed."
    return f"{right} is needed; the {label} fitted now gives {left}."


def _both(left: float, right: float, unit: str | None) -> tuple[str, str]:
    apart = decimals_of(right - left, digits=2)
    first, second = (max(apart, decimals_of(side, digits=3)) for side in (left, right))
    return measured(left, first, unit), measured(right, second, unit)
