"""What a choice costs, as one whole number that keeps the order of several aims.

The exact cost of an amount is ``amount * (10000 + basis points)``: ten-thousandths of a
minor unit, tax included, nothing rounded. Aims are ranked by packing them into one
integer, the first aim in the highest digits.
"""

from __future__ import annotations

from dataclasses import dataclass

from rules.catalog import Part, Step, Tool
from rules.compiled import CompiledCatalog
from rules.expressions import Expression
from rules.model.assignment import Assignment
from rules.money import half_up
from rules.optimum import Objective
from rules.request import Aim
from rules.values import Failure, Unknown

EXACT_PER_MINOR = 10_000

_RANK_BITS = 20
_COUNT_BITS = 12
TIE_BITS = _RANK_BITS + _COUNT_BITS
_SECOND_BITS = {"cost": 24, "hours": 52, "life": 52}
"""Room for the second aim: minutes below 16 million, or exact cost below 4.5e15 (4.5 billion)."""


@dataclass(frozen=True, slots=True)
class Weights:
    """Packs exact cost, minutes, lost life, renewals and ranks for one aim."""

    aim: Aim

    def objectives(self) -> tuple[Objective, ...]:
        """The aims for the linear programme, first things first.

        With the aim "cost", minutes are only a tie-break; with the others cost must decide
        between plans of the same hours or life.
        """
        bits = _SECOND_BITS[self.aim]
        by_cost = self.aim == "cost"
        everything = (1 << 200) - 1
        money_unit = EXACT_PER_MINOR
        return (
            Objective(TIE_BITS + bits, everything, money_unit if by_cost else 1),
            Objective(TIE_BITS, (1 << bits) - 1, 1 if by_cost else money_unit, must=not by_cost),
            Objective(_RANK_BITS, (1 << _COUNT_BITS) - 1, 1, must=False),
            Objective(0, (1 << _RANK_BITS) - 1, 1, must=False),
        )

    def pack(
        self, *, exact: int = 0, minutes: int = 0, lost_km: int = 0, renewed: int = 0, rank: int = 0
    ) -> int:
        """One integer; sums of packed integers compare as the aims do, in order."""
        if self.aim == "cost":
            first, second = exact, minutes
        elif self.aim == "hours":
            first, second = minutes, exact
        else:
            first, second = lost_km, exact
        ties = (renewed << _RANK_BITS) + rank
        return (((first << _SECOND_BITS[self.aim]) + second) << TIE_BITS) + ties


@dataclass(frozen=True, slots=True)
class ToolChoice:
    """The cheapest way to have a tool in hand; ``price`` None: it cannot be had."""

    how: str
    price: int | None


def tool_choice(tool: Tool, owned: bool) -> ToolChoice:
    """Owned before hired before bought, where the price is the same."""
    if owned:
        return ToolChoice("owned", 0)
    offers: list[tuple[int, int, str]] = []
    if tool.hire_price is not None:
        offers.append((tool.hire_price, 0, "hired"))
    if tool.buy_price is not None:
        offers.append((max(0, tool.buy_price - (tool.resale_price or 0)), 1, "bought"))
    if not offers:
        return ToolChoice("none", None)
    price, _, how = min(offers)
    return ToolChoice(how, price)


class Prices:
    """Prices of steps, parts and tools on one machine. Unknown minutes or quantities are kept."""

    def __init__(self, compiled: CompiledCatalog, facts: Assignment) -> None:
        self._compiled = compiled
        self._facts = facts
        policy = compiled.catalog.policy
        self._rate = policy.labour_rate_per_hour
        self._tax = {kind: compiled.tax_basis_points(kind) for kind in policy.tax_of}

    def exact(self, amount: int, kind: str) -> int:
        """Exact cost of an amount of a line kind."""
        return amount * (EXACT_PER_MINOR + self._tax[kind])

    def labour(self, minutes: int) -> int:
        """Labour in minor units."""
        return half_up(minutes * self._rate, 60)

    def minutes(self, step: Step) -> int | Unknown:
        """Minutes of a step on this machine."""
        return self.whole(self._compiled.minutes[step.id])

    def quantity(self, part_type: str) -> int | Unknown:
        """Pieces (or ml) that fill the place on this machine."""
        return self.whole(self._compiled.quantity[part_type])

    def whole(self, value: Expression | int) -> int | Unknown:
        """A whole number, 0 where it comes out negative, unknown where facts are missing."""
        if isinstance(value, int):
            return value
        outcome = value.evaluate(self._facts)
        if isinstance(outcome, Unknown):
            return outcome
        if isinstance(outcome, Failure):
            return Unknown(frozenset())
        return max(0, int(outcome))


def packs(part: Part, quantity: int) -> int:
    """Packs to buy so that at least ``quantity`` pieces are in hand."""
    return -(-quantity // part.pack_quantity)
