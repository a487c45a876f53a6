"""Answers of the demo catalog to the requests of its own cases, each worked out once."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Final

from api.shapes.request import BuildListRequest
from rules.answer import BuildList
from rules.build import build_list
from tests.seed_data.demo import compiled_demo, demo_catalog

TODAY: Final = date(2026, 1, 5)

VARIED: Final = (
    "road_cam_needs_springs",
    "sport_cam_asks_for_more_than_a_camshaft",
    "big_bore_on_the_small_dunlin",
    "clutch_and_charging_share_the_primary",
    "balancing_is_always_sent_out",
    "tall_bar_needs_long_hose",
    "exchange_pump_with_deposit",
    "two_gasket_kits_overlap",
    "add_ons_taken",
    "old_set_is_two_parts_today",
    "cutting_is_cheaper_on_a_liquid_whimbrel",
    "unknown_spring_is_asked_for",
)
"""Cases with every kind of step, reason and line."""


@cache
def answer_to(case: str) -> BuildList:
    """The answer to the request of one of the demo catalog's cases."""
    asked = next(one for one in demo_catalog().cases if one.id == case)
    request = BuildListRequest.model_validate(dict(asked.request)).to_request(2)
    return build_list(compiled_demo(), request, today=TODAY, edition="1")
