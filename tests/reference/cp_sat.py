"""The best plan by OR-tools CP-SAT, which runs in a process of its own.

OR-tools and highspy each bring their own build of one shared library, so they cannot be
loaded together: whichever comes second fails. The worker talks in lines of JSON.
"""

from __future__ import annotations

import atexit
import json
import subprocess
import sys
from dataclasses import asdict
from functools import cache
from pathlib import Path

from .brute_force import Best
from .formulation import Formulation
from .judge import cost_of, judge
from .problem import Problem
from .program import Program


def solve(problem: Problem, *, figures: int = 4) -> Best | None:
    """The best valid plan or None. ``figures``: how many figures of the key are minimised."""
    formulation = Formulation(problem)
    formulation.program.objectives = formulation.program.objectives[:figures]
    true = _minimise(formulation.program)
    if true is None:
        return None
    plan = formulation.plan(true)
    cost, minutes = cost_of(problem, plan)
    return Best(judge(problem, plan), cost, minutes, plan)


def possible(formulation: Formulation) -> bool:
    """Whether anything at all satisfies the programme."""
    formulation.program.objectives = []
    return _minimise(formulation.program) is not None


def _minimise(program: Program) -> frozenset[int] | None:
    worker = _worker()
    assert worker.stdin is not None
    assert worker.stdout is not None
    worker.stdin.write(json.dumps(asdict(program)) + "\n")
    worker.stdin.flush()
    answer = json.loads(worker.stdout.readline())
    return None if answer is None else frozenset(answer)


@cache
def _worker() -> subprocess.Popen[str]:
    root = Path(__file__).parents[2]
    worker = subprocess.Popen(
        [sys.executable, "-m", "tests.reference.cp_sat_worker"],
        cwd=root,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    atexit.register(worker.communicate)
    return worker
