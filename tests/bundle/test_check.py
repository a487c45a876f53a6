"""Bundles on machines of the demo catalog: whole texts, and each verdict by its cause."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rules.bundle.answer import BundleCheck, LineVerdict
from rules.bundle.check import check_bundle
from rules.bundle.request import MOST_LINES, BundleLine, BundleRequest
from rules.catalog import PartKey
from rules.compiled import compile_catalog
from rules.faults import Faulty
from rules.request import BuildRequest, FittedPart
from rules.wording.bundle import render_bundle
from tests.bundle.bundles import (
    ANY_DAY,
    BUNDLES,
    GOLDEN,
    LONGSHORE,
    RIDDEN,
    Pasted,
    check,
    check_lines,
    lines_of,
)
from tests.seed_data.demo import demo_catalog


@pytest.mark.parametrize("name", BUNDLES)
def test_the_text_is_the_golden_one(name: str) -> None:
    """After a change that is meant: python -m tests.bundle.bundles."""
    golden = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")
    assert render_bundle(check(BUNDLES[name])) == golden


def test_there_is_no_golden_text_too_many() -> None:
    assert {file.stem for file in GOLDEN.glob("*.txt")} == set(BUNDLES)


@pytest.mark.parametrize("width", [64, 72, 100])
@pytest.mark.parametrize("name", BUNDLES)
def test_no_line_is_wider_than_asked(name: str, width: int) -> None:
    text = render_bundle(check(BUNDLES[name]), width)
    assert max(map(len, text.splitlines())) <= width


def test_too_few_columns_are_refused() -> None:
    with pytest.raises(ValueError, match="64 columns"):
        render_bundle(check(BUNDLES["does_not_fit"]), 63)


def test_the_same_bundle_gives_the_same_answer() -> None:
    for bundle in BUNDLES.values():
        assert check(bundle) == check(bundle)


def _by_number(found: BundleCheck) -> dict[str, LineVerdict]:
    return {line.part.number: line for line in found.lines if line.part}


def test_verdicts_of_the_kit_that_overlaps() -> None:
    lines = _by_number(check(BUNDLES["kit_and_what_it_holds"]))
    assert {number: line.verdict for number, line in lines.items()} == {
        "PW-KD49": "left_over",
        "PW-PAD": "already_in_kit",
        "PW-B17": "already_in_kit",
        "OS-320": "already_in_kit",
        "PY-VS1D": "too_many",
        "OS-KCD": "left_over",
        "OS-330": "already_in_kit",
    }
    assert lines["PW-KD49"].current == (PartKey("Pellworth", "PW-KD50"),)
    assert lines["PW-PAD"].findings[0].parts == (PartKey("Pellworth", "PW-KD50"),)


def test_what_can_go_back_leaves_enough() -> None:
    """Without the spare packs nothing more is missing than before."""
    for name in ("kit_and_what_it_holds", "wrong_quantities", "old_number_sold_as_three"):
        bundle = BUNDLES[name]
        before = check(bundle)
        back = {(row.at, row.part): row.packs for row in before.spare}
        if any(len(line.current) > 1 for line in before.lines):
            continue  # half of an old number cannot be written on a list
        lines = []
        for line in lines_of(bundle.text):
            taken = sum(count for (at, _), count in back.items() if at == line.at)
            if line.trouble or taken >= line.quantity:
                continue
            lines.append(
                type(line)(
                    at=line.at,
                    written=line.written,
                    brand=line.brand,
                    number=line.number,
                    quantity=line.quantity - taken,
                )
            )
        build = BuildRequest(vehicle_id=bundle.vehicle_id, facts=bundle.facts, jobs=bundle.jobs)
        after = check_lines(build, tuple(lines))
        assert after.spare == ()
        assert [m.part for m in after.missing] == [m.part for m in before.missing], name


def test_a_conflict_names_both_sides_with_numbers_and_goes_on_without_one() -> None:
    found = check(BUNDLES["camshaft_against_springs"])
    assert found.status == "conflict"
    cam, springs = PartKey("Pellworth", "PW-D52"), PartKey("Torvane", "T348-D1")
    assert springs in found.set_aside and cam not in found.set_aside
    said = _by_number(found)["T348-D1"].findings[0]
    assert (said.kind, said.parts) == ("conflicts", (cam,))
    assert "900 N" in said.sentence
    assert found.completion is not None
    assert cam in {line.part for line in found.completion.parts}
    for conflict in found.conflicts:
        assert len(conflict.elements) >= 2


def test_a_job_that_cannot_be_is_a_conflict_without_the_list() -> None:
    build = BuildRequest(
        vehicle_id="longshore_1478_2013",
        facts=RIDDEN,
        jobs=("cam_upgrade_strong",),
        tools_owned=(),
        fitted=(FittedPart(part_type="camshaft", part=PartKey("Pellworth", "PW-D70")),),
    )
    found = check_lines(build, lines_of("OS-320"))
    assert found.status == "conflict"
    assert found.completion is None and found.missing == ()


def test_without_a_usable_line_nothing_is_completed() -> None:
    found = check(Pasted(text="XY-9999\n"))
    assert (found.status, found.completion, found.missing) == ("incomplete", None, ())


def test_an_unknown_fit_is_neither_yes_nor_no() -> None:
    build = BuildRequest(facts={"family": "dunlin"})
    found = check_lines(build, lines_of("QN-C98D"))
    assert found.lines[0].verdict == "not_settled"
    assert found.status == "needs_facts"
    assert [ask.fact for ask in found.asks] == ["vehicle.displacement_cc"]


def test_a_number_of_several_brands_asks_for_the_brand() -> None:
    catalog = demo_catalog()
    filter_ = next(part for part in catalog.parts if part.key.number == "FN-F11")
    twin = replace(filter_, key=PartKey("Hadderby", "FN-F11"))
    compiled = compile_catalog(replace(catalog, parts=(*catalog.parts, twin)))
    build = BuildRequest(vehicle_id=LONGSHORE, facts=RIDDEN)
    for brand, verdict in (
        ("", "unknown_number"),
        ("fennick", "fits"),
        ("hadderby", "does_not_fit"),
    ):
        line = BundleLine(at=1, written="", brand=brand, number="fn-f11")
        found = check_bundle(
            compiled, BundleRequest(build=build, lines=(line,)), today=ANY_DAY, edition="1"
        )
        assert found.lines[0].verdict == verdict
        assert found.lines[0].near == ((filter_.key, twin.key) if not brand else ())


def test_faults_of_machine_job_and_tool_come_together() -> None:
    build = BuildRequest(vehicle_id="no_such", jobs=("no_such",), tools_owned=("no_such",))
    with pytest.raises(Faulty) as raised:
        check_lines(build, lines_of("OS-320"))
    assert [fault.where for fault in raised.value.faults] == [
        "/vehicle/id",
        "/jobs/0",
        "/tools_owned/0",
    ]


@pytest.mark.parametrize("count", [0, MOST_LINES + 1, 10_000])
def test_no_lines_and_too_many_are_refused(count: int) -> None:
    lines = lines_of("OS-320\n" * count)
    build = BuildRequest(vehicle_id=LONGSHORE, facts=RIDDEN)
    with pytest.raises(Faulty) as raised:
        check_lines(build, lines)
    assert [fault.where for fault in raised.value.faults] == ["/lines"]


def test_one_number_five_hundred_times_is_one_place() -> None:
    found = check(Pasted(text="OS-320\n" * MOST_LINES))
    assert [line.verdict for line in found.lines].count("too_many") == MOST_LINES - 1
    assert sum(row.packs for row in found.spare) == MOST_LINES - 1


def test_the_request_is_data() -> None:
    build = BuildRequest(vehicle_id=LONGSHORE, facts=RIDDEN)
    request = BundleRequest(build=build, lines=lines_of("OS-320"))
    assert request == BundleRequest(build=build, lines=lines_of("OS-320"))
