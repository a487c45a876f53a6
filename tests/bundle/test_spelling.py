"""Near numbers: every single slip is found, and nothing that is more than one slip away."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.bundle.spelling import NearNumbers, folded
from rules.catalog import PartKey

KNOWN = (
    PartKey("Pellworth", "PW-D50"),
    PartKey("Pellworth", "PW-D52"),
    PartKey("Pellworth", "PW-KD50"),
    PartKey("Ostrel", "OS-330"),
    PartKey("Rundholt", "RH-M14"),
    PartKey("Rundholt", "RH-341"),
    PartKey("Torvane", "T312-03"),
    PartKey("Brackwater", "B312.0"),
)
NEAR = NearNumbers(KNOWN)


@pytest.mark.parametrize(
    ("written", "first"),
    [
        ("PW-D5O", "PW-D50"),
        ("0S-33O", "OS-330"),
        ("T3I2-03", "T312-03"),
        ("PWD50", "PW-D50"),
        ("pw d50", "PW-D50"),
        ("B-312-0", "B312.0"),
        ("D50", "PW-D50"),
        ("PW-D05", "PW-D50"),
        ("RH-M41", "RH-M14"),
        ("RH-M1", "RH-M14"),
        ("T312-O33", "T312-03"),
        ("PW-E52", "PW-D52"),
    ],
)
def test_a_typical_slip_is_seen_through(written: str, first: str) -> None:
    assert NEAR.near("", written)[0].number == first


def test_the_brand_named_comes_first() -> None:
    both = NearNumbers([PartKey("Ankerly", "X-100"), PartKey("Zell", "X-100")])
    assert [key.brand for key in both.near("zell", "X-1OO")] == ["Zell", "Ankerly"]


@pytest.mark.parametrize("written", ["", "-", "X", "??", "ZZ-999-ZZ"])
def test_nothing_is_near_to_what_says_nothing(written: str) -> None:
    assert NEAR.near("", written) == ()


def distance(one: str, other: str) -> int:
    """Edits of neighbours apart (optimal string alignment), by the plain recurrence."""
    rows = [[max(i, j) for j in range(len(other) + 1)] for i in range(len(one) + 1)]
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            same = one[i - 1] == other[j - 1]
            rows[i][j] = min(
                rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + (not same)
            )
            if i > 1 and j > 1 and one[i - 2 : i] == other[j - 2 : j][::-1]:
                rows[i][j] = min(rows[i][j], rows[i - 2][j - 2] + 1)
    return rows[-1][-1]


SHORT = st.text("ABC12", min_size=3, max_size=6)


@given(SHORT, SHORT)
def test_near_is_one_edit_of_the_folded_number(written: str, number: str) -> None:
    near = NearNumbers([PartKey("Brand", number)]).near("", written)
    assert bool(near) == (distance(folded(written), folded(number)) <= 1)


@given(st.text(max_size=120), st.text(max_size=20))
def test_any_text_is_looked_up(number: str, brand: str) -> None:
    assert len(NEAR.near(brand, number)) <= 3
