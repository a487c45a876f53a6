"""What the counter reads when a request of the demo catalog cannot be met, whole."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, Final

import pytest

from api.shapes.answer import BuildListShape
from api.shapes.request import BuildListRequest
from rules.answer import BuildList
from rules.build import build_list
from rules.conflict import apply
from rules.request import BuildRequest
from rules.wording.way_out import conflicts, repairs
from tests.seed_data.demo import compiled_demo, demo_catalog

GOLDEN: Final = Path(__file__).parent / "golden"
ANY_DAY: Final = date(2025, 11, 25)
_LONGSHORE: Final = {
    "id": "longshore_1478_2013",
    "facts": {"model_year": 2014, "odometer_km": 62_000, "market": "road_strict"},
}

REQUESTS: Final[dict[str, dict[str, Any]]] = {
    **{
        case.id: dict(case.request)
        for case in demo_catalog().cases
        if case.expect.get("status") == "conflict"
    },
    "seal_that_does_not_survive": {
        "vehicle": _LONGSHORE,
        "jobs": ["clutch_renewal", "charging_system"],
        "keep": ["primary_gasket"],
    },
    "market_is_not_known": {
        "vehicle": {"id": "longshore_1478_2013", "facts": {"model_year": 2014}},
        "jobs": ["cam_upgrade_strong"],
        "keep": ["valve_spring"],
    },
    "empty_cabinet": {
        "vehicle": _LONGSHORE,
        "jobs": ["clutch_renewal", "oil_service"],
        "tools_owned": [],
    },
    "two_camshafts_for_one_place": {
        "vehicle": _LONGSHORE,
        "jobs": ["oil_service"],
        "parts_wanted": [
            {"brand": "Pellworth", "number": "PW-D50"},
            {"brand": "Pellworth", "number": "PW-D52"},
        ],
    },
}


def _request(name: str) -> BuildRequest:
    return BuildListRequest.model_validate(REQUESTS[name]).to_request(2)


def _answer(request: BuildRequest) -> BuildList:
    return build_list(compiled_demo(), request, today=ANY_DAY, edition="check")


def _text(answer: BuildList) -> str:
    blocks = (conflicts(answer, 88), repairs(answer, 88), list(answer.notes))
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


@pytest.mark.parametrize("name", REQUESTS)
def test_the_whole_text(name: str) -> None:
    answer = _answer(_request(name))
    assert answer.status == "conflict"
    assert _text(answer) == (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")
    assert _text(_answer(_request(name))) == _text(answer)


@pytest.mark.parametrize("name", REQUESTS)
def test_each_way_out_gives_what_it_said(name: str) -> None:
    request = _request(name)
    found = _answer(request).repairs
    assert found
    for repair in found:
        mended = _answer(apply(request, repair))
        assert mended.status == ("needs_facts" if repair.asks else "valid")
        assert mended.asks == repair.asks
        assert mended.totals is not None
        assert mended.totals.total == repair.total
        assert mended.totals.labour_minutes == repair.labour_minutes
        assert {line.part for line in mended.parts} == {part.part for part in repair.renews}


@pytest.mark.parametrize("name", REQUESTS)
def test_the_patch_applies_to_the_json_of_the_request(name: str) -> None:
    """RFC 6902 section 4.1: ``add`` on a member of an object sets it, there before or not."""
    shown = BuildListShape.model_validate(_answer(_request(name))).model_dump(mode="json")
    for repair in shown["repairs"]:
        changed = dict(REQUESTS[name])
        for operation in repair["patch"]:
            assert operation["op"] == "add"
            changed[operation["path"].removeprefix("/")] = operation["value"]
        mended = _answer(BuildListRequest.model_validate(changed).to_request(2))
        assert mended.status == ("needs_facts" if repair["asks"] else "valid")
        assert mended.totals is not None
        assert mended.totals.total.amount == repair["total"]["amount"]
