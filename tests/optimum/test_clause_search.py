"""The exact search and the linear relaxation against plain enumeration of every choice."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from rules.optimum import ClauseModel, Objective, Solver
from rules.optimum.solve import minimal_clash, possible_with

WHOLE = Objective(shift=0, mask=(1 << 60) - 1, unit=1)


def drawn_model(seed: int) -> ClauseModel:
    """A small random model: clauses of one to four literals, some groups with a cap."""
    rng = Random(seed)
    model = ClauseModel()
    size = rng.randint(3, 9)
    for _ in range(size):
        model.variable(rng.choice([0, 0, 1, 3, 7, rng.randint(0, 50)]))
    for origin in range(rng.randint(2, 16)):
        chosen = rng.sample(range(1, size + 1), min(rng.randint(1, 4), size))
        model.add([v if rng.random() < 0.55 else -v for v in chosen], ("clause", str(origin)))
    if rng.random() < 0.6:
        group = rng.sample(range(1, size + 1), 3)
        cap = rng.choice([0, group[0]])
        model.exclusive([v for v in group if v != cap], cap)
    return model


def least_cost(model: ClauseModel) -> int | None:
    """The cheapest of all assignments that satisfy every clause and group."""
    best: int | None = None
    for bits in product((False, True), repeat=model.size):
        value = (None, *bits)
        clauses = all(any(value[abs(x)] == (x > 0) for x in c) for c in model.clauses)
        groups = all(sum(bool(value[v]) for v in group) <= 1 for group, _ in model.at_most_one)
        if clauses and groups:
            cost = model.cost_of(v for v in range(1, model.size + 1) if value[v])
            best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("block", range(10))
def test_search_and_relaxation_find_the_least_cost(block: int) -> None:
    for seed in range(block * 60, block * 60 + 60):
        model = drawn_model(seed)
        expected = least_cost(model)
        for plain_nodes in (300, 0):
            solver = Solver(model, [WHOLE], plain_nodes=plain_nodes)
            found = solver.minimise()
            again = solver.minimise()
            assert (found.cost if found else None) == expected, (seed, plain_nodes)
            assert (again.cost if again else None) == expected, (seed, plain_nodes)


def test_the_drawn_models_are_of_every_kind() -> None:
    costs = [least_cost(drawn_model(seed)) for seed in range(600)]
    impossible = sum(cost is None for cost in costs)
    assert 100 < impossible < 500
    methods = {
        (
            found.method
            if (found := Solver(drawn_model(s), [WHOLE], plain_nodes=0).minimise())
            else ""
        )
        for s in range(600)
    }
    assert methods == {"", "reductions", "highs"}


@pytest.mark.parametrize("block", range(5))
def test_a_clash_is_sufficient_and_minimal(block: int) -> None:
    for seed in range(block * 60, block * 60 + 60):
        model = drawn_model(seed)
        why = Solver(model, [WHOLE]).why_impossible()
        assert (why is None) == (least_cost(model) is not None)
        if why is None:
            continue
        clash = frozenset(minimal_clash(model, why.core))
        assert possible_with(model, clash) is not None
        for origin in clash:
            assert possible_with(model, clash - {origin}) is None


def test_assumptions_are_taken_back() -> None:
    model = ClauseModel()
    cheap, dear = model.variable(1), model.variable(5)
    model.add((cheap, dear))
    solver = Solver(model, [WHOLE])
    assert solver.minimise([dear]) is not None
    assert solver.minimise([-cheap, -dear]) is None
    found = solver.minimise()
    assert found is not None
    assert found.true == {cheap}


def test_what_every_option_needs_is_settled_before_choosing() -> None:
    model = ClauseModel()
    wish, one, other, shared = (model.variable(cost) for cost in (0, 2, 3, 100))
    model.add((wish,))
    model.add((-wish, one, other))
    model.implies(one, shared)
    model.implies(other, shared)
    found = Solver(model, [WHOLE]).minimise()
    assert found is not None
    assert found.true == {wish, one, shared}
    assert found.cost == 102


def test_later_objectives_decide_between_equals() -> None:
    model = ClauseModel()
    two_aims = [Objective(8, (1 << 40) - 1, 1), Objective(0, 255, 1)]
    slow, quick = model.variable((7 << 8) + 9), model.variable((7 << 8) + 4)
    model.add((slow, quick))
    for plain_nodes in (300, 0):
        found = Solver(model, two_aims, plain_nodes=plain_nodes).minimise()
        assert found is not None
        assert found.true == {quick}
