"""What a demand can touch on this machine: part types, operations and steps.

Everything else keeps what is fitted: keeping is free, and no rule that holds now can ask
otherwise. So the plan grows with what the job touches, not with the catalog.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from rules.catalog import Operation, Part, Recommendation, Step, Way
from rules.compiled import CompiledCatalog
from rules.demand import Demand
from rules.expressions import Expression
from rules.fitment import Trilean, fits
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.model.checks import Check, fires
from rules.model.tables import Tables
from rules.values import Outcome, Unknown


@dataclass(slots=True)
class Reach:
    """``candidates`` of each part type within reach; active ``ways``; ``steps`` within reach."""

    compiled: CompiledCatalog
    machine: Machine
    demand: Demand
    strict: bool
    tables: Tables
    candidates: dict[str, tuple[Part, ...]] = field(default_factory=dict)
    ways: dict[str, tuple[Way, ...]] = field(default_factory=dict)
    steps: dict[str, Step] = field(default_factory=dict)
    active_checks: list[Check] = field(default_factory=list)
    as_found: Assignment = field(init=False)
    _waiting: dict[object, Check] = field(default_factory=dict)
    _looked_at: dict[object, Check] = field(default_factory=dict)
    _own_wishes: dict[str, list[Check]] = field(default_factory=dict)
    unknown: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.as_found = Assignment(self.machine, {}, {}, ())

    def close(self, wishes: Iterable[Check]) -> None:
        """Start from the demand and follow everything that it can pull in."""
        self._start(wishes)
        self._settle()
        while self.demand.with_recommended and self._add_recommended():
            self._settle()
        self.active_checks = [
            check for check in self._looked_at.values() if self.tables.can_break(check, self)
        ]
        self.active_checks.sort(key=lambda check: check.origin)
        for check in self.active_checks:
            self.unknown |= self.tables.table(check, self).unknown

    def _start(self, wishes: Iterable[Check]) -> None:
        """What the demand names, its own wishes, and rules broken on the machine as it came."""
        demand = self.demand
        for check in wishes:
            self._own_wishes.setdefault(check.places[0], []).append(check)
            self._look_at(check)
        for check in self.tables.broken_as_found(self.compiled.checks):
            self._look_at(check)
        for job in demand.jobs:
            for part_type in job.renew:
                self.add_type(part_type)
            for operation in job.operations:
                self.add_operation(self.compiled.operations[operation])
        for wanted in demand.wanted:
            for key in wanted.parts:
                self.add_type(self.compiled.parts[key].part_type)
        for part_type in (*demand.add_ons, *demand.optional):
            self.add_type(part_type)

    def _look_at(self, check: Check) -> None:
        """Put a check (back) on the list: something that it reads came within reach."""
        self._looked_at[check.key] = check
        self._waiting[check.key] = check

    def _settle(self) -> None:
        """Add what checks pull in that can be broken, until nothing changes."""
        while self._waiting:
            check = self._waiting.pop(next(iter(self._waiting)))
            if self.tables.can_break(check, self):
                self._pull(check)

    def _pull(self, check: Check) -> None:
        for place in check.places:
            self.add_type(place)
        if check.renew is not None:
            self.add_type(check.renew)
        for step in (*check.steps, *((check.do,) if check.do else ())):
            self.add_step(step)

    def _add_recommended(self) -> bool:
        """Places that a recommendation may offer in some plan within reach."""
        before = len(self.candidates)
        for compiled in self.compiled.recommendations:
            rule = compiled.rule
            if not isinstance(rule, Recommendation) or rule.renew in self.candidates:
                continue
            if self._may_fire(compiled.when):
                self.add_type(rule.renew)
        return len(self.candidates) > before

    def _may_fire(self, when: Expression | None) -> bool:
        """False only where no plan within reach can make the condition hold."""
        return fires(when, _AnyPlan(self)) is not False

    # -- growing ------------------------------------------------------------------

    def add_type(self, part_type: str) -> None:
        """A place that may be renewed: its candidates and the work it takes."""
        if part_type in self.candidates:
            return
        self.candidates[part_type] = self._candidates(part_type)
        for check in self.compiled.checks_by_place.get(part_type, ()):
            self._look_at(check)
        for check in self._own_wishes.get(part_type, ()):
            self._look_at(check)
        operation = self.compiled.operation_of.get(part_type)
        if operation is not None:
            self.add_operation(operation)

    def _candidates(self, part_type: str) -> tuple[Part, ...]:
        """Current parts of the type that fit, refused or not, and any that are wanted."""
        wanted = {key for w in self.demand.wanted for key in w.parts}
        return tuple(
            part
            for part in self.compiled.parts_of[part_type]
            if part.key in wanted or self.fits(part)
        )

    def fits(self, part: Part) -> bool:
        """Whether the part is sold and fits this machine."""
        found = self.tables.fitting.get(part.key)
        if found is None:
            found = self.tables.fitting[part.key] = (
                part.status == "current"
                and part.key not in self.compiled.replaced_by
                and fits(self.compiled.fitment.get(part.key, ()), self.machine.facts)
            )
        return self.taken(found)

    def offered(self, part: Part) -> bool:
        """Whether the part may be chosen for this machine and this customer."""
        return part.key not in self.demand.refused and self.fits(part)

    def add_operation(self, operation: Operation) -> None:
        """An operation with those of its ways that this machine allows."""
        if operation.id in self.ways:
            return
        when = self.compiled.way_when
        ways = [way for way in operation.ways if self._applies(when[operation.id, way.id])]
        self.ways[operation.id] = tuple(sorted(ways, key=lambda way: way.id))
        for way in ways:
            for step in way.steps:
                self.add_step(step)

    def add_step(self, name: str) -> None:
        """A step with its access steps and what it spends, unless it is nothing here."""
        if name in self.steps or not self.is_something(name):
            return
        step = self.compiled.steps[name]
        self.steps[name] = step
        for check in self.compiled.checks_by_step.get(name, ()):
            self._look_at(check)
        for needed in step.needs:
            self.add_step(needed)
        for part_type in step.spends:
            if self.has_fitted(part_type):
                self.add_type(part_type)

    def has_fitted(self, part_type: str) -> bool:
        """Whether something sits there that a step can spend."""
        place = self.machine.fitted.get(part_type)
        if place is None:
            return False
        return not self.taken(place.unsure or False)

    def is_something(self, step: str) -> bool:
        """Whether the step exists on this machine. Not known: strictly, it does."""
        return not self.taken(self._is_nothing(step))

    def _is_nothing(self, step: str) -> Trilean:
        holds = fires(self.compiled.step_when[step], self.as_found)
        return holds if isinstance(holds, Unknown) else not holds

    def _applies(self, when: Expression | None) -> bool:
        return self.taken(fires(when, self.as_found))

    def taken(self, holds: Trilean) -> bool:
        """A permission that is not known: refused when strict, given when hopeful."""
        if isinstance(holds, Unknown):
            self.unknown |= holds.missing
            return not self.strict
        return holds


class _AnyPlan(Assignment):
    """Every plan within reach at once: what a plan decides is unknown."""

    __slots__ = ("_reach",)

    def __init__(self, reach: Reach) -> None:
        super().__init__(reach.machine, {}, {}, ())
        self._reach = reach

    def target(self, part_type: str, name: str) -> Outcome:
        if part_type in self._reach.candidates:
            return _UNDECIDED
        return super().target(part_type, name)

    def renewed(self, part_type: str) -> Outcome:
        return _UNDECIDED if part_type in self._reach.candidates else False

    def present(self, part_type: str) -> Outcome:
        if part_type in self._reach.candidates:
            return _UNDECIDED
        return super().present(part_type)

    def doing(self, step: str) -> Outcome:
        return _UNDECIDED if step in self._reach.steps else False


_UNDECIDED = Unknown(frozenset())
