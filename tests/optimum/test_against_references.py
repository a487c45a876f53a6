"""The engine against the two independent readings of docs/model.md.

Set ONCE_APART_MANY_CATALOGS to a whole number to try that many times as many catalogs.
"""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from rules.answer import BuildList
from tests.reference import brute_force, cp_sat
from tests.reference.brute_force import Best
from tests.reference.generator import MEDIUM, SMALL, TINY, Generated, Shape, generate
from tests.reference.judge import cost_of, faults, judge
from tests.reference.problem import Problem, pose

from .answers import amounts, answered, exact_cost, plan_of, tax_of

TIMES = int(os.environ.get("ONCE_APART_MANY_CATALOGS", "1"))
Solve = Callable[[Problem], Best | None]

# Name, reference, size, first seed, how many catalogs in one run.
SERIES: list[tuple[str, Solve, Shape, int, int]] = [
    ("enumerated", brute_force.solve, TINY, 1_000, 120),
    ("tiny", cp_sat.solve, TINY, 2_000, 200),
    ("small", cp_sat.solve, SMALL, 0, 160),
    ("medium", cp_sat.solve, MEDIUM, 0, 40),
]


def _batches() -> list[object]:
    return [
        pytest.param(solve, shape, seed, id=f"{name}-{seed}")
        for name, solve, shape, first, count in SERIES
        for seed in range(first, first + count * TIMES, 20)
    ]


@pytest.mark.parametrize(("solve", "shape", "first"), _batches())
def test_same_status_and_same_least_key(solve: Solve, shape: Shape, first: int) -> None:
    for seed in range(first, first + 20):
        generated = generate(seed, shape)
        problem = pose(generated)
        best = solve(problem)
        answer = answered(generated)
        assert answer.status == ("conflict" if best is None else "valid"), seed
        if best is not None:
            plan = plan_of(answer)
            assert not faults(problem, plan), seed
            assert judge(problem, plan) == best.key, seed
            _money_agrees(generated, problem, answer)


def _money_agrees(generated: Generated, problem: Problem, answer: BuildList) -> None:
    """The lines cost what the plan costs, and the totals are those of the lines."""
    cost, minutes = cost_of(problem, plan_of(answer))
    totals = answer.totals
    assert totals is not None
    assert exact_cost(generated.catalog, answer) == cost
    assert totals.labour_minutes == minutes == sum(line.minutes for line in answer.steps)
    assert totals.before_tax.minor == sum(amount for _, amount in amounts(answer))
    assert totals.tax.minor == tax_of(generated.catalog, answer)
    assert totals.total.minor == totals.before_tax.minor + totals.tax.minor
    assert answer.proof is not None
    assert answer.proof.optimal
