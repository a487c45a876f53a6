"""The same model as a 0-1 linear programme for HiGHS, for what our own search finds too hard.

One linear relaxation is kept per model; each question only moves variable bounds, so
related questions start from the work of the ones before.
"""

from __future__ import annotations

from collections.abc import Mapping

import highspy
import numpy as np

from rules.optimum.clauses import ClauseModel


class NotProven(RuntimeError):
    """HiGHS ended without a proof of optimality or of impossibility."""


class LinearProgramme:
    """Rows: each clause sums to at least 1 (negated literals as 1 - x), each group to at most 1."""

    def __init__(self, model: ClauseModel, cost_unit: int) -> None:
        self._size = model.size
        self._highs = highspy.Highs()
        for option, setting in (
            ("output_flag", False),
            ("threads", 1),
            ("random_seed", 1),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", 1e-6),
            ("mip_feasibility_tolerance", 1e-9),
        ):
            self._highs.setOptionValue(option, setting)
        self._highs.passModel(_linear(model, cost_unit))

    def minimise(self, fixed: Mapping[int, bool]) -> list[int] | None:
        """True variables of a cheapest choice with ``fixed`` variables, or None: impossible.

        Raises NotProven when HiGHS stops for any other reason.
        """
        lower = np.zeros(self._size)
        upper = np.ones(self._size)
        for variable, value in fixed.items():
            lower[variable - 1] = upper[variable - 1] = float(value)
        columns = np.arange(self._size, dtype=np.int32)
        self._highs.changeColsBounds(self._size, columns, lower, upper)
        self._highs.run()
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            raise NotProven(self._highs.modelStatusToString(status))
        values = self._highs.getSolution().col_value
        return [column + 1 for column in range(self._size) if values[column] > 0.5]


def _linear(model: ClauseModel, cost_unit: int) -> highspy.HighsLp:
    lp = highspy.HighsLp()
    lp.num_col_ = model.size
    lp.col_cost_ = np.array([cost / cost_unit for cost in model.costs[1:]])
    lp.col_lower_ = np.zeros(model.size)
    lp.col_upper_ = np.ones(model.size)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * model.size
    starts, indices, values, lower, upper = [0], [], [], [], []
    for clause in model.clauses:
        indices += [abs(literal) - 1 for literal in clause]
        values += [1.0 if literal > 0 else -1.0 for literal in clause]
        lower.append(1.0 - sum(1 for literal in clause if literal < 0))
        upper.append(highspy.kHighsInf)
        starts.append(len(indices))
    for group in model.at_most_one:
        indices += [variable - 1 for variable in group]
        values += [1.0] * len(group)
        lower.append(-highspy.kHighsInf)
        upper.append(1.0)
        starts.append(len(indices))
    lp.num_row_ = len(lower)
    lp.row_lower_ = np.array(lower)
    lp.row_upper_ = np.array(upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.array(indices, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(values)
    return lp
