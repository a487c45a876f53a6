"""The demo catalog is what it promises: whole, canonical, consistent, rich enough."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

import pytest

from db import read_folder
from rules.catalog import Caution, Exclusion, Limit, PartKey, Recommendation, Requirement, Vehicle
from rules.compiled import CompiledRule
from rules.engine.functions import FUNCTIONS
from rules.expressions import Expression
from rules.fitment import fits
from rules.folder import read_catalog, write_catalog
from rules.machine import ODOMETER, Machine, factory_fitted
from rules.supersession import replacements
from rules.values import Failure, Outcome, Value
from tests.seed_data.demo import FOLDER, compiled_demo, demo_catalog

CATALOG = demo_catalog()


def test_the_committed_files_are_the_canonical_form() -> None:
    """Byte for byte, but for the README, which is no part of the catalog."""
    files = read_folder(FOLDER)
    assert write_catalog(read_catalog(files)) == {
        name: text for name, text in files.items() if name != "README.md"
    }


@pytest.mark.parametrize(
    ("what", "count", "least"),
    [
        ("engine families", len({v.facts["family"] for v in CATALOG.vehicles}), 3),
        ("displacements", len({v.facts["displacement_cc"] for v in CATALOG.vehicles}), 3),
        ("configurations", len(CATALOG.vehicles), 40),
        ("layers", len(CATALOG.layers), 8),
        ("part types", len(CATALOG.part_types), 60),
        ("parts", len(CATALOG.parts), 400),
        ("jobs", len(CATALOG.jobs), 12),
        ("steps", len(CATALOG.steps), 150),
        ("special tools", len(CATALOG.tools), 25),
        ("kits", len(CATALOG.kits), 10),
        ("supersession chains", len(CATALOG.supersessions), 10),
        ("consumables", len(CATALOG.consumables), 12),
        ("figures", len(CATALOG.figures), 8),
        ("cases", len(CATALOG.cases), 25),
        ("rules", len(CATALOG.rules), 80),
    ],
)
def test_it_is_rich_enough(what: str, count: int, least: int) -> None:
    assert count >= least, what


@pytest.mark.parametrize(
    ("kind", "least"),
    [(Limit, 22), (Requirement, 24), (Exclusion, 6), (Recommendation, 16), (Caution, 16)],
)
def test_every_kind_of_rule_is_there(kind: type, least: int) -> None:
    assert sum(isinstance(rule, kind) for rule in CATALOG.rules) >= least


def test_every_kind_of_caution_is_there() -> None:
    kinds = {rule.kind for rule in CATALOG.rules if isinstance(rule, Caution)}
    assert kinds == {
        "lifting", "hot_parts", "fuel", "stored_energy", "brakes", "electrical",
        "emission", "noise", "waste", "licence", "service_manual",
    }  # fmt: skip


def test_chains_of_old_numbers_are_long_and_some_fork() -> None:
    replaced = replacements(CATALOG.supersessions)

    def length(old: PartKey) -> int:
        return 1 + max(length(new) if new in replaced else 0 for new in replaced[old])

    newer = set(chain.from_iterable(replaced.values()))
    heads = [old for old in replaced if old not in newer]
    assert len(heads) >= 10
    assert sum(length(old) >= 2 for old in heads) >= 3
    assert sum(len(new) > 1 for new in replaced.values()) >= 2


@pytest.mark.parametrize("vehicle", CATALOG.vehicles, ids=lambda vehicle: vehicle.id)
def test_displacement_follows_from_bore_and_stroke(vehicle: Vehicle) -> None:
    facts = vehicle.facts
    swept = FUNCTIONS["displacement_cc"].call(
        facts["bore_mm"], facts["stroke_mm"], facts["cylinders"]
    )
    assert not isinstance(swept, Failure)
    assert round(swept) == facts["displacement_cc"]


def test_numbers_are_plausible() -> None:
    for camshaft in _properties("camshaft"):
        assert 5 <= _number(camshaft, "lobe_lift_mm") <= 10
        assert 0.08 <= _number(camshaft, "torque_nm_per_cc") <= 0.11
    for spring in _properties("valve_spring"):
        travel = _number(spring, "installed_height_mm") - _number(spring, "solid_height_mm")
        assert 9 + 1.5 <= travel <= 16 + 1.5, "valve lift of 9 to 16 mm and the margin"
    for part in CATALOG.parts:
        assert 20 <= part.price <= 150_000, str(part.key)
        assert part.life_km is None or 5_000 <= part.life_km <= 300_000, str(part.key)
    for step in CATALOG.steps:
        assert isinstance(step.minutes, str) or 5 <= step.minutes <= 180, step.id


def test_life_in_stock_and_classes_vary() -> None:
    assert {part.condition for part in CATALOG.parts} == {"new", "rebuilt"}
    assert {part.status for part in CATALOG.parts} == {"current", "withdrawn"}
    assert {part.emission_class for part in CATALOG.parts} == {
        "not_relevant", "replacement", "exempted", "competition_only", "unknown",
    }  # fmt: skip
    assert any(part.stock is None for part in CATALOG.parts)
    assert any(part.lead_days is None for part in CATALOG.parts)
    assert any(part.core_deposit for part in CATALOG.parts)
    assert any(not statement.fits for statement in CATALOG.fitment)


def test_nothing_is_declared_in_vain() -> None:
    """Every step can be reached, every tool and consumable is used, every part fits something."""
    needs = {step.id: step.needs for step in CATALOG.steps}
    ways = (way.steps for operation in CATALOG.operations for way in operation.ways)
    open_ = [*chain.from_iterable(ways)]
    open_ += [rule.do for rule in CATALOG.rules if isinstance(rule, Requirement) and rule.do]
    reached: set[str] = set()
    while open_:
        step = open_.pop()
        if step not in reached:
            reached.add(step)
            open_.extend(needs[step])
    assert reached == set(needs)
    assert {tool for step in CATALOG.steps for tool in step.tools} == {t.id for t in CATALOG.tools}
    assert {name for step in CATALOG.steps for name in step.consumables} == {
        consumable.id for consumable in CATALOG.consumables
    }
    assert {statement.part for statement in CATALOG.fitment} == {p.key for p in CATALOG.parts}


def test_some_kits_save_and_some_are_dearer_than_their_parts() -> None:
    packs = {part.key: (part.price, part.pack_quantity) for part in CATALOG.parts}
    saves = Counter[bool]()
    for kit in CATALOG.kits:
        singly = sum(
            packs[content.part][0] * -(-content.quantity // packs[content.part][1])
            for content in kit.contents
        )
        saves[singly > kit.price] += 1
    assert saves[True] >= 10
    assert saves[False] >= 2


def test_kits_overlap() -> None:
    holders: dict[PartKey, set[str]] = defaultdict(set)
    for kit in CATALOG.kits:
        for content in kit.contents:
            holders[content.part].add(str(kit.key))
    assert sum(len(kits) > 1 for kits in holders.values()) >= 5


# -- the machines as the factory built them ---------------------------------------------


@dataclass(frozen=True)
class AsFound:
    """Answers an expression's reads on a machine on which nothing is done."""

    machine: Machine
    places_renewed: frozenset[str] = frozenset()
    steps_done: frozenset[str] = frozenset()

    def fact(self, name: str) -> Outcome:
        return self.machine.fact(name)

    def target(self, part_type: str, name: str) -> Outcome:
        return self.machine.fitted_property(part_type, name)

    def fitted(self, part_type: str, name: str) -> Outcome:
        return self.machine.fitted_property(part_type, name)

    def renewed(self, part_type: str) -> Outcome:
        return part_type in self.places_renewed

    def doing(self, step: str) -> Outcome:
        return step in self.steps_done

    def present(self, part_type: str) -> Outcome:
        return part_type in self.machine.fitted

    def run_km(self, part_type: str) -> Outcome:
        return self.machine.run_km(part_type)


def _machines(vehicle: Vehicle) -> Iterator[Machine]:
    """Every year, market and cooling that the configuration leaves open."""
    years = range(vehicle.model_year_from, vehicle.model_year_to + 1)
    fixed = vehicle.facts
    markets = [fixed["market"]] if "market" in fixed else ["road_strict", "closed_course"]
    coolings = [fixed["cooling"]] if "cooling" in fixed else ["air_oil", "liquid"]
    for year in years:
        for market in markets:
            for cooling in coolings:
                facts = {
                    **fixed, "model_year": year, "market": market, "cooling": cooling,
                    ODOMETER: 12_000,
                }  # fmt: skip
                yield Machine(facts=facts, fitted=factory_fitted(compiled_demo(), facts))


EVERY = pytest.mark.parametrize("vehicle", CATALOG.vehicles, ids=lambda vehicle: vehicle.id)


def _holds(expression: Expression | None, found: AsFound) -> bool:
    """Whether it is true; what reads an empty place does not apply."""
    if expression is None:
        return True
    outcome = expression.evaluate(found)
    return outcome is True


def _broken(limit: CompiledRule, found: AsFound) -> bool:
    if not _holds(limit.when, found):
        return False
    outcome = limit.parts[0].evaluate(found)
    return outcome is not True and not (isinstance(outcome, Failure) and outcome.absent)


@EVERY
def test_factory_machines_keep_every_limit_and_exclusion(vehicle: Vehicle) -> None:
    compiled = compiled_demo()
    for machine in _machines(vehicle):
        found = AsFound(machine)
        assert [c.rule.id for c in compiled.limits if _broken(c, found)] == []
        clashing = [
            c.rule.id
            for c in compiled.exclusions
            if _holds(c.when, found) and all(_holds(part, found) for part in c.parts)
        ]
        assert clashing == []


@EVERY
def test_every_place_is_known_and_can_be_renewed(vehicle: Vehicle) -> None:
    """A gasket that no part replaces would make its access step impossible."""
    compiled = compiled_demo()
    for machine in _machines(vehicle):
        for name, place in machine.fitted.items():
            assert place.unsure is None, name
            candidates = [
                part
                for part in compiled.parts_of[name]
                if part.status == "current"
                and part.key not in compiled.replaced_by
                and fits(compiled.fitment.get(part.key, ()), machine.facts) is True
            ]
            assert candidates, name


def _properties(part_type: str) -> list[dict[str, Value | None]]:
    return [dict(part.properties) for part in CATALOG.parts if part.part_type == part_type]


def _number(properties: dict[str, Value | None], name: str) -> float:
    value = properties[name]
    assert isinstance(value, float), name
    return value


def test_a_camshaft_of_more_power_draws_more_air_and_not_only_more_fuel() -> None:
    """Air and fuel at peak power, for each cc: both grow with the power, and their ratio is one
    that engines run at under full load, 11.5 to 13.5 by mass (common practice), with intake air
    of 1.2 g/L (dry air at 20 °C and 101.325 kPa, from memory)."""
    found = []
    for part in CATALOG.parts:
        if part.part_type == "camshaft":
            power, speed, filling = (
                float(str(part.properties[name]))
                for name in ("power_kw_per_cc", "power_rpm", "volumetric_efficiency")
            )
            air = FUNCTIONS["air_flow_l_s"].call(1.0, speed, filling)
            fuel = FUNCTIONS["injector_need_g_s"].call(power, 300.0, 1, 1.0)
            assert isinstance(air, float) and isinstance(fuel, float)
            assert 11.5 < 1.2 * air / fuel < 13.5, str(part.key)
            found.append((power, air))
    least = {power: min(air for p, air in found if p == power) for power, _ in found}
    most = {power: max(air for p, air in found if p == power) for power, _ in found}
    steps = list(zip(sorted(most), sorted(most)[1:], strict=False))
    assert len(steps) > 5
    assert [(low, high) for low, high in steps if most[low] >= least[high]] == []
