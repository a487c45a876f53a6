"""Packed costs compare as the aims do, and tools are had in the cheapest way."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.catalog import Tool
from rules.model.costs import Weights, tool_choice
from rules.request import Aim

figures = st.tuples(
    st.integers(0, 10**12), st.integers(0, 10**5), st.integers(0, 10**6), st.integers(0, 500)
)


def packed(weights: Weights, figure: tuple[int, int, int, int]) -> int:
    exact, minutes, lost_km, renewed = figure
    return weights.pack(exact=exact, minutes=minutes, lost_km=lost_km, renewed=renewed)


def in_order(aim: Aim, figure: tuple[int, int, int, int]) -> tuple[int, int, int]:
    exact, minutes, lost_km, renewed = figure
    first = {"cost": exact, "hours": minutes, "life": lost_km}[aim]
    return first, minutes if aim == "cost" else exact, renewed


class TestPacking:
    """Section 6 of docs/model.md: the first aim decides, then the second, then places renewed."""

    @pytest.mark.parametrize("aim", ["cost", "hours", "life"])
    @given(one=figures, other=figures)
    @settings(derandomize=True, deadline=None)
    def test_packed_numbers_compare_as_the_aims_do(
        self, aim: Aim, one: tuple[int, int, int, int], other: tuple[int, int, int, int]
    ) -> None:
        weights = Weights(aim)
        packed_order = packed(weights, one) < packed(weights, other)
        assert packed_order == (in_order(aim, one) < in_order(aim, other))

    @pytest.mark.parametrize("aim", ["cost", "hours", "life"])
    @given(one=figures, other=figures)
    @settings(derandomize=True, deadline=None)
    def test_objectives_read_the_aims_back_out_of_sums(
        self, aim: Aim, one: tuple[int, int, int, int], other: tuple[int, int, int, int]
    ) -> None:
        weights = Weights(aim)
        total = packed(weights, one) + packed(weights, other)
        both = tuple(a + b for a, b in zip(one, other, strict=True))
        read = tuple(objective.of(total) for objective in weights.objectives()[:3])
        assert read == in_order(aim, (both[0], both[1], both[2], both[3]))


def tool(**offers: int) -> Tool:
    return Tool(id="puller", title="Puller", purpose="pulls", **offers)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("offers", "owned", "how", "price"),
    [
        ({"hire_price": 900}, True, "owned", 0),
        ({"hire_price": 900}, False, "hired", 900),
        ({"hire_price": 900, "buy_price": 4000, "resale_price": 3500}, False, "bought", 500),
        ({"hire_price": 500, "buy_price": 4000, "resale_price": 3500}, False, "hired", 500),
        ({"buy_price": 4000}, False, "bought", 4000),
        ({}, False, "none", None),
        ({}, True, "owned", 0),
    ],
)
def test_a_tool_is_had_in_the_cheapest_way(
    offers: dict[str, int], owned: bool, how: str, price: int | None
) -> None:
    choice = tool_choice(tool(**offers), owned)
    assert (choice.how, choice.price) == (how, price)
