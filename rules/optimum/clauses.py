"""A boolean model: variables that cost something when true, clauses that say where they come from.

Literals are non-zero integers: ``v`` is variable v true, ``-v`` is variable v false.
Costs are whole and never negative, so "false" is free and is what everything is until
a clause asks otherwise. That one convention does most of the domain reduction: what no
request reaches is never looked at.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field

Clause = tuple[int, ...]
Origin = Hashable
"""What a clause follows from. ``None``: from the meaning of the variables alone."""


@dataclass(slots=True)
class ClauseModel:
    """Clauses, costs and at-most-one groups over variables 1..n."""

    costs: list[int] = field(default_factory=lambda: [0])
    clauses: list[Clause] = field(default_factory=list)
    origins: list[Origin] = field(default_factory=list)
    at_most_one: list[tuple[tuple[int, ...], int]] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many variables there are."""
        return len(self.costs) - 1

    def variable(self, cost: int = 0) -> int:
        """A new variable; ``cost`` is what it costs when true."""
        self.costs.append(cost)
        return len(self.costs) - 1

    def add(self, literals: Iterable[int], origin: Origin = None) -> None:
        """At least one of ``literals`` holds, because of ``origin``.

        A literal counts once (HiGHS does not survive a column twice in a row); a clause that
        holds whatever happens is left out.
        """
        clause = tuple(dict.fromkeys(literals))
        if not any(-literal in clause for literal in clause):
            self.clauses.append(clause)
            self.origins.append(origin)

    def implies(self, condition: int, consequence: int, origin: Origin = None) -> None:
        """Where ``condition`` holds, ``consequence`` holds."""
        self.add((-condition, consequence), origin)

    def exclusive(self, variables: Sequence[int], cap: int = 0) -> None:
        """At most one of ``variables`` is true, and none unless ``cap`` is (0: no such variable).

        The linear relaxation then knows that their sum stays below the cap, which says much
        more than each of them alone.
        """
        group = tuple(dict.fromkeys(variables))
        for variable in group if cap else ():
            self.implies(variable, cap)
        if group:
            self.at_most_one.append((group, cap))

    def cost_of(self, true_variables: Iterable[int]) -> int:
        """The exact cost of a choice."""
        return sum(self.costs[variable] for variable in true_variables)
