"""What is not known (docs/model.md, section 5), against every way it could turn out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import pytest

from rules.answer import BuildList
from rules.request import BuildRequest
from rules.values import Value
from tests.reference.generator import SMALL, TINY, Generated, Shape, generate
from tests.reference.judge import Plan, faults
from tests.reference.problem import pose

from .answers import answer_to, plan_of

MISSING = (("market",), ("model_year",), ("odometer_km",), ("market", "model_year"))
ODOMETER = (0, 15_000, 20_000, 20_001, 30_000, 45_000, 45_001, 90_000)
"""On both sides of every distance that a generated rule compares with."""


def _without(request: BuildRequest, names: tuple[str, ...]) -> BuildRequest:
    return replace(
        request, facts={name: value for name, value in request.facts.items() if name not in names}
    )


def _completions(generated: Generated, names: tuple[str, ...]) -> Iterator[BuildRequest]:
    """The request with each combination of values that the missing facts could have."""
    asked = generated.request
    vehicle = next(one for one in generated.catalog.vehicles if one.id == asked.vehicle_id)
    values: dict[str, tuple[Value, ...]] = {
        "market": ("home", "export"),
        "model_year": tuple(range(vehicle.model_year_from, vehicle.model_year_to + 1)),
        "odometer_km": ODOMETER,
    }
    for chosen in product(*(values[name] for name in names)):
        facts = {**asked.facts, **dict(zip(names, chosen, strict=True))}
        yield replace(asked, facts=facts)


def _outcome(answer: BuildList) -> object:
    """What a customer would see differ: the status, what is bought, what is done, the price."""
    return (
        answer.status,
        [(line.part, line.quantity, line.packs, line.from_kit) for line in answer.parts],
        [line.kit for line in answer.kits],
        sorted((line.step, line.sent_out, line.minutes) for line in answer.steps),
        answer.totals and answer.totals.total,
    )


def _questions(shape: Shape, count: int) -> Iterator[tuple[Generated, tuple[str, ...]]]:
    for seed in range(count):
        generated = generate(seed, shape)
        for names in MISSING:
            if set(names) <= set(generated.request.facts):
                yield generated, names


@pytest.mark.parametrize(("shape", "count"), [(TINY, 40), (SMALL, 20)], ids=["tiny", "small"])
def test_an_answer_without_a_fact_holds_whatever_the_fact_is(shape: Shape, count: int) -> None:
    seen: Counter[str] = Counter()
    for generated, names in _questions(shape, count):
        answer = answer_to(generated.catalog, _without(generated.request, names))
        completions = list(_completions(generated, names))
        answers = [answer_to(generated.catalog, one) for one in completions]
        where = (generated.seed, names)
        seen[answer.status] += 1
        if answer.status != "needs_facts":
            assert all(_outcome(one) == _outcome(answer) for one in answers), where
            continue
        assert {one.fact for one in answer.asks} <= {f"vehicle.{name}" for name in names}, where
        assert any(_outcome(one) != _outcome(answers[0]) for one in answers), where
        if answer.totals is not None:
            for completion in completions:
                _valid_in(generated, completion, plan_of(answer))
    assert all(seen[status] >= 5 for status in ("valid", "conflict", "needs_facts")), seen


def _valid_in(generated: Generated, completion: BuildRequest, plan: Plan) -> None:
    """The strict plan is valid there; a step that turns out to be nothing is left away."""
    problem = pose(generated, completion)
    steps = plan.steps & set(problem.works)
    plan = replace(plan, steps=steps, sent_out=plan.sent_out & steps)
    assert not faults(problem, plan), generated.seed


@pytest.mark.parametrize(("shape", "count"), [(TINY, 40), (SMALL, 20)], ids=["tiny", "small"])
def test_the_facts_asked_for_settle_the_answer_and_none_could_be_spared(
    shape: Shape, count: int
) -> None:
    settled = 0
    for generated, names in _questions(shape, count):
        missing = _without(generated.request, names)
        asks = [
            one.fact.removeprefix("vehicle.") for one in answer_to(generated.catalog, missing).asks
        ]
        for told in _completions(generated, tuple(asks)):
            known = replace(
                missing, facts={**missing.facts, **{one: told.facts[one] for one in asks}}
            )
            answer = answer_to(generated.catalog, known)
            assert answer.status != "needs_facts", (generated.seed, names, asks)
            settled += bool(asks)
        for spared in asks if len(asks) > 1 else []:
            assert any(
                answer_to(
                    generated.catalog,
                    replace(
                        missing,
                        facts={
                            **missing.facts,
                            **{one: told.facts[one] for one in asks if one != spared},
                        },
                    ),
                ).status
                == "needs_facts"
                for told in _completions(generated, tuple(asks))
            ), (generated.seed, names, spared)
    assert settled >= 12
