"""Is there a build, among all that the catalog lets happen, for which a condition holds?

The places, steps and facts that the condition reads are gone through; whether the rest of
the plan would be valid is not asked. So "never" is certain, and "sometimes" is generous.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum
from itertools import chain, islice, product

from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.expressions import Environment, Read
from rules.fitment import Trilean
from rules.machine import ODOMETER, Fitted, Machine, fitted_from
from rules.model.assignment import Assignment
from rules.rule_checks.asked import Asked
from rules.rule_checks.domains import distances_km, field_values
from rules.rule_checks.situations import Options, Situation, Situations
from rules.values import Unknown, Value

MOST_CASES = 30_000
"""Builds looked at for one question."""

MOST_CASES_IN_ALL = 1_000_000
"""Builds looked at for one catalog."""

MOST_UNLISTED = 400
"""Ways an unlisted part is imagined in one place."""

Condition = Callable[[Environment], Trilean]


class Fittings(IntEnum):
    """What is taken to sit on the machine before the build."""

    FACTORY_ONLY = 0
    """Factory parts, and nothing is renewed or done."""
    FACTORY = 1
    LISTED = 2
    """Or any part of the catalog."""
    ANYTHING = 3
    """Or a part that is not listed, with any properties in their declared ranges."""


@dataclass(frozen=True, slots=True)
class Case:
    """One build that was looked at."""

    situation: Situation
    seen: Assignment
    fitted: Mapping[str, Fitted]
    chosen: Mapping[str, PartKey]
    steps: tuple[str, ...]

    @property
    def is_unlisted(self) -> bool:
        """Whether it takes a fitted part that the catalog does not list."""
        return any(place.key is None for place in self.fitted.values())


@dataclass(frozen=True, slots=True)
class Answer:
    """``case``: a build for which the condition holds, or None when none was found.

    ``certain``: then there is none. ``capped``: not all were looked at, here or with fewer
    fittings.
    """

    case: Case | None
    certain: bool
    capped: bool = False


@dataclass(frozen=True, slots=True)
class _State:
    fitted: Fitted | None
    chosen: PartKey | None


class Search:
    """Looks through builds, within one budget for the whole catalog."""

    def __init__(self, compiled: CompiledCatalog, most: int = MOST_CASES_IN_ALL) -> None:
        self._compiled = compiled
        self._left = most
        self._states: dict[Hashable, tuple[tuple[_State, ...], bool]] = {}

    def find(
        self,
        condition: Condition,
        asked: Asked,
        situations: Situations,
        fittings: Fittings,
        *,
        renewing: str | None = None,
    ) -> Answer:
        """The first build for which the condition holds. ``renewing``: this place is renewed."""
        if renewing is not None:
            asked = asked.telling_renewed(renewing)
        certain = not self._is_sampled(asked, fittings)
        most = min(MOST_CASES, self._left)
        cases = chain.from_iterable(
            self._cases(situation, asked, fittings, renewing) for situation in situations.listed
        )
        for case, whole in islice(cases, most):
            self._left -= 1
            outcome = condition(case.seen)
            if outcome is True:
                return Answer(case, certain=True)
            certain = certain and whole and not isinstance(outcome, Unknown)
        capped = not situations.whole or next(cases, None) is not None
        return Answer(None, certain=certain and not capped, capped=capped)

    def _is_sampled(self, asked: Asked, fittings: Fittings) -> bool:
        """Whether some value enters arithmetic, so that what was tried does not stand for all."""
        return any(self._is_open(read, fittings) for read in asked.loose)

    def _is_open(self, read: Read, fittings: Fittings) -> bool:
        if read.source == "run_km":
            return True
        if read.source != "fact":
            closed = read.definition is not None and read.definition.values
            return fittings is Fittings.ANYTHING and not closed
        name = read.arguments[0]
        if self._compiled.facts[name].values:
            return False
        vehicles = self._compiled.vehicles.values()
        return any(name not in vehicle.facts for vehicle in vehicles)

    # -- cases ---------------------------------------------------------------------

    def _cases(
        self, situation: Situation, asked: Asked, fittings: Fittings, renewing: str | None
    ) -> Iterator[tuple[Case, bool]]:
        places = asked.places
        whole = True
        axes: list[tuple[_State, ...]] = []
        for place in places:
            states, all_of_them = self._states_of(place, situation.options[place], asked, fittings)
            whole = whole and all_of_them
            kept = states if place != renewing else tuple(s for s in states if s.chosen)
            axes.append(kept)
        done = sorted(situation.steps) if fittings is not Fittings.FACTORY_ONLY else []
        for states in product(*axes):
            for doing in product((False, True), repeat=len(done)):
                steps = tuple(step for step, is_done in zip(done, doing, strict=True) if is_done)
                by_place = dict(zip(places, states, strict=True))
                yield self._case(situation, fittings, by_place, steps), whole

    def _case(
        self,
        situation: Situation,
        fittings: Fittings,
        states: Mapping[str, _State],
        steps: tuple[str, ...],
    ) -> Case:
        facts = dict(situation.facts)
        if fittings is Fittings.FACTORY_ONLY:
            facts.pop(ODOMETER, None)
        fitted = {place: s.fitted for place, s in states.items() if s.fitted is not None}
        chosen = {place: s.chosen for place, s in states.items() if s.chosen is not None}
        machine = Machine(facts=facts, fitted=fitted)
        seen = Assignment(machine, self._compiled.properties, chosen, steps)
        return Case(situation, seen, fitted, chosen, steps)

    # -- states of one place ------------------------------------------------------------

    def _states_of(
        self, place: str, options: Options, asked: Asked, fittings: Fittings
    ) -> tuple[tuple[_State, ...], bool]:
        """The states that the question can tell apart, and whether they are all."""
        key = (place, options, asked, fittings)
        if key not in self._states:
            fitted, whole = self._fitted_in(place, options, asked, fittings)
            chosen: list[PartKey | None] = [None]
            if fittings is not Fittings.FACTORY_ONLY:
                chosen += [part.key for part in options.candidates]
            states: dict[Hashable, _State] = {}
            for one in fitted:
                for part in chosen:
                    state = _State(one, part)
                    states.setdefault(self._look(place, state, asked), state)
            self._states[key] = (tuple(states.values()), whole)
        return self._states[key]

    def _look(self, place: str, state: _State, asked: Asked) -> Hashable:
        """All that the question sees of the place."""
        fitted, reads = state.fitted, asked.reads
        before = None if fitted is None else fitted.properties
        after = before if state.chosen is None else self._compiled.properties[state.chosen]
        seen: list[Hashable] = [
            place in reads.renewed and state.chosen is not None,
            place in reads.present and after is not None,
            place in reads.run_km and (fitted is not None, fitted and fitted.run_km),
        ]
        for read in asked.of_place(place):
            properties = after if read.source == "target" else before
            seen.append(properties is not None and (properties.get(read.arguments[1]),))
        return tuple(seen)

    def _fitted_in(
        self, place: str, options: Options, asked: Asked, fittings: Fittings
    ) -> tuple[list[Fitted | None], bool]:
        factory = options.factory
        if fittings is Fittings.FACTORY_ONLY:
            return [None if factory is None else fitted_from(factory, None, factory=True)], True
        distances: tuple[int, ...] = (0,)
        if place in asked.reads.run_km:
            distances = distances_km(asked.constants)
        found: list[Fitted | None] = []
        if factory is None:
            found.append(None)
        else:
            found += [fitted_from(factory, km, factory=True) for km in distances]
        if fittings >= Fittings.LISTED:
            parts = self._compiled.parts_of[place]
            found += [fitted_from(part, km) for part in parts for km in distances]
        whole = True
        if fittings is Fittings.ANYTHING:
            told = list(islice(self._told(place, asked), MOST_UNLISTED + 1))
            whole = len(told) <= MOST_UNLISTED
            found += [
                Fitted(properties=properties, run_km=km)
                for properties in told[:MOST_UNLISTED]
                for km in distances
            ]
        return found, whole

    def _told(self, place: str, asked: Asked) -> Iterable[Mapping[str, Value | None]]:
        """Properties that a request can tell of a part that is not listed."""
        read = {name.arguments[1] for name in asked.of_place(place)}
        declared = [f for f in self._compiled.part_types[place].properties if f.name in read]
        domains = [field_values(definition, asked.constants) for definition in declared]
        names = [definition.name for definition in declared]
        return (dict(zip(names, values, strict=True)) for values in product(*domains))
