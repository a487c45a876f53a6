"""Which parts fit a machine, and why not. Three-valued: a missing fact can leave it open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rules.catalog import FactCondition, Fitment
from rules.values import Unknown, Value

Facts = Mapping[str, Value]
Trilean = bool | Unknown


def condition_holds(condition: FactCondition, facts: Facts) -> Trilean:
    """Whether one condition holds; unknown where the machine's fact is not known."""
    value = facts.get(condition.fact)
    if value is None:
        return Unknown(frozenset({f"vehicle.{condition.fact}"}))
    if condition.values and value not in condition.values:
        return False
    if condition.low is not None and (isinstance(value, str) or value < condition.low):
        return False
    return condition.high is None or (not isinstance(value, str) and value <= condition.high)


def all_hold(conditions: Iterable[FactCondition], facts: Facts) -> Trilean:
    """Conjunction: one false decides, otherwise the unknowns add up."""
    open_: Unknown | None = None
    for condition in conditions:
        holds = condition_holds(condition, facts)
        if holds is False:
            return False
        if isinstance(holds, Unknown):
            open_ = holds if open_ is None else open_ | holds
    return True if open_ is None else open_


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a part fits; ``reasons`` says why not, or what is not known, in sentences."""

    fits: Trilean
    reasons: tuple[str, ...] = ()


def fits(statements: Iterable[Fitment], facts: Facts) -> Trilean:
    """Some statement says yes and none says no."""
    yes: Trilean = False
    no: Trilean = False
    for statement in statements:
        holds = all_hold(statement.conditions, facts)
        if statement.fits:
            yes = _either(yes, holds)
        else:
            no = _either(no, holds)
    return _yes_and_not_no(yes, no)


def _either(one: Trilean, other: Trilean) -> Trilean:
    if one is True or other is True:
        return True
    if isinstance(one, Unknown):
        return one | other if isinstance(other, Unknown) else one
    return other


def _yes_and_not_no(yes: Trilean, no: Trilean) -> Trilean:
    if yes is False or no is True:
        return False
    if isinstance(yes, Unknown):
        return yes | no if isinstance(no, Unknown) else yes
    return no if isinstance(no, Unknown) else True


def verdict(statements: Iterable[Fitment], facts: Facts, labels: Mapping[str, str]) -> Verdict:
    """Fits or not, with the conditions that decide it. ``labels``: fact name to label."""
    listed = tuple(statements)
    outcome = fits(listed, facts)
    if outcome is True:
        return Verdict(True)
    if isinstance(outcome, Unknown):
        names = sorted(name.removeprefix("vehicle.") for name in outcome.missing)
        asked = ", ".join(labels.get(name, name).lower() for name in names)
        return Verdict(outcome, (f"depends on {asked}, which is not known",))
    return Verdict(False, _why_not(listed, facts, labels))


def _why_not(
    statements: tuple[Fitment, ...], facts: Facts, labels: Mapping[str, str]
) -> tuple[str, ...]:
    barred = [s for s in statements if not s.fits and all_hold(s.conditions, facts) is True]
    if barred:
        return tuple(s.note or "the catalog excludes this machine" for s in barred)
    wanted = [s for s in statements if s.fits]
    if not wanted:
        return ("the catalog names no machine that it fits",)
    sentences = {_nearest_miss(statement, facts, labels) for statement in wanted}
    return tuple(sorted(sentences, key=lambda text: (text.count(";"), text))[:2])


def _nearest_miss(statement: Fitment, facts: Facts, labels: Mapping[str, str]) -> str:
    missed = [c for c in statement.conditions if condition_holds(c, facts) is False]
    return "; ".join(describe(c, facts, labels) for c in missed)


def describe(condition: FactCondition, facts: Facts, labels: Mapping[str, str]) -> str:
    """``made for displacement 1180, this machine has 1340``."""
    label = labels.get(condition.fact, condition.fact)
    label = label[:1].lower() + label[1:]
    if condition.values:
        due = " or ".join(str(value) for value in condition.values)
    elif condition.low is not None and condition.high is not None:
        due = f"{condition.low:g} to {condition.high:g}"
    elif condition.low is not None:
        due = f"{condition.low:g} and up"
    else:
        due = f"up to {condition.high:g}"
    has = facts.get(condition.fact)
    have = "is not known" if has is None else f"is {has}"
    return f"made for {label} {due}, this machine's {have}"
