"""Questions to the demo catalog whose whole texts are kept in ``golden/``.

``python -m tests.why.examples`` writes them anew after a change that is meant.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Final

from api.shapes.request import BuildListRequest
from rules.catalog import PartKey
from rules.request import BuildRequest
from rules.why import why, why_not
from rules.wording.why import render_why, render_why_not
from tests.seed_data.demo import compiled_demo, demo_catalog

GOLDEN: Final = Path(__file__).parent / "golden"
TODAY: Final = date(2026, 1, 1)

WHY: Final[dict[str, tuple[str, str, str]]] = {
    "why_fuel_line_seal": ("road_cam_needs_springs", "part", "fuel_line_seal"),
    "why_valve_spring": ("road_cam_needs_springs", "part", "valve_spring"),
    "why_tuning_module": ("road_cam_needs_springs", "part", "tuning_module"),
    "why_height_micrometer": ("road_cam_needs_springs", "tool", "height_micrometer"),
    "why_service_kit": ("road_cam_needs_springs", "kit", "Kelphaven KH-KSD"),
    "why_pushrods": ("cutting_is_cheaper_on_a_liquid_whimbrel", "part", "pushrod"),
    "why_brake_fluid": ("tall_bar_needs_long_hose", "part", "brake_fluid"),
    "why_old_number": ("three_phases_on_a_dunlin", "part", "rotor"),
    "why_offered_oil_pump": ("add_ons_in_the_open_cam_chest", "add_on", "oil_pump"),
}
"""Case, kind and ref of the line."""

WHY_NOT: Final[dict[str, tuple[str, PartKey | tuple[str, str]]]] = {
    "not_fitting": ("mild_cam_keeps_springs", PartKey("Pellworth", "PW-T40")),
    "not_allowed": ("mild_cam_keeps_springs", PartKey("Pennywhit", "PY-D45")),
    "dearer": ("mild_cam_keeps_springs", PartKey("Pellworth", "PW-D50")),
    "old_number": ("least_hours", PartKey("Torvane", "T312-01")),
    "shorter_lived": ("longest_life", PartKey("Pennywhit", "PY-L1")),
    "refused": ("no_rebuilt_pump", PartKey("Second Tide", "ST-321D")),
    "exception": ("fits_but_for_one_exception", PartKey("Hadderby", "HD-T1")),
    "kit_without_use": ("road_cam_needs_springs", PartKey("Bandrell", "BD-K8F")),
    "kit_not_worth_it": ("road_cam_needs_springs", PartKey("Ostrel", "OS-KCD")),
    "in_the_list": ("mild_cam_keeps_springs", PartKey("Pellworth", "PW-D40")),
    "other_way": ("boxes_off_is_cheaper_on_a_dunlin", ("renew_oil_pump", "cut_pushrods")),
    "barred_way": ("boxes_off_is_cheaper_on_a_dunlin", ("renew_oil_pump", "collapse_pushrods")),
    "way_of_other_machines": (
        "boxes_off_is_cheaper_on_a_dunlin",
        ("renew_starter", "from_outside"),
    ),
}
"""Case and what is asked about."""


def request_of(case: str) -> BuildRequest:
    """The request of a keeper's case."""
    written = next(dict(one.request) for one in demo_catalog().cases if one.id == case)
    return BuildListRequest.model_validate(written).to_request(2)


def text_of(name: str) -> str:
    """The answer to one question."""
    compiled = compiled_demo()
    if name in WHY:
        case, kind, ref = WHY[name]
        return render_why(why(compiled, request_of(case), kind, ref, edition="golden"))
    case, subject = WHY_NOT[name]
    answer = why_not(compiled, request_of(case), subject, today=TODAY, edition="golden")
    return f"{render_why_not(answer)}({answer.verdict})\n"


def main() -> int:
    """Write every text anew."""
    for name in (*WHY, *WHY_NOT):
        (GOLDEN / f"{name}.txt").write_text(text_of(name), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
