"""The exact optimum of a boolean model with costs, and proofs that nothing is possible."""

from rules.optimum.clauses import Clause, ClauseModel
from rules.optimum.solve import Impossible, Objective, Solution, Solver

__all__ = ["Clause", "ClauseModel", "Impossible", "Objective", "Solution", "Solver"]
