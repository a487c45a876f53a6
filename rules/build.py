"""The main job: from a machine and a wish to a validated build list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from rules.answer import (
    AddOn,
    BudgetAnswer,
    BuildList,
    MachineFacts,
    Proof,
    Superseded,
)
from rules.compiled import CompiledCatalog
from rules.conflict import explain
from rules.demand import Demand, resolve
from rules.faults import Fault, Faulty
from rules.identify import identify
from rules.listing.add_ons import Offer, Workbench, add_on_line, offers
from rules.listing.budget import BudgetSearch
from rules.listing.charges import total
from rules.listing.context import Context, money
from rules.listing.labour import labour
from rules.listing.lines import (
    consumable_lines,
    deposit_lines,
    kit_lines,
    lead_time,
    part_lines,
    sent_out_lines,
    tool_lines,
)
from rules.listing.notes import cautions, figures, margins
from rules.listing.totals import totals
from rules.listing.wish import told_facts, wishes
from rules.machine import Machine
from rules.model.plan import Plan
from rules.request import BuildRequest
from rules.supersession import Current
from rules.unknown import said_of_missing, settle
from rules.values import Value
from rules.verify import verify


def build_list(
    compiled: CompiledCatalog, request: BuildRequest, *, today: date, edition: str
) -> BuildList:
    """The validated build list of a request.

    ``today`` is the day that lead times count from, ``edition`` the label of the catalog
    edition. Raises Faulty (JSON Pointers into the request) when the request itself is wrong;
    a wish that cannot be met is an answer with status ``conflict``, not an error.
    """
    machine, demand = read_request(compiled, request)
    settled = settle(compiled, request, machine, demand)
    frame = _frame(compiled, machine, demand, told=request.facts, today=today, edition=edition)
    if settled.asks and (settled.plan is None or settled.plan.missing):
        return said_of_missing(frame, compiled, settled)
    if settled.plan is None:
        found = explain(compiled, request, machine, demand, settled.model)
        return replace(
            frame,
            status="conflict",
            conflicts=found.conflicts,
            repairs=found.repairs,
            notes=found.notes,
        )
    context = Context(settled.model, settled.plan)
    verify(context)
    answer = _with_lines(frame, context, request, today)
    return said_of_missing(answer, compiled, settled) if settled.asks else answer


def read_request(compiled: CompiledCatalog, request: BuildRequest) -> tuple[Machine, Demand]:
    """Machine and demand. Raises Faulty with the faults of both together."""
    faults: list[Fault] = []
    machine: Machine | None = None
    demand: Demand | None = None
    try:
        machine = identify(compiled, request)
    except Faulty as error:
        faults.extend(error.faults)
    try:
        demand = resolve(compiled, request)
    except Faulty as error:
        faults.extend(error.faults)
    if not (request.jobs or request.parts_wanted or request.add_ons):
        mend = "Name at least one job, part or add-on."
        faults.append(Fault("/jobs", "nothing is asked for", mend))
    if faults or machine is None or demand is None:
        raise Faulty(faults)
    return machine, demand


def _frame(
    compiled: CompiledCatalog,
    machine: Machine,
    demand: Demand,
    *,
    told: Mapping[str, Value],
    today: date,
    edition: str,
) -> BuildList:
    vehicle = machine.vehicle
    label = vehicle.label if vehicle else f"one of {len(machine.candidates)} configurations"
    return BuildList(
        status="valid",
        edition=edition,
        catalog=compiled.catalog.name,
        made_on=today,
        aim=demand.aim,
        machine=MachineFacts(
            vehicle_id=vehicle.id if vehicle else None,
            label=label,
            facts=tuple(sorted(machine.facts.items())),
            told=told_facts(compiled, told),
        ),
        wish=wishes(compiled, demand),
        superseded=tuple(_superseded(current) for current in demand.superseded),
    )


def _superseded(current: Current) -> Superseded:
    now = " and ".join(str(key) for key in current.current)
    old = current.chain[0]
    many = " together" if len(current.current) > 1 else ""
    return Superseded(
        asked=old,
        chain=current.chain,
        current=current.current,
        sentence=f"{old} is an old number; today it is {now}{many}.",
    )


def _with_lines(
    frame: BuildList, context: Context, request: BuildRequest, today: date
) -> BuildList:
    parts, kits, tools = part_lines(context), kit_lines(context), tool_lines(context)
    deposits = deposit_lines(context)
    work = labour(context)
    bench = Workbench(context)
    offered = offers(context, bench)
    chosen = _budget(context, request, bench, offered)
    return replace(
        frame,
        parts=parts,
        kits=kits,
        operations=work.operations,
        steps=work.steps,
        tools=tools,
        sent_out=sent_out_lines(context),
        consumables=consumable_lines(context),
        deposits=deposits,
        totals=totals(context, work, deposits),
        lead_time=lead_time(parts, kits, tools, today),
        add_ons=_add_ons(context, offered, chosen),
        budget=chosen,
        cautions=cautions(context),
        margins=margins(context),
        figures=figures(context),
        notes=(f"Prices: {context.compiled.catalog.policy.prices_from}",),
        proof=_proof(context.plan),
    )


def _add_ons(
    context: Context, offered: list[Offer], budget: BudgetAnswer | None
) -> tuple[AddOn, ...]:
    return tuple(
        add_on_line(
            context, offer, None if budget is None else offer.taken or offer.place in budget.add_ons
        )
        for offer in offered
    )


def _budget(
    context: Context, request: BuildRequest, bench: Workbench, offered: list[Offer]
) -> BudgetAnswer | None:
    if request.budget is None:
        return None
    base = total(context.model, context.plan)
    search = BudgetSearch(
        bench=bench,
        taken=frozenset(context.model.demand.add_ons),
        base_total=base,
        budget=request.budget,
        offers=[offer for offer in offered if not offer.taken],
    )
    choice = search.run()
    return BudgetAnswer(
        budget=money(context.compiled, request.budget),
        reached=base <= request.budget,
        add_ons=choice.places,
        total=context.money(choice.total),
        worth=context.money(choice.worth),
        proven=choice.proven,
    )


def _proof(plan: Plan) -> Proof:
    solution = plan.solution
    return Proof(
        optimal=solution.proven,
        method=solution.method,
        choices_open=solution.choices_open,
        nodes=solution.nodes,
    )
