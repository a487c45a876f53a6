"""Changes to a generated catalog or request under which the answer should behave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import TypeVar

from hypothesis import strategies as st

from rules.answer import BuildList
from rules.catalog import Catalog, Fitment, Kit, Operation, Part, PartKey, Step
from rules.request import BuildRequest, FittedPart
from rules.values import Value
from tests.reference.generator import SMALL, TINY, Generated

Item = TypeVar("Item")

catalogs = st.tuples(st.integers(0, 99_999), st.sampled_from([TINY, TINY, SMALL]))
"""Seeds and sizes of catalogs of five or twelve part types."""


def for_least_cost(generated: Generated) -> Generated:
    """The same wish at the least cost."""
    return replace(generated, request=replace(generated.request, aim="cost"))


def shuffled(generated: Generated, seed: int) -> Generated:
    """The same catalog, its rows and entries written down in another order.

    Left as they are: ``needs``, ``spends`` and ``tools`` inside a step and ``renews`` inside an
    operation, which are shown in the keeper's own order.
    """
    return replace(generated, catalog=_shuffled_catalog(generated.catalog, Random(seed)))


def asked_in_another_order(generated: Generated, seed: int) -> Generated:
    """The same catalog, and the same wishes in another order."""
    return replace(generated, request=_shuffled_request(generated.request, Random(seed)))


def _mixed(dice: Random, items: Sequence[Item]) -> tuple[Item, ...]:
    return tuple(dice.sample(items, len(items)))


def _shuffled_catalog(old: Catalog, dice: Random) -> Catalog:
    return replace(
        old,
        facts=_mixed(dice, old.facts),
        layers=_mixed(dice, old.layers),
        part_types=_mixed(dice, old.part_types),
        tax_classes=_mixed(dice, old.tax_classes),
        consumables=_mixed(dice, old.consumables),
        vehicles=_mixed(dice, old.vehicles),
        factory_parts=_mixed(dice, old.factory_parts),
        parts=_mixed(dice, old.parts),
        fitment=_mixed(dice, old.fitment),
        supersessions=_mixed(dice, old.supersessions),
        kits=_mixed(dice, [_shuffled_kit(kit, dice) for kit in old.kits]),
        tools=_mixed(dice, old.tools),
        steps=_mixed(dice, [_shuffled_step(step, dice) for step in old.steps]),
        operations=_mixed(dice, [_shuffled_operation(one, dice) for one in old.operations]),
        jobs=_mixed(dice, [replace(job, renew=_mixed(dice, job.renew)) for job in old.jobs]),
        rules=_mixed(dice, old.rules),
    )


def _shuffled_kit(kit: Kit, dice: Random) -> Kit:
    return replace(kit, contents=_mixed(dice, kit.contents))


def _shuffled_step(step: Step, dice: Random) -> Step:
    return replace(
        step,
        consumables=dict(_mixed(dice, list(step.consumables.items()))),
    )


def _shuffled_operation(one: Operation, dice: Random) -> Operation:
    ways = [replace(way, steps=_mixed(dice, way.steps)) for way in one.ways]
    return replace(one, ways=_mixed(dice, ways))


def _shuffled_request(old: BuildRequest, dice: Random) -> BuildRequest:
    return replace(
        old,
        facts=dict(_mixed(dice, list(old.facts.items()))),
        jobs=_mixed(dice, old.jobs),
        parts_wanted=_mixed(dice, old.parts_wanted),
        parts_refused=_mixed(dice, old.parts_refused),
        keep=_mixed(dice, old.keep),
        fitted=_mixed(dice, old.fitted),
        add_ons=_mixed(dice, old.add_ons),
    )


def one_more_part(catalog: Catalog, seed: int) -> Catalog:
    """The catalog with another part of some type that fits every machine."""
    dice = Random(seed)
    place = dice.choice(catalog.part_types)
    properties: dict[str, Value | None] = {
        one.name: dice.choice(one.values) if one.kind == "text" else dice.randint(80, 140) / 10
        for one in place.properties
    }
    part = Part(
        key=PartKey(dice.choice(["Abrasund", "Zaltvik"]), "NEW-1"),
        part_type=place.id,
        title="A new part",
        price=dice.randint(100, 30_000),
        pack_quantity=dice.randint(1, 4),
        life_km=dice.choice([None, 40_000, 120_000]),
        properties=properties,
    )
    fitment = (*catalog.fitment, Fitment(part=part.key))
    return replace(catalog, parts=(*catalog.parts, part), fitment=fitment)


def without_rule(generated: Generated, rule_id: str) -> Generated:
    """The catalog less one rule."""
    rules = tuple(rule for rule in generated.catalog.rules if rule.id != rule_id)
    return replace(generated, catalog=replace(generated.catalog, rules=rules))


def with_add_ons(generated: Generated, add_ons: Sequence[str]) -> BuildRequest:
    """The same wish with exactly these add-ons."""
    return replace(generated.request, add_ons=tuple(add_ons))


def later_visit(generated: Generated, answer: BuildList, place: str) -> BuildRequest:
    """To renew one part type, on the machine as the answer leaves it."""
    asked = generated.request
    fitted = {one.part_type: one for one in asked.fitted}
    for line in answer.parts:
        fitted[line.part_type] = FittedPart(part_type=line.part_type, part=line.part, run_km=0)
    return BuildRequest(
        vehicle_id=asked.vehicle_id,
        facts=asked.facts,
        parts_refused=asked.parts_refused,
        fitted=tuple(fitted.values()),
        add_ons=(place,),
        tools_owned=asked.tools_owned,
    )
