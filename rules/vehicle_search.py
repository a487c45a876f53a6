"""Which configurations what is known leaves open, and which question narrows them most."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rules import identify
from rules.catalog import FieldDefinition, Vehicle
from rules.compiled import CompiledCatalog
from rules.faults import Fault
from rules.values import Value


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer to a question, and how many configurations it would leave."""

    value: Value
    left: int


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact that tells the configurations left apart.

    ``expected_left``: how many an answer leaves on average, each configuration being as likely
    and each value that it leaves open, too. ``most_left``: how many the least helpful leaves.
    """

    fact: FieldDefinition
    answers: tuple[Answered, ...]
    expected_left: Fraction

    @property
    def values(self) -> tuple[Value, ...]:
        return tuple(answer.value for answer in self.answers)

    @property
    def most_left(self) -> int:
        return max(answer.left for answer in self.answers)


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a machine. ``facts`` are checked; ``model_years``: the years that its
    number can mean, None: open; ``words``: any part of what a configuration is called or has."""

    facts: Mapping[str, Value]
    model_years: Collection[int] | None = None
    words: tuple[str, ...] = ()


def checked_facts(
    compiled: CompiledCatalog, given: Mapping[str, Value], where: str = "/facts"
) -> tuple[dict[str, Value], list[Fault]]:
    """The facts as their kinds want them, and what is wrong with the others."""
    facts: dict[str, Value] = {}
    faults: list[Fault] = []
    for name, value in given.items():
        at = f"{where}/{identify.escaped(name)}"
        definition = compiled.facts.get(name)
        if definition is None:
            mend = identify.near(name, compiled.facts)
            faults.append(Fault(at, f"no fact is called {name!r}", mend))
            continue
        checked = identify.checked_value(definition, value, at, faults)
        if checked is not None:
            facts[name] = checked
    return facts, faults


def contradictions(compiled: CompiledCatalog, known: Known) -> list[Fault]:
    """What cannot be true together, and words that no configuration answers to."""
    faults: list[Fault] = []
    year, years = known.facts.get(identify.MODEL_YEAR), known.model_years
    if isinstance(year, int) and years is not None and year not in years:
        said = " or ".join(map(str, sorted(years)))
        problem = f"{year} contradicts the number, whose year code means {said}"
        mend = "Leave the year out, or read the number again."
        faults.append(Fault(f"/facts/{identify.MODEL_YEAR}", problem, mend))
    vehicles = compiled.vehicles.values()
    for word in known.words:
        if not any(_answers_to(vehicle, word) for vehicle in vehicles):
            names = {text for v in vehicles for text in _texts(v) if " " not in text}
            mend = identify.near(word, names)
            faults.append(Fault("/words", f"no configuration answers to {word!r}", mend))
    return faults


def matching(compiled: CompiledCatalog, known: Known) -> tuple[Vehicle, ...]:
    """The configurations that nothing known contradicts. A fact that a configuration does not
    fix contradicts nothing."""
    return tuple(
        vehicle
        for vehicle in identify.matching(compiled, known.facts)
        if _in_years(vehicle, known.model_years)
        and all(_answers_to(vehicle, word) for word in known.words)
    )


def agreed(left: Sequence[Vehicle], known: Known) -> dict[str, Value]:
    """What is said, and what all of ``left`` have in common; nothing when none is left."""
    if not left:
        return {}
    first, *others = (identify.facts_of(vehicle) for vehicle in left)
    common = {
        name: value
        for name, value in first.items()
        if all(other.get(name) == value for other in others)
    }
    return {**common, **known.facts}


def differences(
    left: Sequence[Vehicle], known: Known, declared: Iterable[FieldDefinition]
) -> tuple[Difference, ...]:
    """The facts that tell ``left`` apart: the one that leaves fewest on average first, then the
    one whose worst answer leaves fewer, then in order of name. Only values that contradict
    nothing said are among the answers."""
    found = [
        _difference(left, known, definition)
        for definition in declared
        if definition.name not in known.facts
    ]
    telling = [d for d in found if d is not None and d.expected_left < len(left)]
    return tuple(sorted(telling, key=lambda d: (d.expected_left, d.most_left, d.fact.name)))


def _difference(
    left: Sequence[Vehicle], known: Known, definition: FieldDefinition
) -> Difference | None:
    possible = [_values(vehicle, definition.name, known) for vehicle in left]
    values = sorted({value for own in possible for value in own}, key=_in_order)
    if len(values) < 2:
        return None
    own_values = [set(own) or set(values) for own in possible]  # not fixed: any of them
    counts = {value: sum(value in own for own in own_values) for value in values}
    per_vehicle = (Fraction(sum(counts[v] for v in own), len(own)) for own in own_values)
    answers = tuple(Answered(value, counts[value]) for value in values)
    return Difference(definition, answers, sum(per_vehicle, Fraction(0)) / len(left))


def _values(vehicle: Vehicle, fact: str, known: Known) -> tuple[Value, ...]:
    """What the fact can be on the configuration; empty where it does not fix it."""
    if fact == identify.MODEL_YEAR:
        span = range(vehicle.model_year_from, vehicle.model_year_to + 1)
        years = known.model_years
        return tuple(year for year in span if years is None or year in years)
    return (vehicle.facts[fact],) if fact in vehicle.facts else ()


def _in_years(vehicle: Vehicle, years: Collection[int] | None) -> bool:
    if years is None:
        return True
    return any(vehicle.model_year_from <= year <= vehicle.model_year_to for year in years)


def _answers_to(vehicle: Vehicle, word: str) -> bool:
    """A year within its range, a figure that it has, or a part of one of its names."""
    folded = word.casefold()
    if folded.isascii() and folded.isdigit():
        year = int(folded) if len(folded) == 4 else 0
        if vehicle.model_year_from <= year <= vehicle.model_year_to:
            return True
        figures = (f"{v:g}" for v in vehicle.facts.values() if not isinstance(v, bool | str))
        if folded in figures:
            return True
    return any(folded in text for text in _texts(vehicle))


def _texts(vehicle: Vehicle) -> list[str]:
    facts = (v for v in vehicle.facts.values() if isinstance(v, str))
    return [text.casefold() for text in (vehicle.label, *facts)]


def _in_order(value: Value) -> tuple[str, float]:
    return (value, 0.0) if isinstance(value, str) else ("", float(value))
