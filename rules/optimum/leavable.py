"""A clause model in which the clauses of some origins can be left out, question by question.

The model is copied once with one more variable for each such origin: while it is true, the
origin's clauses say nothing. So one search answers "what if this were not asked?" again and
again, and one solver prices it.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from rules.optimum.clauses import Clause, ClauseModel
from rules.optimum.conflict_sets import OutOfWorkError, Verdict
from rules.optimum.learning import Learner
from rules.optimum.search import TooHard

K = TypeVar("K", bound=Hashable)

WORK = 5_000
"""Dead ends that the questions about one request may meet together."""


@dataclass(frozen=True, slots=True)
class Leavable(Generic[K]):
    """``model``: the clauses with the variables ``left_out``, one for each origin."""

    model: ClauseModel
    left_out: dict[K, int]

    def assuming(self, kept: Collection[K]) -> list[int]:
        """Literals that hold the clauses of ``kept`` and set those of all others aside."""
        return [-v if origin in kept else v for origin, v in self.left_out.items()]

    def by_origin(self) -> dict[K, list[Clause]]:
        """The clauses of each origin as they stand when it is not left out."""
        found: dict[K, list[Clause]] = {origin: [] for origin in self.left_out}
        origin_of = {variable: origin for origin, variable in self.left_out.items()}
        for clause in self.model.clauses:
            if clause and clause[-1] in origin_of:
                found[origin_of[clause[-1]]].append(clause[:-1])
        return found


def leavable(model: ClauseModel, origins: Sequence[K]) -> Leavable[K]:
    """A copy in which each of ``origins`` can be left out, at no cost."""
    copy = ClauseModel(costs=list(model.costs), at_most_one=model.at_most_one)
    left_out = {origin: copy.variable() for origin in origins}
    by_origin: dict[Hashable, int] = {origin: left_out[origin] for origin in origins}
    for clause, origin in zip(model.clauses, model.origins, strict=True):
        variable = by_origin.get(origin)
        copy.clauses.append(clause if variable is None else (*clause, variable))
        copy.origins.append(origin)
    return Leavable(copy, left_out)


class Questions(Generic[K]):
    """Which origins hold together, with ``frame`` (literals) holding as well.

    ``work``: how many dead ends all questions together may meet.
    """

    def __init__(self, clauses: Leavable[K], frame: Iterable[int] = (), work: int = WORK) -> None:
        self._left_out = clauses.left_out
        self._frame = tuple(frame)
        self._learner = Learner(clauses.model, work)
        self._kept_by = {-variable: origin for origin, variable in self._left_out.items()}
        self._clauses = clauses.by_origin()

    def ask(self, kept: frozenset[K]) -> Verdict[K]:
        """Raises OutOfWorkError when the work is used up."""
        clash = self._clash(kept, ())
        if clash is None:
            return Verdict(True, frozenset(o for o in self._left_out if self._holds(o)))
        return Verdict(
            False, frozenset(self._kept_by[lit] for lit in clash if lit in self._kept_by)
        )

    def _holds(self, origin: K) -> bool:
        """Whether the clauses of an origin hold in the choice last found, asked for or not."""
        true = self._learner.true
        return all(
            any((literal in true) if literal > 0 else (-literal not in true) for literal in clause)
            for clause in self._clauses[origin]
        )

    def clash(self, kept: frozenset[K], literals: Iterable[int]) -> frozenset[int] | None:
        """Those of ``literals`` that cannot hold together with ``kept``; None: all of them can.

        Raises OutOfWorkError when the work is used up.
        """
        asked = tuple(literals)
        clash = self._clash(kept, asked)
        return None if clash is None else clash.intersection(asked)

    def _clash(self, kept: frozenset[K], literals: Iterable[int]) -> frozenset[int] | None:
        # What is left out first: it can clash with nothing, and closes many clauses at once.
        out = [v for origin, v in self._left_out.items() if origin not in kept]
        held = [-v for origin, v in self._left_out.items() if origin in kept]
        try:
            return self._learner.clash((*out, *self._frame, *literals, *held))
        except TooHard:
            raise OutOfWorkError from None
