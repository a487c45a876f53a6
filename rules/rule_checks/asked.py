"""What a question about some expressions depends on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from rules.expressions import Anatomy, Expression, Read, Reads, anatomy
from rules.values import Value


@dataclass(frozen=True, slots=True)
class Asked:
    """The names that some expressions read together, and what tells their values apart."""

    reads: Reads
    names: tuple[Read, ...]
    constants: frozenset[Value]
    loose: frozenset[Read]

    @property
    def places(self) -> tuple[str, ...]:
        """Every part type that is read in some way."""
        reads = self.reads
        pairs = {part_type for part_type, _ in reads.target | reads.fitted}
        return tuple(sorted(pairs | reads.renewed | reads.present | reads.run_km))

    def telling_renewed(self, place: str) -> Asked:
        """The same question, which also tells whether the place is renewed."""
        return replace(self, reads=replace(self.reads, renewed=self.reads.renewed | {place}))

    def of_place(self, place: str) -> tuple[Read, ...]:
        """The target and fitted properties that are read of one part type."""
        wanted = ("target", "fitted")
        return tuple(r for r in self.names if r.source in wanted and r.arguments[0] == place)


def asked_of(expressions: Iterable[Expression | None]) -> Asked:
    """What the outcome of the expressions together can depend on."""
    given = [expression for expression in expressions if expression is not None]
    parts: list[Anatomy] = [anatomy(expression) for expression in given]
    return Asked(
        reads=_merged([expression.reads for expression in given]),
        names=tuple(dict.fromkeys(name for part in parts for name in part.names)),
        constants=frozenset().union(*(part.constants for part in parts)),
        loose=frozenset().union(*(part.loose for part in parts)),
    )


def _merged(reads: list[Reads]) -> Reads:
    return Reads(
        facts=frozenset().union(*(r.facts for r in reads)),
        target=frozenset().union(*(r.target for r in reads)),
        fitted=frozenset().union(*(r.fitted for r in reads)),
        renewed=frozenset().union(*(r.renewed for r in reads)),
        doing=frozenset().union(*(r.doing for r in reads)),
        present=frozenset().union(*(r.present for r in reads)),
        run_km=frozenset().union(*(r.run_km for r in reads)),
    )
