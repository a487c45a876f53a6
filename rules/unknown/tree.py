"""Every way the missing facts could turn out, asked one by one and no further than needed.

At each branch one fact is told that the hopeful plan took on trust. A branch ends where the
rest no longer matters, so facts that decide nothing are never told, and one ending stands
for many machines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from rules.compiled import CompiledCatalog
from rules.model.plan import Plan
from rules.unknown.machines import Inquiry, Told
from rules.unknown.readings import Reading, read, same_build
from rules.unknown.values import values_of
from rules.values import Value

READING_LIMIT = 96
"""Machines read for one request; what is still open then is asked for without being tried."""


@dataclass(frozen=True, slots=True)
class Ending:
    """What was told on the way, and how the machine then reads."""

    told: Told
    reading: Reading

    @property
    def impossible(self) -> bool:
        """Whether nothing is valid on such a machine."""
        return self.reading.settled and self.reading.plan is None

    @property
    def final(self) -> Plan | None:
        """The plan, once it is settled."""
        return self.reading.plan if self.reading.settled else None

    def like(self, other: Ending) -> bool:
        """Whether both come to the same build, or to the same open question."""
        one, two = self.reading, other.reading
        return (
            one.trusted == two.trusted
            and same_build(one.plan, two.plan)
            and (one.settled or same_build(one.hopeful, two.hopeful))
        )


def endings(inquiry: Inquiry, first: Reading) -> list[Ending]:
    """All endings, in the order of the values told. Together they stand for every machine."""
    found: list[Ending] = []
    stack = [Ending({}, first)]
    read_so_far = 1
    while stack:
        ending = stack.pop()
        chosen = None if ending.reading.settled else _next_name(inquiry.compiled, ending.reading)
        if chosen is None or read_so_far + len(chosen[1]) > READING_LIMIT:
            found.append(ending)
            continue
        name, values = chosen
        branches = [_further(inquiry, ending.told, name, value) for value in values]
        read_so_far += len(values)
        stack.extend(reversed([branch for branch in branches if branch is not None]))
    return found


def _further(inquiry: Inquiry, told: Told, name: str, value: Value) -> Ending | None:
    answers = {**told, name: value}
    machine = inquiry.told(answers)
    return None if machine is None else Ending(answers, read(inquiry, machine, answers))


def _next_name(compiled: CompiledCatalog, reading: Reading) -> tuple[str, tuple[Value, ...]] | None:
    """The first name by which a person would ask whose values can be listed."""
    for name in in_order(compiled, reading.trusted):
        values = values_of(compiled, reading.model.machine, name)
        if values:
            return name, values
    return None


def in_order(compiled: CompiledCatalog, names: Iterable[str]) -> list[str]:
    """Facts with a question first, as the keeper listed them, then what is fitted."""
    places = {f"vehicle.{name}": place for place, name in enumerate(compiled.facts)}
    quiet = {f"vehicle.{name}" for name, fact in compiled.facts.items() if fact.question is None}
    return sorted(names, key=lambda n: (n not in places, n in quiet, places.get(n, 0), n))


# -- which facts tell the endings apart ---------------------------------------------------


def separating(compiled: CompiledCatalog, listed: list[Ending]) -> tuple[str, ...]:
    """The smallest set of names told by which different endings can be told apart."""
    names = in_order(compiled, {name for ending in listed for name in ending.told})
    pairs = [
        (one.told, other.told) for one, other in combinations(listed, 2) if not one.like(other)
    ]
    for size in range(len(names) + 1):
        for chosen in combinations(names, size):
            if all(_apart(chosen, one, other) for one, other in pairs):
                return chosen
    return tuple(names)


def _apart(chosen: tuple[str, ...], one: Told, other: Told) -> bool:
    return any(n in one and n in other and one[n] != other[n] for n in chosen)
