"""Configurations of the catalog that a question cannot tell apart, looked at once."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice, product

from rules.catalog import FactCondition, Part, PartKey, Requirement, Vehicle
from rules.compiled import CompiledCatalog
from rules.fitment import all_hold, fits
from rules.identify import MODEL_YEAR
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.model.checks import fires
from rules.rule_checks.asked import Asked, asked_of
from rules.rule_checks.domains import field_values
from rules.values import Value

MOST_SITUATIONS = 20_000
"""Different machines looked at for one question."""

Facts = Mapping[str, Value]


@dataclass(frozen=True, slots=True, eq=False)
class Options:
    """What a place holds from the factory, and what it can be renewed with.

    The same parts are always the same object, so that situations compare quickly.
    """

    factory: Part | None
    candidates: tuple[Part, ...]


@dataclass(slots=True)
class Situation:
    """Machines with such ``facts`` (of the first of ``vehicles``) that look alike."""

    facts: Facts
    options: Mapping[str, Options]
    steps: frozenset[str]
    """The steps asked about that can be done on these machines."""
    vehicles: dict[str, None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Situations:
    """``whole``: every configuration is among them, with all that its facts can be."""

    listed: tuple[Situation, ...]
    whole: bool


class Configurations:
    """The configurations of one catalog, grouped anew for each question."""

    def __init__(self, compiled: CompiledCatalog) -> None:
        self._compiled = compiled
        self._options: dict[Hashable, Options] = {}
        self._place_facts: dict[str, frozenset[str]] = {}
        self._values: dict[tuple[Hashable, ...], tuple[Value, ...]] = {}
        self._alike = _alike(compiled)
        self._by_facts: dict[tuple[str, ...], list[Facts]] = {}
        self._known_texts = _texts_by_fact(compiled)
        self._reachable = _reachable_steps(compiled)

    def open_facts(self, vehicle_id: str) -> list[str]:
        """Facts that a configuration does not settle."""
        vehicle = self._compiled.vehicles[vehicle_id]
        one_year = vehicle.model_year_from == vehicle.model_year_to
        fixed = {*vehicle.facts, *([MODEL_YEAR] if one_year else [])}
        return [name for name in self._compiled.facts if name not in fixed]

    def situations(
        self, asked: Asked, places: Iterable[str] = (), facts: Iterable[str] = ()
    ) -> Situations:
        """All that the question can tell apart. ``places``, ``facts``: looked at besides."""
        all_places = sorted({*asked.places, *places})
        read = sorted(asked.reads.facts | set(facts))
        relevant = {*read, *self._facts_of_steps(asked.reads.doing)}
        relevant = relevant.union(*(self._facts_of(place) for place in all_places))
        found: dict[Hashable, Situation] = {}
        machines = self._machines(sorted(relevant), asked)
        for names, vehicles in islice(machines, MOST_SITUATIONS):
            options = {place: self._options_of(place, names) for place in all_places}
            steps = self._possible(asked.reads.doing, names)
            look = (tuple(names[f] for f in read), tuple(options.values()), steps)
            situation = found.setdefault(look, Situation(names, options, steps))
            situation.vehicles.update(dict.fromkeys(v.id for v in vehicles))
        return Situations(tuple(found.values()), whole=next(machines, None) is None)

    @property
    def distinct(self) -> list[Vehicle]:
        """One configuration of each set of facts and years."""
        return [vehicles[0] for vehicles in self._alike]

    def calls_for(self, step: str) -> bool:
        """Whether a way, a requirement or a step that is called for calls for the step."""
        return step in self._reachable

    def fits_some(self, part: Part) -> bool:
        """Whether a part fits some configuration, by its rows in the fitment."""
        statements = self._compiled.fitment.get(part.key, [])
        relevant = tuple(sorted({c.fact for row in statements for c in row.conditions}))
        if relevant not in self._by_facts:
            machines = self._machines(list(relevant), asked_of([]))
            self._by_facts[relevant] = [facts for facts, _ in islice(machines, MOST_SITUATIONS)]
        return any(fits(statements, facts) is True for facts in self._by_facts[relevant])

    # -- machines -------------------------------------------------------------------

    def _machines(self, relevant: list[str], asked: Asked) -> Iterator[tuple[Facts, list[Vehicle]]]:
        """Each different set of relevant facts, with the configurations that can have it."""
        alike: dict[Hashable, list[Vehicle]] = {}
        has_years = MODEL_YEAR in relevant
        for vehicles in self._alike:
            first = vehicles[0]
            fixed = tuple(first.facts.get(name) for name in relevant)
            look = (fixed, (first.model_year_from, first.model_year_to) if has_years else None)
            alike.setdefault(look, []).extend(vehicles)
        for vehicles in alike.values():
            domains = [self._fact_values(name, vehicles[0], asked) for name in relevant]
            for values in product(*domains):
                yield dict(zip(relevant, values, strict=True)), vehicles

    def _fact_values(self, name: str, vehicle: Vehicle, asked: Asked) -> tuple[Value, ...]:
        if name in vehicle.facts:
            return (vehicle.facts[name],)
        if name == MODEL_YEAR:
            return tuple(range(vehicle.model_year_from, vehicle.model_year_to + 1))
        texts = frozenset(c for c in asked.constants if isinstance(c, str))
        key = (name, texts)
        if key not in self._values:
            definition = self._compiled.facts[name]
            known = self._known_texts.get(name, set()) | texts
            telling = known if definition.kind == "text" else self._compiled.telling_values(name)
            self._values[key] = field_values(definition, telling)
        return self._values[key]

    # -- places and steps --------------------------------------------------------------

    def _facts_of(self, place: str) -> frozenset[str]:
        """Facts that decide what a place holds or can be renewed with."""
        if place not in self._place_facts:
            conditions = [
                c for row in self._compiled.factory.get(place, ()) for c in row.conditions
            ]
            for part in self._sold(place):
                for statement in self._compiled.fitment.get(part.key, ()):
                    conditions.extend(statement.conditions)
            self._place_facts[place] = frozenset(condition.fact for condition in conditions)
        return self._place_facts[place]

    def _sold(self, place: str) -> Iterator[Part]:
        for part in self._compiled.parts_of[place]:
            if is_sold(self._compiled, part.key):
                yield part

    def _options_of(self, place: str, facts: Facts) -> Options:
        key = (place, tuple(facts[name] for name in sorted(self._facts_of(place))))
        if key not in self._options:
            fitment = self._compiled.fitment
            factory = self._factory_part(place, facts)
            candidates = tuple(
                part for part in self._sold(place) if fits(fitment.get(part.key, ()), facts) is True
            )
            same = (factory and factory.key, *(part.key for part in candidates))
            self._options[key] = self._options.setdefault(
                (place, same, "parts"), Options(factory, candidates)
            )
        return self._options[key]

    def _factory_part(self, place: str, facts: Facts) -> Part | None:
        for row in self._compiled.factory.get(place, ()):
            if all_hold(row.conditions, facts) is True:
                return self._compiled.parts[row.part]
        return None

    def _facts_of_steps(self, steps: Collection[str]) -> frozenset[str]:
        whens = [self._compiled.step_when[step] for step in steps]
        return frozenset().union(*(when.reads.facts for when in whens if when is not None))

    def _possible(self, steps: Collection[str], facts: Facts) -> frozenset[str]:
        """Steps that something can call for and that are something on such machines."""
        here = Assignment(Machine(facts=facts, fitted={}), {}, {}, ())
        step_when = self._compiled.step_when
        return frozenset(
            step
            for step in steps
            if step in self._reachable and fires(step_when[step], here) is not False
        )


def is_sold(compiled: CompiledCatalog, key: PartKey) -> bool:
    """Whether a part can be bought under its own number today."""
    return compiled.parts[key].status == "current" and key not in compiled.replaced_by


def _alike(compiled: CompiledCatalog) -> list[list[Vehicle]]:
    """Configurations with the same facts and years together."""
    groups: dict[Hashable, list[Vehicle]] = {}
    for vehicle in compiled.vehicles.values():
        facts = tuple(sorted(vehicle.facts.items()))
        look = (vehicle.model_year_from, vehicle.model_year_to, facts)
        groups.setdefault(look, []).append(vehicle)
    return list(groups.values())


def _texts_by_fact(compiled: CompiledCatalog) -> dict[str, set[Value]]:
    """Texts that configurations and conditions name for each fact."""
    texts: dict[str, set[Value]] = {}
    catalog = compiled.catalog
    for vehicle in catalog.vehicles:
        for name, value in vehicle.facts.items():
            texts.setdefault(name, set()).add(value)
    conditions: list[FactCondition] = []
    for statement in catalog.fitment:
        conditions.extend(statement.conditions)
    for factory in catalog.factory_parts:
        conditions.extend(factory.conditions)
    for condition in conditions:
        texts.setdefault(condition.fact, set()).update(condition.values)
    return texts


def _reachable_steps(compiled: CompiledCatalog) -> frozenset[str]:
    """Steps that a way or a requirement calls for, and all that those need."""
    open_ = [s for o in compiled.operations.values() for way in o.ways for s in way.steps]
    for requirement in compiled.requirements:
        rule = requirement.rule
        if isinstance(rule, Requirement) and rule.do is not None:
            open_.append(rule.do)
    reached: set[str] = set()
    while open_:
        step = open_.pop()
        if step not in reached:
            reached.add(step)
            open_.extend(compiled.steps[step].needs)
    return frozenset(reached)
