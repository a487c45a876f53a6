"""Missing facts: does the answer depend on them, and if so, which are worth asking?

Two readings bracket the truth (``readings``). Where they come to the same build, nothing
missing matters. Otherwise every way the facts could turn out is tried, one fact at a time
(``tree``); the smallest set of facts that tells the different answers apart is asked for,
and what all answers share is said to hold in every case (``cases``).
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, replace

from rules.answer import BuildList
from rules.compiled import CompiledCatalog
from rules.demand import Demand
from rules.machine import Machine
from rules.model.plan import Plan
from rules.model.plan_model import PlanModel
from rules.request import BuildRequest
from rules.unknown import cases
from rules.unknown.machines import Inquiry
from rules.unknown.questions import asked, next_question, totals
from rules.unknown.readings import Reading, read, same_build, solve
from rules.unknown.tree import Ending, endings, in_order, separating

__all__ = ["Settled", "asked", "said_of_missing", "settle", "solve"]


@dataclass(frozen=True, slots=True)
class Settled:
    """The model and plan to answer with (None: nothing valid), and what to ask first.

    ``endings``: how it could end, once something is asked.
    """

    model: PlanModel
    plan: Plan | None
    asks: tuple[str, ...] = ()
    endings: tuple[Ending, ...] = field(default=())


def settle(
    compiled: CompiledCatalog, request: BuildRequest, machine: Machine, demand: Demand
) -> Settled:
    """Solve, and find out whether anything missing matters."""
    inquiry = Inquiry(compiled, request, machine, demand)
    first = read(inquiry, machine, {})
    if first.settled:
        return Settled(first.model, first.plan)
    found = endings(inquiry, first)
    still_open = {name for ending in found for name in ending.reading.trusted}
    asks = in_order(compiled, {*separating(compiled, found), *still_open})
    if asks:
        return Settled(first.model, first.plan, tuple(asks), tuple(found))
    return _same_however(first, found[0].reading)


def _same_however(first: Reading, ended: Reading) -> Settled:
    """Every ending is the same: answered on the machine as it is known, nothing guessed."""
    if same_build(first.plan, ended.plan):
        return Settled(first.model, first.plan)
    model = copy(ended.model)
    model.machine = first.model.machine
    return Settled(model, ended.plan)


def said_of_missing(answer: BuildList, compiled: CompiledCatalog, settled: Settled) -> BuildList:
    """The answer with what is to be asked, what holds in every case, and what depends."""
    listed = list(settled.endings)
    certain = cases.always(listed)
    low, high = totals(compiled, cases.span(listed))
    return replace(
        answer,
        status="needs_facts",
        asks=asked(compiled, settled.asks),
        always=cases.case_lines(compiled, certain),
        depends=cases.case_lines(compiled, cases.possible(listed) - certain),
        total_from=low,
        total_to=high,
        next_question=next_question(compiled, settled.asks, listed),
    )
