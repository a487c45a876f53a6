"""A 0-1 programme handed to HiGHS whole: no reductions of ours, one model a plan."""

from __future__ import annotations

import highspy
import numpy as np

from tests.reference.program import Program

MINOR = 10_000
"""Costs are in ten-thousandths of a minor unit; HiGHS is given minor units."""


def minimise(program: Program) -> frozenset[int] | None:
    """The variables that are 1 where the first objective is least; None: nothing is valid."""
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("parallel", "off"),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 1e-5),
    ):
        solver.setOptionValue(option, value)
    solver.passModel(_linear(program))
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status != highspy.HighsModelStatus.kOptimal:
        raise RuntimeError(solver.modelStatusToString(status))
    values = solver.getSolution().col_value
    return frozenset(number for number, value in enumerate(values, 1) if value > 0.5)


def _linear(program: Program) -> highspy.HighsLp:
    model = highspy.HighsLp()
    columns = len(program.names)
    model.num_col_ = columns
    costs = np.zeros(columns)
    for factor, variable in program.objectives[0]:
        costs[variable - 1] += factor / MINOR
    model.col_cost_ = costs
    model.col_lower_ = np.zeros(columns)
    model.col_upper_ = np.ones(columns)
    model.integrality_ = [highspy.HighsVarType.kInteger] * columns
    _rows(program, model)
    return model


def _rows(program: Program, model: highspy.HighsLp) -> None:
    """A clause is a sum of its literals of at least one; row by row, compressed."""
    starts, indices, factors, lower, upper = [0], [], [], [], []
    for clause in program.clauses:
        literals = set(clause)
        indices += [abs(one) - 1 for one in literals]
        factors += [1.0 if one > 0 else -1.0 for one in literals]
        starts.append(len(indices))
        lower.append(1.0 - sum(one < 0 for one in literals))
        upper.append(highspy.kHighsInf)
    for pairs, value in program.equal:
        indices += [one - 1 for _, one in pairs]
        factors += [float(factor) for factor, _ in pairs]
        starts.append(len(indices))
        lower.append(float(value))
        upper.append(float(value))
    model.num_row_ = len(lower)
    model.row_lower_ = np.array(lower)
    model.row_upper_ = np.array(upper)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(indices)
    model.a_matrix_.value_ = np.array(factors)
