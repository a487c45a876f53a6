"""Expressions in two forms at once: the text a keeper would write, and a plain function.

The references never parse or evaluate expression text, so agreement with the engine
says something about both. Everything here is known: no three-valued logic, only true,
false and the failure that reading an empty place gives.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from rules.values import Value


class Void(Enum):
    """The outcome of reading a property of an empty place."""

    FAILS = "fails"


FAILS = Void.FAILS
Result = bool | int | float | str | Void


@dataclass(frozen=True)
class Occupant:
    """What sits in a place: its properties by name, and how far it has run."""

    properties: Mapping[str, Value]
    run_km: int | None = None


@dataclass(frozen=True)
class World:
    """One assignment that an expression can be asked about.

    ``target`` and ``found`` hold the occupied places only. ``slack``: how far a comparison
    of numbers may miss and still hold (1e-9 in a limit, nothing elsewhere).
    """

    facts: Mapping[str, Value]
    found: Mapping[str, Occupant]
    target: Mapping[str, Occupant]
    renewed: frozenset[str] = frozenset()
    doing: frozenset[str] = frozenset()
    slack: float = 0.0

    def with_slack(self, slack: float) -> World:
        """The same world, looked at with another slack."""
        return World(self.facts, self.found, self.target, self.renewed, self.doing, slack)


Reader = Callable[[World], Result]


@dataclass(frozen=True)
class Term:
    """``text`` for the catalog, ``read`` for the references, and what it looks at."""

    text: str
    read: Reader
    places: frozenset[str] = frozenset()
    steps: frozenset[str] = frozenset()
    atomic: bool = True

    @property
    def inner(self) -> str:
        """The text as part of a larger expression."""
        return self.text if self.atomic else f"({self.text})"


def literal(value: Value) -> Term:
    """A double is written with a decimal point, a text in single quotes."""
    text = {True: "true", False: "false"}[value] if isinstance(value, bool) else repr(value)
    return Term(text, lambda _world: value)


def fact(name: str) -> Term:
    """``vehicle.<name>``; every generated fact is known unless a test takes it away."""
    return Term(f"vehicle.{name}", lambda world: world.facts[name])


def of_target(place: str, name: str) -> Term:
    """``<place>.<name>`` of the target part."""

    def read(world: World) -> Result:
        return world.target[place].properties[name] if place in world.target else FAILS

    return Term(f"{place}.{name}", read, frozenset({place}))


def of_fitted(place: str, name: str) -> Term:
    """``fitted.<place>.<name>`` of the part as found."""

    def read(world: World) -> Result:
        return world.found[place].properties[name] if place in world.found else FAILS

    return Term(f"fitted.{place}.{name}", read)


def renewed(place: str) -> Term:
    """``renewed('<place>')``."""
    return Term(f"renewed('{place}')", lambda world: place in world.renewed, frozenset({place}))


def present(place: str) -> Term:
    """``present('<place>')``: the target place is not empty."""
    return Term(f"present('{place}')", lambda world: place in world.target, frozenset({place}))


def doing(step: str) -> Term:
    """``doing('<step>')``."""
    return Term(f"doing('{step}')", lambda world: step in world.doing, steps=frozenset({step}))


def run_km(place: str) -> Term:
    """``run_km('<place>')`` of the part as found."""

    def read(world: World) -> Result:
        found = world.found.get(place)
        return FAILS if found is None or found.run_km is None else found.run_km

    return Term(f"run_km('{place}')", read)


def _joined(left: Term, sign: str, right: Term, read: Reader) -> Term:
    return Term(
        f"{left.inner} {sign} {right.inner}",
        read,
        left.places | right.places,
        left.steps | right.steps,
        atomic=False,
    )


def _number(value: Result) -> float:
    if isinstance(value, str | Void):
        raise TypeError(f"{value!r} is not a number")
    return value


def _spread(left: Term, right: Term, apply: Callable[[Result, Result], Result]) -> Reader:
    """A function of two values that fails when either fails."""

    def read(world: World) -> Result:
        one, two = left.read(world), right.read(world)
        return FAILS if FAILS in (one, two) else apply(one, two)

    return read


def plus(left: Term, right: Term) -> Term:
    """``left + right``."""
    read = _spread(left, right, lambda one, two: _number(one) + _number(two))
    return _joined(left, "+", right, read)


def _by_margin(left: Term, right: Term, holds: Callable[[float, float], bool]) -> Reader:
    """A comparison by how far left lies below right, given the slack."""

    def read(world: World) -> Result:
        one, two = left.read(world), right.read(world)
        if FAILS in (one, two):
            return FAILS
        return holds(_number(two) - _number(one), world.slack)

    return read


def at_most(left: Term, right: Term) -> Term:
    """``left <= right``."""
    return _joined(left, "<=", right, _by_margin(left, right, lambda gap, slack: gap >= -slack))


def at_least(left: Term, right: Term) -> Term:
    """``left >= right``."""
    return _joined(left, ">=", right, _by_margin(right, left, lambda gap, slack: gap >= -slack))


def above(left: Term, right: Term) -> Term:
    """``left > right``."""
    return _joined(left, ">", right, _by_margin(right, left, lambda gap, slack: gap > slack))


def same(left: Term, right: Term) -> Term:
    """``left == right`` of two texts."""
    return _joined(left, "==", right, _spread(left, right, lambda one, two: one == two))


def negate(term: Term) -> Term:
    """``!term``."""

    def read(world: World) -> Result:
        value = term.read(world)
        return FAILS if value is FAILS else value is False

    return Term(f"!{term.inner}", read, term.places, term.steps)


def _absorbing(left: Term, right: Term, winner: bool) -> Reader:
    """``winner`` decides alone; otherwise a failure spreads; otherwise the other value."""

    def read(world: World) -> Result:
        pair = (left.read(world), right.read(world))
        if any(value is winner for value in pair):
            return winner
        return FAILS if FAILS in pair else not winner

    return read


def both(left: Term, right: Term) -> Term:
    """``left && right``."""
    return _joined(left, "&&", right, _absorbing(left, right, winner=False))


def either(left: Term, right: Term) -> Term:
    """``left || right``."""
    return _joined(left, "||", right, _absorbing(left, right, winner=True))


def choose(condition: Term, yes: Term, no: Term) -> Term:
    """``condition ? yes : no`` over facts."""

    def read(world: World) -> Result:
        return yes.read(world) if condition.read(world) is True else no.read(world)

    return Term(f"{condition.text} ? {yes.text} : {no.text}", read, atomic=False)
