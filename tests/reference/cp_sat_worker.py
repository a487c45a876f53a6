"""Reads one 0-1 programme a line, answers with the variables that are 1, or null.

One worker thread and a fixed seed; the objectives are minimised one after another.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from ortools.sat.python import cp_model


def minimise(program: dict[str, Any]) -> list[int] | None:
    """The numbers of the variables that are 1 in a best assignment; None: there is none."""
    model = cp_model.CpModel()
    flags = [model.new_bool_var(name) for name in program["names"]]

    def total(pairs: list[tuple[int, int]]) -> cp_model.LinearExprT:
        return cp_model.LinearExpr.weighted_sum(
            [flags[one - 1] for _, one in pairs], [factor for factor, _ in pairs]
        )

    for clause in program["clauses"]:
        model.add_bool_or(
            [flags[one - 1] if one > 0 else flags[-one - 1].negated() for one in clause]
        )
    for pairs, value in program["equal"]:
        model.add(total(pairs) == value)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    for pairs in program["objectives"] or [[]]:
        model.minimize(total(pairs))
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None
        if status != cp_model.OPTIMAL:
            raise RuntimeError(solver.status_name(status))
        model.add(total(pairs) <= round(solver.objective_value))
    return [number for number, flag in enumerate(flags, 1) if solver.boolean_value(flag)]


if __name__ == "__main__":
    for line in sys.stdin:
        print(json.dumps(minimise(json.loads(line))), flush=True)  # noqa: T201
