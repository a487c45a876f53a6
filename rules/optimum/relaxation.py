"""The linear relaxation of a clause model in HiGHS: bounds for what the plain search finds hard.

One linear programme is kept per model and re-solved from where it stood, so that the
dozens of related questions behind one answer (each add-on, each repair) cost a few pivots
each instead of a new programme.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

import highspy
import numpy as np

from rules.optimum.clauses import ClauseModel

_INFINITE: Final[float] = highspy.kHighsInf

TIME_LIMIT_S: Final[float] = 60.0
"""No single programme may take longer; none has come near it."""

INTEGRAL = 1e-6
"""A value this close to 0 or 1 is taken as that; the choice is then checked clause by clause."""


class NotSolved(RuntimeError):
    """HiGHS ended without an answer to a linear programme."""


@dataclass(frozen=True, slots=True)
class Relaxed:
    """Least value of the objective, values and reduced costs (index 0 is variable 1)."""

    value: float
    values: Sequence[float]
    reduced_costs: Sequence[float]

    def fractional(self) -> list[int]:
        """Variables that are neither 0 nor 1."""
        return [
            column + 1
            for column, value in enumerate(self.values)
            if INTEGRAL < value < 1.0 - INTEGRAL
        ]


class Relaxation:
    """Rows: each clause sums to at least 1 (a negated literal as 1 - x), each group to its cap.

    Then one row an objective, which keeps it at its best while a later one is minimised.
    """

    def __init__(self, model: ClauseModel, objectives: Sequence[Sequence[float]]) -> None:
        self._objectives = [np.array(costs) for costs in objectives]
        self._size = model.size
        self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
        self._highs.setOptionValue("output_flag", False)
        self._highs.setOptionValue("random_seed", 1)
        self._highs.setOptionValue("parallel", "off")
        self._highs.setOptionValue("solver", "simplex")
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue("mip_rel_gap", 0.0)
        self._highs.setOptionValue("mip_abs_gap", 1e-6)
        self._highs.setOptionValue("time_limit", TIME_LIMIT_S)
        self._highs.setOptionValue("simplex_scale_strategy", 0)
        self._columns = np.arange(self._size, dtype=np.int32)
        self._cap_row = len(model.clauses) + len(model.at_most_one)
        self._highs.passModel(_linear(model, objectives[0]))
        self._cap_rows = 0
        self._aim: tuple[int, tuple[float, ...]] = (0, ())

    def aim(self, index: int, caps: Sequence[float]) -> None:
        """Minimise an objective from now on, the ones before it staying within ``caps``."""
        if self._aim == (index, tuple(caps)):
            return
        self._aim = (index, tuple(caps))
        self._highs.changeColsCost(self._size, self._columns, self._objectives[index])
        while self._cap_rows < len(caps):
            self._add_cap_row(self._objectives[self._cap_rows])
        for row in range(self._cap_rows):
            cap = caps[row] if row < len(caps) else highspy.kHighsInf
            self._highs.changeRowBounds(self._cap_row + row, -highspy.kHighsInf, cap)

    def _add_cap_row(self, costs: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
        """A row for an objective, only once it has to be held: it is the densest of all."""
        costly = np.flatnonzero(costs).astype(np.int32)
        self._highs.addRow(-_INFINITE, _INFINITE, len(costly), costly, costs[costly])
        self._cap_rows += 1

    def solve(self, held: Iterable[int]) -> Relaxed | None:
        """The least value while every literal of ``held`` holds; None: impossible.

        Raises NotSolved when HiGHS stops for any other reason.
        """
        self._hold(held)
        self._highs.run()
        return self._read()

    def solve_whole(self, held: Iterable[int]) -> Relaxed | None:
        """As ``solve``, in whole values: HiGHS' own branch and cut, for what resists ours."""
        self._hold(held)
        self._switch(highspy.HighsVarType.kInteger, "choose")
        try:
            self._highs.run()
            return self._read()
        finally:
            self._switch(highspy.HighsVarType.kContinuous, "off")
            self._highs.clearSolver()

    def _switch(self, kind: highspy.HighsVarType, presolve: str) -> None:
        self._highs.setOptionValue("presolve", presolve)
        for column in range(self._size):
            self._highs.changeColIntegrality(column, kind)

    def _hold(self, held: Iterable[int]) -> None:
        lower = np.zeros(self._size)
        upper = np.ones(self._size)
        for literal in held:
            if literal > 0:
                lower[literal - 1] = 1.0
            else:
                upper[-literal - 1] = 0.0
        self._highs.changeColsBounds(self._size, self._columns, lower, upper)

    def _read(self) -> Relaxed | None:
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            raise NotSolved(self._highs.modelStatusToString(status))
        solution = self._highs.getSolution()
        return Relaxed(
            self._highs.getInfo().objective_function_value,
            list(solution.col_value),
            list(solution.col_dual),
        )


def _linear(model: ClauseModel, costs: Sequence[float]) -> highspy.HighsLp:
    lp = highspy.HighsLp()
    lp.num_col_ = model.size
    lp.col_cost_ = np.array(costs)
    lp.col_lower_ = np.zeros(model.size)
    lp.col_upper_ = np.ones(model.size)
    literals = [literal for clause in model.clauses for literal in clause]
    indices = [abs(literal) - 1 for literal in literals]
    values = [1.0 if literal > 0 else -1.0 for literal in literals]
    sizes = [len(clause) for clause in model.clauses]
    lower = [1.0 - sum(literal < 0 for literal in clause) for clause in model.clauses]
    upper = [_INFINITE] * len(lower)
    for group, cap in model.at_most_one:
        indices += [variable - 1 for variable in group]
        values += [1.0] * len(group)
        if cap:
            indices.append(cap - 1)
            values.append(-1.0)
        sizes.append(len(group) + bool(cap))
        upper.append(0.0 if cap else 1.0)
    lower += [-_INFINITE] * (len(sizes) - len(lower))
    lp.num_row_ = len(sizes)
    lp.row_lower_ = np.array(lower)
    lp.row_upper_ = np.array(upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array([0, *accumulate(sizes)], dtype=np.int32)
    lp.a_matrix_.index_ = np.array(indices, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(values)
    return lp
