"""Each check as a small table over what it reads: which combinations break it.

Candidates that look alike to a check share one row group, so a check over two part types
with ten candidates each is usually a table of three by four.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Protocol

from rules.catalog import Part, PartKey, Step
from rules.fitment import Trilean
from rules.machine import Machine
from rules.model.assignment import Assignment, PropertyTable
from rules.model.checks import Check
from rules.model.memory import Memory, Outcomes
from rules.values import Unknown


class WithinReach(Protocol):
    """What may vary: candidates by place, and steps."""

    @property
    def candidates(self) -> Mapping[str, tuple[Part, ...]]: ...
    @property
    def steps(self) -> Mapping[str, Step]: ...


@dataclass(frozen=True, slots=True)
class Group:
    """Choices of a place (None: keep) or of a step that a check cannot tell apart."""

    members: tuple[PartKey | bool | None, ...]
    look: Hashable


@dataclass(frozen=True, slots=True)
class Axis:
    """One thing that a check reads and that may vary."""

    name: str
    is_step: bool
    groups: tuple[Group, ...]


Combination = tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """``broken``: combinations (one group an axis) that break the check."""

    axes: tuple[Axis, ...]
    broken: tuple[Combination, ...]
    unknown: frozenset[str] = frozenset()
    """Names of what is missing where the table was read strictly."""


class Tables:
    """Tables of checks for one machine.

    ``strict``: what is unknown breaks the check; otherwise only what no answer of the
    customer could settle does. ``memory`` is shared by all machines of one edition; checks
    that read fitted parts are not kept in it. The tables themselves may serve every request
    that finds the same machine and asks for the same parts.
    """

    def __init__(
        self,
        machine: Machine,
        properties: PropertyTable,
        memory: Memory,
        *,
        strict: bool,
        before: Tables | None = None,
        changed: frozenset[str] = frozenset(),
    ) -> None:
        """``before``: tables of a machine that differs only in what is fitted in ``changed``."""
        self._before = before
        self._changed = changed
        self._machine = machine
        self._properties = properties
        self._strict = strict
        self._memory = memory
        self._own: dict[Hashable, Outcomes] = {}
        self._tables: dict[Hashable, Table] = {}
        self._axes: dict[Hashable, Axis] = {}
        self._as_found: tuple[Check, ...] | None = None
        self.fitting: dict[PartKey, Trilean] = {} if before is None else before.fitting
        """Which parts are sold and fit: the facts alone decide."""

    def table(self, check: Check, reach: WithinReach) -> Table:
        """The table of a check over what is within reach now."""
        key = (
            check.key,
            tuple(place in reach.candidates for place in check.places),
            tuple(step in reach.steps for step in check.steps),
        )
        found = self._tables.get(key)
        if found is None:
            earlier = self._unchanged(check)
            found = earlier.table(check, reach) if earlier else self._build(check, reach)
            self._tables[key] = found
        return found

    def _unchanged(self, check: Check) -> Tables | None:
        """The earlier machine's tables, where this check cannot see what has changed."""
        if self._before is None or check.as_found or not self._changed.isdisjoint(check.places):
            return None
        return self._before

    def broken_as_found(self, checks: tuple[Check, ...]) -> tuple[Check, ...]:
        """Checks that the machine breaks as it stands, with no place renewed and no step done."""
        if self._as_found is None:
            env = Assignment(self._machine, {}, {}, ())
            before = None if self._before is None else self._before.broken_as_found(checks)
            self._as_found = tuple(
                check
                for check in checks
                if (
                    check in before
                    if before is not None and self._unchanged(check)
                    else check.broken(env) is True
                )
            )
        return self._as_found

    def can_break(self, check: Check, reach: WithinReach) -> bool:
        """Whether some combination within reach breaks the check."""
        return bool(self.table(check, reach).broken)

    def _build(self, check: Check, reach: WithinReach) -> Table:
        axes = (
            *(self._place_axis(check, place, reach) for place in check.places),
            *(_step_axis(step, reach) for step in check.steps),
        )
        outcomes = self._outcomes(check)
        unknown: set[str] = set()
        broken = tuple(
            combination
            for combination in product(*(axis.groups for axis in axes))
            if self._counts(
                self._outcome(check, axes, combination, outcomes), combination, unknown
            )
        )
        return Table(axes, broken, frozenset(unknown))

    def _outcomes(self, check: Check) -> Outcomes:
        if check.as_found:
            return self._own.setdefault(check.key, {})
        return self._memory.outcomes(check, self._machine)

    def _outcome(
        self, check: Check, axes: tuple[Axis, ...], combination: Combination, outcomes: Outcomes
    ) -> Trilean:
        looks = tuple(group.look for group in combination)
        outcome = outcomes.get(looks)
        if outcome is None:
            outcome = outcomes[looks] = check.broken(self._assignment(axes, combination))
        return outcome

    def _assignment(self, axes: tuple[Axis, ...], combination: Combination) -> Assignment:
        chosen: dict[str, PartKey] = {}
        steps: list[str] = []
        for axis, group in zip(axes, combination, strict=True):
            member = group.members[0]
            if isinstance(member, PartKey):
                chosen[axis.name] = member
            elif member is True:
                steps.append(axis.name)
        return Assignment(self._machine, self._properties, chosen, steps)

    def _counts(self, outcome: Trilean, combination: Combination, unknown: set[str]) -> bool:
        """Whether the outcome makes the combination one to avoid."""
        if not isinstance(outcome, Unknown):
            return outcome
        if all(group.members[0] in (None, False) for group in combination):
            return False
        if self._strict:
            unknown |= outcome.missing
            return True
        return not outcome.missing or not all(map(can_be_asked, outcome.missing))

    # -- axes -----------------------------------------------------------------------

    def _place_axis(self, check: Check, place: str, reach: WithinReach) -> Axis:
        names = check.properties.get(place, ())
        splits, present = place in check.splits_keep, place in check.presence
        key = (place, names, splits, present, place in reach.candidates)
        found = self._axes.get(key)
        if found is None:
            if self._before is not None and place not in self._changed:
                found = self._before._place_axis(check, place, reach)
            else:
                found = self._new_axis(check, place, names, reach)
            self._axes[key] = found
        return found

    def _new_axis(
        self, check: Check, place: str, names: tuple[str, ...], reach: WithinReach
    ) -> Axis:
        groups: dict[Hashable, list[PartKey | bool | None]] = {}
        keep_look = self._look_of_kept(check, place, names)
        groups[keep_look] = [None]
        for part in reach.candidates.get(place, ()):
            values = self._properties[part.key]
            look = (
                place in check.splits_keep,
                place in check.presence,
                *(_look(values.get(name), f"{place}.{name}") for name in names),
            )
            groups.setdefault(look, []).append(part.key)
        return Axis(
            place, False, tuple(Group(tuple(members), look) for look, members in groups.items())
        )

    def _look_of_kept(self, check: Check, place: str, names: tuple[str, ...]) -> Hashable:
        fitted = self._machine.fitted.get(place)
        presence: Hashable = False
        if place in check.presence:
            presence = fitted is not None if fitted is None or not fitted.unsure else fitted.unsure
        return (
            False,
            presence,
            *(self._machine.fitted_property(place, name) for name in names),
        )


def _look(value: Hashable, name: str) -> Hashable:
    return Unknown(frozenset({name})) if value is None else value


def _step_axis(step: str, reach: WithinReach) -> Axis:
    members = (False, True) if step in reach.steps else (False,)
    return Axis(step, True, tuple(Group((member,), ("step", member)) for member in members))


def can_be_asked(name: str) -> bool:
    """Whether a person at the machine could find this out."""
    return name.startswith(("vehicle.", "fitted."))


def places_of(combination: Combination, axes: tuple[Axis, ...]) -> Iterator[tuple[Axis, Group]]:
    """Axes with the groups of one combination."""
    return zip(axes, combination, strict=True)
