"""Work stands in an order that a bench can follow."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import pytest

from rules.answer import BuildList
from rules.build import build_list
from rules.catalog import Catalog, Step
from rules.compiled import compile_catalog
from rules.folder import read_catalog
from rules.request import BuildRequest
from tests.folder.small_folder import SMALL_FOLDER
from tests.listing.asked import TODAY, VARIED, answer_to
from tests.seed_data.demo import compiled_demo, demo_catalog

STAGES = ("strip", "work", "finish")


def order(answer: BuildList) -> list[str]:
    return [line.step for line in answer.steps]


@pytest.mark.parametrize("case", VARIED)
def test_a_step_comes_after_those_that_it_needs(case: str) -> None:
    listed = order(answer_to(case))
    steps = compiled_demo().steps
    for place, name in enumerate(listed):
        for needed in steps[name].needs:
            if needed in listed and (
                steps[needed].stage != "finish" or steps[name].stage == "finish"
            ):
                assert listed.index(needed) < place, (needed, name)


@pytest.mark.parametrize("case", VARIED)
def test_a_step_comes_after_those_of_its_stage_that_it_waits_for(case: str) -> None:
    listed = order(answer_to(case))
    steps = compiled_demo().steps
    for place, name in enumerate(listed):
        for earlier in set(steps[name].after) & set(listed):
            if steps[earlier].stage == steps[name].stage:
                assert listed.index(earlier) < place, (earlier, name)


@pytest.mark.parametrize("case", VARIED)
def test_first_apart_then_the_work_then_what_is_set_and_tried(case: str) -> None:
    stages = [STAGES.index(line.stage) for line in answer_to(case).steps]
    assert stages == sorted(stages)


def test_the_cam_upgrade_reads_as_a_bench_does_it() -> None:
    assert order(answer_to("road_cam_needs_springs")) == [
        "lift_machine",
        "seat_off",
        "battery_disconnect",
        "tank_off",
        "drain_engine_oil",
        "swap_spark_plugs_out",
        "rocker_boxes_off",
        "valves_to_rest",
        "pushrods_out_at_top",
        "cam_cover_off",
        "lifters_held",
        "cam_plate_off",
        "springs_out_in_place",
        "swap_stem_seals",
        "swap_valve_springs",
        "swap_inner_cam_bearing",
        "swap_camshaft",
        "fit_tuning_module",
        "swap_oil_filter",
        "check_spring_height",
        "load_ecu_map",
    ]


def test_rings_go_on_the_pistons_that_are_fitted() -> None:
    listed = order(answer_to("big_bore_on_the_small_dunlin"))
    assert listed.index("swap_pistons") < listed.index("fit_rings")


def test_the_way_in_goes_from_the_outside_inwards_and_the_work_back_out() -> None:
    layers = compiled_demo().layers
    answer = answer_to("sport_cam_asks_for_more_than_a_camshaft")
    depths = {
        stage: [layers[line.layer].depth for line in answer.steps if line.stage == stage]
        for stage in STAGES
    }
    assert depths["strip"] == sorted(depths["strip"])
    assert depths["work"] == sorted(depths["work"], reverse=True)
    assert depths["finish"] == sorted(depths["finish"], reverse=True)


def test_the_order_of_the_keepers_rows_does_not_matter() -> None:
    catalog = demo_catalog()
    turned = replace(catalog, steps=tuple(reversed(catalog.steps)))
    request = BuildRequest(
        vehicle_id="longshore_1478_2013",
        facts={"model_year": 2014, "odometer_km": 62000, "market": "road_strict"},
        jobs=("cam_upgrade",),
    )
    answers = (
        build_list(compile_catalog(one), request, today=TODAY, edition="1")
        for one in (catalog, turned)
    )
    first, second = map(order, answers)
    assert first == second


def _oil_change(catalog: Catalog, steps: Iterable[Step]) -> list[str]:
    """The small catalog's oil change by way of ``steps``."""
    steps = tuple(steps)
    operations = tuple(
        replace(one, ways=(replace(one.ways[0], steps=tuple(step.id for step in steps)),))
        if one.id == "change_oil"
        else one
        for one in catalog.operations
    )
    changed = replace(catalog, steps=(*catalog.steps, *steps), operations=operations)
    request = BuildRequest(vehicle_id=catalog.vehicles[0].id, add_ons=("oil",))
    return order(build_list(compile_catalog(changed), request, today=TODAY, edition="1"))


def test_a_finish_comes_last_even_where_other_work_needs_it() -> None:
    catalog = read_catalog(SMALL_FOLDER)
    layer = catalog.layers[0].id
    bleed = Step(id="bleed", title="Bled", layer=layer, minutes=5, stage="finish")
    hose = Step(id="hose", title="Hose", layer=layer, minutes=5, needs=("bleed",))
    assert _oil_change(catalog, [bleed, hose]) == ["hose", "bleed"]


def test_after_orders_what_is_done_and_adds_nothing() -> None:
    catalog = read_catalog(SMALL_FOLDER)
    layer = catalog.layers[0].id
    names = ("first", "second", "third")
    last_first = [
        Step(id=name, title=name, layer=layer, minutes=5, after=after)
        for name, after in zip(names, (("second", "drain"), ("third",), ()), strict=True)
    ]
    assert _oil_change(catalog, last_first) == ["third", "second", "first"]


def test_steps_of_one_place_in_the_order_go_by_id() -> None:
    catalog = read_catalog(SMALL_FOLDER)
    layer = catalog.layers[0].id
    alike = [Step(id=name, title=name, layer=layer, minutes=5) for name in ("c", "a", "b")]
    assert all(one < other for one, other in pairwise(_oil_change(catalog, alike)))
