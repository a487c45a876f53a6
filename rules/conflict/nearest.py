"""The numbers of a rule in a conflict: how near the best choice left comes to keeping it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product

from rules.catalog import Limit, PartKey
from rules.compiled import CompiledRule
from rules.expressions import explain
from rules.listing.sides import sides_of
from rules.model.assignment import Assignment
from rules.model.checks import Check, Origin
from rules.model.plan_model import PlanModel
from rules.model.tables import Axis, Combination, Group
from rules.optimum.conflict_sets import OutOfWorkError
from rules.optimum.leavable import Questions
from rules.speech import in_a_sentence, measured
from rules.values import Failure, Outcome, Unknown

TRIES = 12
"""Combinations of choices that are tried, those that come nearest first."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One way to break the rule: what each place holds, what is done, and the literals for it."""

    chosen: dict[str, PartKey]
    steps: tuple[str, ...]
    literals: tuple[int, ...]


def detail(
    model: PlanModel, questions: Questions[Origin], conflict: tuple[Origin, ...], rule: str
) -> str:
    """What the rule finds here, with the rest of the conflict as it is; empty: nothing to add."""
    check = next((c for c in model.reach.active_checks if c.origin == ("rule", rule)), None)
    if check is None or check.renew is not None or check.do is not None:
        return ""
    others = frozenset(conflict) - {("rule", rule)}
    compiled = model.compiled.rules[rule]
    try:
        possible = _possible(questions, others, _by_nearness(model, check, compiled))
    except OutOfWorkError:
        return ""
    if not possible:
        return ""
    nearest = possible[0]
    env = Assignment(model.machine, model.compiled.properties, nearest.chosen, nearest.steps)
    said = _Reading(model, check, compiled, nearest, env)
    lead = "At best, with " if len(possible) > 1 else "With "
    return said.sentence(lead)


def _possible(
    questions: Questions[Origin], kept: frozenset[Origin], tries: Iterable[Tried]
) -> list[Tried]:
    """The first two that ``kept`` allows, among as many as may be tried."""
    possible: list[Tried] = []
    clashes: list[frozenset[int]] = []
    asked = 0
    for one in tries:
        if any(clash.issubset(one.literals) for clash in clashes):
            continue
        clash = questions.clash(kept, one.literals)
        if clash is None:
            possible.append(one)
        else:
            clashes.append(clash)
        asked += 1
        if asked == TRIES or len(possible) == 2:
            break
    return possible


def _by_nearness(model: PlanModel, check: Check, compiled: CompiledRule) -> Iterator[Tried]:
    """Combinations that break the check, the least broken first."""
    table = model.reach.tables.table(check, model.reach)
    ranked: list[tuple[float, int, Combination]] = []
    for index, combination in enumerate(table.broken):
        first = next(_tries(model, table.axes, combination), None)
        if first is not None:
            ranked.append((-_margin(model, compiled, first), index, combination))
    for _, _, combination in sorted(ranked, key=lambda one: one[:2]):
        yield from _tries(model, table.axes, combination)


def _margin(model: PlanModel, compiled: CompiledRule, one: Tried) -> float:
    if not isinstance(compiled.rule, Limit):
        return 0.0
    env = Assignment(model.machine, model.compiled.properties, one.chosen, one.steps)
    margin = compiled.parts[0].margin(env)
    return margin if isinstance(margin, float) else float("-inf")


def _tries(model: PlanModel, axes: tuple[Axis, ...], combination: Combination) -> Iterator[Tried]:
    """Every choice within a combination that the model has."""
    options = [
        list(_options(model, axis, group)) for axis, group in zip(axes, combination, strict=True)
    ]
    for picked in product(*options):
        chosen = {name: value for name, value, _ in picked if isinstance(value, PartKey)}
        steps = tuple(name for name, value, _ in picked if value is True)
        literals = tuple(literal for _, _, literal in picked if literal)
        yield Tried(chosen, steps, literals)


def _options(
    model: PlanModel, axis: Axis, group: Group
) -> Iterator[tuple[str, PartKey | bool | None, int]]:
    """Name, choice and the literal that makes it (0: it is so anyway)."""
    for member in group.members:
        if isinstance(member, PartKey):
            variable = model.choose.get((axis.name, member))
            if variable is not None:
                yield axis.name, member, variable
        elif axis.is_step:
            variable = model.step.get(axis.name)
            if variable is not None:
                yield axis.name, member, variable if member else -variable
            elif not member:
                yield axis.name, member, 0
        else:
            renewed = model.renew.get(axis.name)
            yield axis.name, None, -renewed if renewed is not None else 0


@dataclass(frozen=True, slots=True)
class _Reading:
    """What a rule reads in one combination, in words."""

    model: PlanModel
    check: Check
    compiled: CompiledRule
    tried: Tried
    env: Assignment

    def sentence(self, lead: str) -> str:
        numbers = self._sides()
        who = self._who(values=not numbers)
        if not who:
            return ""
        return f"{lead}{_and(who)}{f': {numbers}' if numbers else ''}."

    def _sides(self) -> str:
        """``12.2 mm, where 11.4 mm is allowed``; empty where no numbers are compared."""
        rule = self.compiled.rule
        if not isinstance(rule, Limit):
            return ""
        limit = self.compiled.parts[0]
        sides = sides_of(limit, self.env)
        if sides is None:
            return ""
        left, right = (measured(side, 3, rule.unit) for side in sides)
        bound = "at most" if limit.left_is_bounded else "at least"
        return f"{left}, where it must be {bound} {right}"

    def _who(self, *, values: bool) -> list[str]:
        """The parts that the rule looks at, with what it reads of them."""
        read = self._read()
        places = [p for p in self.check.places if self._relevant(p, read)]
        said = [self._place(place, read if values else {}) for place in places]
        fitted = sorted(
            {n.split(".")[1] for n in read if n.startswith("fitted.")} - set(self._kept())
        )
        said += [self._as_fitted(p, f"fitted.{p}.", read if values else {}) for p in fitted]
        if values:
            said += [self._fact(n, v) for n, v in read.items() if n.startswith("vehicle.")]
        return said

    def _kept(self) -> list[str]:
        return [place for place in self.check.places if place not in self.tried.chosen]

    def _relevant(self, place: str, read: dict[str, Outcome]) -> bool:
        return place in self.tried.chosen or any(n.startswith(f"{place}.") for n in read)

    def _read(self) -> dict[str, Outcome]:
        expressions = [*self.compiled.parts]
        if self.compiled.when is not None:
            expressions.append(self.compiled.when)
        found: dict[str, Outcome] = {}
        for expression in expressions:
            found |= dict(explain(expression, self.env))
        return found

    def _place(self, place: str, read: dict[str, Outcome]) -> str:
        key = self.tried.chosen.get(place)
        if key is None:
            return self._as_fitted(place, f"{place}.", read)
        return f"the {self._label(place)} {key}{self._values(place, f'{place}.', read)}"

    def _as_fitted(self, place: str, prefix: str, read: dict[str, Outcome]) -> str:
        fitted = self.model.machine.fitted.get(place)
        if fitted is None:
            return f"no {self._label(place)}"
        what = f" {fitted.key}" if fitted.key else ""
        return f"the fitted {self._label(place)}{what}{self._values(place, prefix, read)}"

    def _values(self, place: str, prefix: str, read: dict[str, Outcome]) -> str:
        said = [
            self._property(place, name.removeprefix(prefix), value)
            for name, value in read.items()
            if name.startswith(prefix)
        ]
        return f" ({', '.join(said)})" if said else ""

    def _property(self, place: str, name: str, value: Outcome) -> str:
        declared = {f.name: f for f in self.model.compiled.part_types[place].properties}
        field = declared.get(name)
        label = in_a_sentence(field.label) if field else name.replace("_", " ")
        return f"{label} {_said(value, field.unit if field else None)}"

    def _fact(self, name: str, value: Outcome) -> str:
        fact = self.model.compiled.facts[name.removeprefix("vehicle.")]
        return f"{in_a_sentence(fact.label)} {_said(value, fact.unit)}"

    def _label(self, place: str) -> str:
        return in_a_sentence(self.model.compiled.part_types[place].label)


def _said(value: Outcome, unit: str | None) -> str:
    if isinstance(value, Unknown | Failure):
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("_", " ")
    return measured(value, 3, unit)


def _and(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
