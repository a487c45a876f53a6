"""How long a conflict takes to explain, and how long another solver takes for less of it.

    python -m tests.benchmarks.conflicts [ROUNDS]

For every conflict case of the demo catalog: the whole answer with its conflicts, numbers and
priced repairs; and beside it, in the same run and on the same clauses, all minimal conflicts
by implicit hitting sets with MiniSat and Hitman (python-sat), which prices nothing. The other
solver stops at as many sets as are shown here.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from statistics import median, quantiles
from time import perf_counter

from pysat.examples.hitman import Hitman  # type: ignore[import-untyped]
from pysat.solvers import Solver as PysatSolver  # type: ignore[import-untyped]

from api.shapes.request import BuildListRequest
from rules.build import build_list
from rules.compiled import CompiledCatalog
from rules.conflict import CONFLICTS_SHOWN
from rules.conflict.wish import origins_of
from rules.demand import resolve
from rules.identify import identify
from rules.model.plan_model import PlanModel, build_model
from rules.request import BuildRequest
from tests.conflict.test_texts import REQUESTS
from tests.seed_data.demo import compiled_demo

ROUNDS = 20
DAY = date(2025, 11, 25)


def another_solver(model: PlanModel) -> int:
    """How many minimal conflicts it finds, up to as many as are shown."""
    clauses = model.clauses
    origins = origins_of(clauses)
    mark = {origin: clauses.size + 1 + place for place, origin in enumerate(origins)}
    found = 0
    with PysatSolver("minisat22") as solver, Hitman(htype="sorted") as hitman:
        for clause, origin in zip(clauses.clauses, clauses.origins, strict=True):
            off = [-mark[origin]] if isinstance(origin, tuple) else []
            solver.add_clause([*clause, *off])
        for group, _ in clauses.at_most_one:
            for place, one in enumerate(group):
                for other in group[place + 1 :]:
                    solver.add_clause([-one, -other])
        while found < CONFLICTS_SHOWN and (left_out := hitman.get()) is not None:
            out = set(left_out)
            if solver.solve([*model.taken, *(m for o, m in mark.items() if o not in out)]):
                hitman.block(left_out)
                continue
            kept = list(solver.get_core() or ())
            for one in list(kept):
                if not solver.solve([m for m in kept if m != one]):
                    kept.remove(one)
            hitman.hit([origin for origin, m in mark.items() if m in kept])
            found += 1
    return found


def _milliseconds(work: Callable[[], object], rounds: int) -> list[float]:
    times = []
    for _ in range(rounds):
        started = perf_counter()
        work()
        times.append((perf_counter() - started) * 1000)
    return times


def _model(compiled: CompiledCatalog, request: BuildRequest) -> PlanModel:
    return build_model(compiled, identify(compiled, request), resolve(compiled, request))


def measured(rounds: int) -> Iterator[str]:
    """One row a case, then the percentiles over all."""
    compiled = compiled_demo()
    everything: list[float] = []
    yield f"{'case':42}{'sets':>5}{'ways':>5}{'answer p50':>12}{'max':>8}{'other p50':>11}"
    for name, body in REQUESTS.items():
        request = BuildListRequest.model_validate(body).to_request(2)
        answer = partial(build_list, compiled, request, today=DAY, edition="benchmark")
        built = answer()
        ours = _milliseconds(answer, rounds)
        theirs = _milliseconds(partial(another_solver, _model(compiled, request)), rounds)
        everything += ours
        yield (
            f"{name[:41]:42}{len(built.conflicts):5}{len(built.repairs):5}"
            f"{median(ours):9.1f} ms{max(ours):8.1f}{median(theirs):8.1f} ms"
        )
    p95 = quantiles(everything, n=20)[-1]
    yield f"\nall answers: p50 {median(everything):.1f} ms, p95 {p95:.1f} ms"


if __name__ == "__main__":
    for line in measured(int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS):
        print(line)  # noqa: T201
