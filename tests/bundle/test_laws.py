"""Laws of the bundle check on the builds of the demo catalog's own cases.

Completing a bundle with exactly what it is missing makes it complete; parts on hand cost
nothing and are otherwise no different from parts at a price of nil.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from api.shapes.request import BuildListRequest
from rules.answer import BuildList
from rules.build import build_list
from rules.bundle.answer import BundleCheck
from rules.bundle.paid import completed
from rules.catalog import PartKey
from rules.compiled import compile_catalog
from rules.request import BuildRequest
from tests.bundle.bundles import ANY_DAY, check_lines, numbered
from tests.seed_data.demo import compiled_demo, demo_catalog

Bought = dict[PartKey, int]


def _requests() -> Iterator[tuple[str, BuildRequest]]:
    """What the cases ask of machine and jobs; their other wishes cannot be put to a bundle."""
    for case in demo_catalog().cases:
        asked = BuildListRequest.model_validate(dict(case.request)).to_request(2)
        if asked.jobs:
            yield (
                case.id,
                BuildRequest(
                    vehicle_id=asked.vehicle_id,
                    facts=asked.facts,
                    jobs=asked.jobs,
                    fitted=asked.fitted,
                    tools_owned=asked.tools_owned,
                    aim=asked.aim,
                ),
            )


REQUESTS = dict(_requests())


@cache
def _built(case: str) -> BuildList:
    return build_list(compiled_demo(), REQUESTS[case], today=ANY_DAY, edition="1")


VALID = [case for case in REQUESTS if _built(case).status == "valid"]


def _bought(build: BuildList) -> Bought:
    bought = {line.part: line.packs for line in build.parts if line.packs}
    return {**bought, **{kit.kit: 1 for kit in build.kits}}


def _missing(found: BundleCheck) -> Bought:
    return {part.part: part.packs for part in found.missing}


def _together(one: Bought, other: Bought) -> Bought:
    return {key: one.get(key, 0) + other.get(key, 0) for key in sorted({*one, *other})}


def _check(request: BuildRequest, bought: Bought) -> BundleCheck:
    return check_lines(request, numbered(sorted(bought.items())))


def test_there_are_builds_to_try() -> None:
    assert len(VALID) >= 25


@pytest.mark.parametrize("case", VALID)
def test_the_parts_of_a_build_are_a_complete_bundle(case: str) -> None:
    bought = _bought(_built(case))
    if bought:
        found = _check(REQUESTS[case], bought)
        assert (found.status, _missing(found), found.set_aside) == ("complete", {}, ())


@pytest.mark.parametrize("case", VALID)
def test_a_bundle_with_what_it_is_missing_is_complete(case: str) -> None:
    draw = Random(f"{case}, half of it")
    whole = _bought(_built(case))
    some = {key: draw.randint(1, count) for key, count in whole.items() if draw.random() < 0.5}
    if not some:
        return
    before = _check(REQUESTS[case], some)
    after = _check(REQUESTS[case], _together(some, _missing(before)))
    assert (after.status, _missing(after)) == ("complete", {})


@pytest.mark.parametrize("case", VALID[::3])
def test_without_a_job_the_missing_parts_complete_it_too(case: str) -> None:
    draw = Random(f"{case}, without its job")
    whole = [key for key in _bought(_built(case)) if key in compiled_demo().parts]
    some = dict.fromkeys(draw.sample(whole, k=min(2, len(whole))), 1)
    request = replace(REQUESTS[case], jobs=())
    before = _check(request, some)
    if before.status != "incomplete":
        return  # a part alone may clash with the machine as found, or hang on a fact
    after = _check(request, _together(some, _missing(before)))
    assert (after.status, _missing(after)) == ("complete", {})


@pytest.mark.parametrize("case", VALID)
def test_a_completion_adds_up_and_is_never_dearer(case: str) -> None:
    draw = Random(f"{case}, adding up")
    build = _built(case)
    some = {key: count for key, count in _bought(build).items() if draw.random() < 0.5}
    if not some:
        return
    found = _check(REQUESTS[case], some)
    completion = found.completion
    assert completion is not None and completion.totals is not None
    assert build.totals is not None
    totals = completion.totals
    kinds = (
        totals.parts, totals.kits, totals.consumables,
        totals.labour, totals.tools, totals.sent_out,
    )  # fmt: skip
    assert sum(sum_.minor for sum_ in kinds) == totals.before_tax.minor
    assert sum(line.amount.minor for line in completion.parts) == totals.parts.minor
    assert totals.before_tax.minor + totals.tax.minor == totals.total.minor
    assert sum(part.amount.minor for part in found.missing) == (
        totals.parts.minor + totals.kits.minor
    )
    assert totals.total <= build.totals.total


@pytest.mark.parametrize("case", VALID[::5])
def test_on_hand_is_as_if_its_price_were_nil(case: str) -> None:
    """The same plan from another catalog, in which those parts cost nothing at all."""
    request = REQUESTS[case]
    draw = Random(f"{case}, for nothing")
    singles = [line for line in _built(case).parts if line.from_kit is None]
    owned = {line.part for line in singles if draw.random() < 0.5}
    catalog = demo_catalog()
    free = replace(
        catalog,
        parts=tuple(
            replace(part, price=0, core_deposit=0) if part.key in owned else part
            for part in catalog.parts
        ),
    )
    expected = build_list(compile_catalog(free), request, today=ANY_DAY, edition="1")
    on_hand = dict.fromkeys(owned, 100_000)
    asked = replace(request, parts_on_hand=on_hand)
    build = build_list(compiled_demo(), asked, today=ANY_DAY, edition="1")
    found = completed(build)
    assert [line.part for line in found.parts] == [line.part for line in expected.parts]
    assert [kit.kit for kit in found.kits] == [kit.kit for kit in expected.kits]
    assert found.totals is not None and expected.totals is not None
    assert found.totals == expected.totals
    assert found.deposits == expected.deposits
