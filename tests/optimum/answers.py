"""The engine's answer, read back as the plan and the money that it states."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rules.answer import BuildList
from rules.build import build_list
from rules.catalog import Catalog, PricePolicy
from rules.compiled import compile_catalog
from rules.money import half_up
from rules.request import BuildRequest
from tests.reference.generator import Generated
from tests.reference.judge import Plan

TODAY = date(2031, 3, 4)


def answer_to(catalog: Catalog, request: BuildRequest) -> BuildList:
    """The engine's answer on a fixed day."""
    return build_list(compile_catalog(catalog), request, today=TODAY, edition="generated")


def answered(generated: Generated) -> BuildList:
    """The engine's answer to a generated request."""
    return answer_to(generated.catalog, generated.request)


def plan_of(answer: BuildList) -> Plan:
    """What the lines say is bought and done."""
    return Plan(
        target={line.part_type: line.part for line in answer.parts},
        steps=frozenset(line.step for line in answer.steps),
        sent_out=frozenset(line.step for line in answer.steps if line.sent_out),
        kits=frozenset(line.kit for line in answer.kits),
        supply={line.part_type: line.from_kit for line in answer.parts},
    )


def amounts(answer: BuildList) -> Iterator[tuple[str, int]]:
    """Every line that costs something: its kind and its amount in minor units before tax."""
    yield from (("part", line.amount.minor) for line in answer.parts)
    yield from (("kit", line.amount.minor) for line in answer.kits)
    yield from (("consumable", line.amount.minor) for line in answer.consumables)
    yield from (("labour", line.amount.minor) for line in answer.steps)
    yield from (("tool", line.amount.minor) for line in answer.tools)
    yield from (("sent_out", line.amount.minor) for line in answer.sent_out)


def rates(catalog: Catalog) -> dict[str, int]:
    """Basis points by line kind."""
    classes = {one.id: one.basis_points for one in catalog.tax_classes}
    return {kind: classes[name] for kind, name in catalog.policy.tax_of.items()}


def exact_cost(catalog: Catalog, answer: BuildList) -> int:
    """Section 6: amount × (10000 + basis points), in ten-thousandths of a minor unit."""
    points = rates(catalog)
    return sum(amount * (10_000 + points[kind]) for kind, amount in amounts(answer))


def tax_of(catalog: Catalog, answer: BuildList) -> int:
    """The tax on the lines by the policy's basis, each rounding half up."""
    policy: PricePolicy = catalog.policy
    points = rates(catalog)
    if policy.tax_basis == "line":
        return sum(half_up(amount * points[kind], 10_000) for kind, amount in amounts(answer))
    taxed: dict[str, int] = {}
    for kind, amount in amounts(answer):
        name = policy.tax_of[kind]
        taxed[name] = taxed.get(name, 0) + amount
    classes = {one.id: one.basis_points for one in catalog.tax_classes}
    return sum(half_up(amount * classes[name], 10_000) for name, amount in taxed.items())
