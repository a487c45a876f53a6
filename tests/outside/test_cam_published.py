"""Cam events against published cam cards and identities between them.

All events of a row are taken at one lift. "published" in an id: the figure stands in the named
page; "computed": worked out from the relations, no outside witness.
"""

from __future__ import annotations

import pytest

from rules.engine.functions import FUNCTIONS
from rules.values import Failure
from tests.engine.calls import call, inches, mm

# IO IC EO EC; durations; intake and exhaust centre; separation; overlap; advance.
CARDS = [
    pytest.param(
        (6, 42, 46, 12, 228, 238, 108, 107, 107.5, 18, -0.5),
        id="published 228, 108 and overlap 18 (forum post 1970493881); EO 46 computed",
    ),
    pytest.param(
        (20, 60, 60, 20, 260, 260, 110, 110, 110, 40, 0),
        id="published 260 (ausmini topic 237565); rest computed",
    ),
    pytest.param(
        (25, 55, 65, 15, 260, 260, 105, 115, 110, 40, 5),
        id="published: the same cam advanced 5",
    ),
    pytest.param(
        (15, 65, 55, 25, 260, 260, 115, 105, 110, 40, -5),
        id="published: the same cam retarded 5",
    ),
    pytest.param((22, 38, 52, 18, 240, 250, 98, 107, 102.5, 40, 4.5), id="computed"),
    pytest.param(
        (-2, 30, 40, -4, 208, 216, 106, 112, 109, -6, 3),
        id="computed: negative events, opens after and closes before top dead centre",
    ),
]


@pytest.mark.parametrize("card", CARDS)
def test_cam_cards(card: tuple[float, ...]) -> None:
    io, ic, eo, ec, intake, exhaust, intake_centre, exhaust_centre, apart, overlap, advance = card
    assert call("duration_deg", io, ic) == intake
    assert call("duration_deg", eo, ec) == exhaust
    assert call("lobe_centre_intake_deg", io, ic) == intake_centre
    assert call("lobe_centre_exhaust_deg", eo, ec) == exhaust_centre
    assert call("lobe_separation_deg", io, ic, eo, ec) == apart
    assert call("valve_overlap_deg", io, ec) == overlap
    assert (exhaust_centre - intake_centre) / 2 == advance


@pytest.mark.parametrize("card", CARDS)
def test_overlap_follows_from_durations_and_separation(card: tuple[float, ...]) -> None:
    # Identity, computed: overlap = (intake + exhaust duration) / 2 - 2 * separation. It holds
    # only if the separation is in cam degrees and the centres are in crank degrees.
    io, ic, eo, ec = card[:4]
    durations = call("duration_deg", io, ic) + call("duration_deg", eo, ec)
    separation = call("lobe_separation_deg", io, ic, eo, ec)
    assert call("valve_overlap_deg", io, ec) == durations / 2 - 2 * separation


def test_a_published_separation_from_duration_and_overlap() -> None:
    # Published (starquestclub topic 149479): duration 264 both, overlap 45 -> 109.5.
    half = 45 / 2
    closes = 264 - 180 - half
    assert call("lobe_separation_deg", half, closes, closes, half) == 109.5


def test_turning_the_cam_moves_centres_and_nothing_else() -> None:
    # Published: the 260 degree cam above, 5 degrees either way.
    straight = call("lobe_separation_deg", 20, 60, 60, 20)
    for turn in (-5, 5):
        assert call("lobe_centre_intake_deg", 20 + turn, 60 - turn) == 110 - turn
        assert call("lobe_separation_deg", 20 + turn, 60 - turn, 60 + turn, 20 - turn) == straight


@pytest.mark.parametrize(("ratio", "lift"), [(1.6, 0.5440), (1.625, 0.55250), (1.75, 0.5950)])
def test_valve_lift_of_a_lobe(ratio: float, lift: float) -> None:
    # Computed: lobe lift .340 in, no lash.
    assert inches(call("valve_lift_mm", mm(0.340), ratio, 0.0)) == pytest.approx(lift, abs=1e-9)


def test_a_valve_that_closes_before_it_opens_is_refused() -> None:
    assert isinstance(FUNCTIONS["duration_deg"].call(-100.0, -80.0), Failure)
