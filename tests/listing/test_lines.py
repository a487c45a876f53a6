"""Overlap, lead time, deposits and what kits leave over, worked out again from the lines."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from rules.listing.lines import lead_time
from rules.money import half_up
from tests.listing.asked import TODAY, VARIED, answer_to
from tests.seed_data.demo import compiled_demo
from tests.wording.samples import KITS, PARTS, VALID


@pytest.mark.parametrize("case", VARIED)
def test_overlap_is_what_the_operations_take_alone_less_what_they_take_together(
    case: str,
) -> None:
    answer = answer_to(case)
    assert answer.totals is not None
    rate = answer.totals.labour_rate_per_hour.minor
    again = [(line, len(line.shared_by) - 1) for line in answer.steps if line.shared_by]
    saved = sum(line.minutes * times for line, times in again)
    alone = sum(line.minutes_alone for line in answer.operations)
    for_nobody = sum(line.minutes for line in answer.steps if not line.shared_by)
    assert answer.totals.saved_minutes_by_overlap == saved
    assert alone - (answer.totals.labour_minutes - for_nobody) == saved
    # Half up by the step, as docs/model.md section 6 charges labour.
    assert answer.totals.saved_by_overlap.minor == sum(
        half_up(line.minutes * rate, 60) * times for line, times in again
    )


def test_some_case_has_overlap() -> None:
    totals = answer_to("clutch_and_charging_share_the_primary").totals
    assert totals is not None
    assert totals.saved_minutes_by_overlap > 0


def test_a_deposit_is_a_line_of_its_own_and_no_part_of_the_total() -> None:
    answer = answer_to("exchange_pump_with_deposit")
    totals = answer.totals
    assert totals is not None
    (deposit,) = answer.deposits
    pump = next(line for line in answer.parts if line.part_type == "oil_pump")
    listed = compiled_demo().parts[pump.part]
    assert (deposit.part, deposit.units) == (pump.part, pump.packs)
    assert deposit.amount.minor == listed.core_deposit * pump.packs == 6000
    # The demo catalog leaves deposits untaxed.
    assert totals.deposits == deposit.amount
    assert totals.total_with_deposits.minor == totals.total.minor + 6000
    assert totals.before_tax.minor + totals.tax.minor == totals.total.minor


def test_what_a_kit_leaves_over_is_counted_in_its_own_unit() -> None:
    (kit,) = answer_to("road_cam_needs_springs").kits
    (oil,) = kit.left_over
    assert (oil.quantity, oil.counted_in) == (600, "ml")


STOCKED = replace(PARTS[1], in_stock=True, lead_days=0)
WAITED_FOR = replace(PARTS[0], in_stock=False, lead_days=6)


def test_everything_in_stock_is_in_hand_today() -> None:
    lead = lead_time([STOCKED], [], [], TODAY)
    assert (lead.in_hand_on, lead.days, lead.decided_by, lead.unknown) == (TODAY, 0, (), ())


def test_the_longest_wait_decides() -> None:
    lead = lead_time([STOCKED, WAITED_FOR], KITS, VALID.tools[1:], TODAY)
    assert lead.in_hand_on == date(2026, 1, 11)
    assert lead.days == 6
    assert lead.decided_by == (f"{WAITED_FOR.title} ({WAITED_FOR.part})",)


def test_a_tool_can_decide() -> None:
    lead = lead_time([STOCKED], [], VALID.tools[1:], TODAY)
    assert (lead.days, lead.decided_by) == (4, ("Cam bearing puller",))


def test_one_unknown_wait_leaves_the_day_unknown_and_is_named() -> None:
    lead = lead_time([WAITED_FOR, replace(STOCKED, lead_days=None)], [], [], TODAY)
    assert (lead.in_hand_on, lead.days) == (None, None)
    assert lead.unknown == (f"{STOCKED.title} ({STOCKED.part})",)


def test_what_comes_in_a_kit_waits_for_the_kit_only() -> None:
    in_kit = replace(PARTS[2], lead_days=30)
    assert in_kit.from_kit is not None
    assert lead_time([in_kit], [replace(KITS[0], lead_days=2)], [], TODAY).days == 2
