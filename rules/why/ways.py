"""Why an operation is done by another way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rules.answer import BuildList, ConflictElement
from rules.catalog import Operation, Way
from rules.compiled import CompiledCatalog
from rules.demand import resolve
from rules.expressions import explain
from rules.faults import Fault, Faulty
from rules.identify import identify, near
from rules.listing.charges import total
from rules.listing.context import money
from rules.model.checks import fires
from rules.model.plan import Plan, read_plan
from rules.model.plan_model import PlanModel
from rules.optimum.solve import minimal_clash
from rules.request import BuildRequest
from rules.speech import in_a_sentence
from rules.unknown import settle
from rules.values import Unknown
from rules.why.answer import WhyNot


def why_not_way(
    compiled: CompiledCatalog, request: BuildRequest, asked: tuple[str, str], base: BuildList
) -> WhyNot:
    """As ``why_not``, for an operation and one of its ways."""
    operation, way = _known(compiled, asked)
    settled = settle(compiled, request, identify(compiled, request), resolve(compiled, request))
    model, plan = settled.model, settled.plan
    said = WhyNot(
        subject=f"{operation.id}/{way.id}",
        title=way.title,
        edition=base.edition,
        verdict="open",
        sentences=(),
    )
    offered = fires(compiled.way_when[asked], model.reach.as_found)
    if offered is False:
        sentence = f"{way.title} is not for this machine: {_facts(model, asked)}."
        return replace(said, verdict="not_on_this_machine", sentences=(sentence,))
    if plan is None:
        sentence = "Nothing at all is valid as asked, with it or without."
        elements = base.conflicts[0].elements if base.conflicts else ()
        return replace(said, verdict="request_conflict", sentences=(sentence,), elements=elements)
    if isinstance(offered, Unknown) or plan.missing:
        sentence = f"That depends on what is not known: {_facts(model, asked)}."
        return replace(said, sentences=(sentence,))
    if operation.id not in plan.ways:
        sentence = f"Nothing in this list takes this work: {in_a_sentence(operation.title)}."
        return replace(said, verdict="not_needed", sentences=(sentence,))
    if plan.ways[operation.id] == way.id:
        sentence = f"{way.title} is the way chosen."
        return replace(said, verdict="in_list", sentences=(sentence,))
    return _tried(model, plan, asked, said)


def _known(compiled: CompiledCatalog, asked: tuple[str, str]) -> tuple[Operation, Way]:
    operation = compiled.operations.get(asked[0])
    if operation is None:
        mend = near(asked[0], compiled.operations)
        problem = f"no operation is called {asked[0]!r}"
        raise Faulty([Fault("/way/operation", problem, mend)])
    way = next((way for way in operation.ways if way.id == asked[1]), None)
    if way is None:
        mend = f"Its ways: {', '.join(sorted(way.id for way in operation.ways))}."
        raise Faulty([Fault("/way/way", f"no way of it is called {asked[1]!r}", mend)])
    return operation, way


def _facts(model: PlanModel, asked: tuple[str, str]) -> str:
    """What the condition of the way reads, as it is on this machine."""
    when = model.compiled.way_when[asked]
    if when is None:
        return "a fact"
    return ", ".join(_fact(model, name) for name, _ in explain(when, model.reach.as_found))


def _fact(model: PlanModel, name: str) -> str:
    fact = name.removeprefix("vehicle.")
    label = in_a_sentence(model.compiled.fact_labels.get(fact, fact))
    value = model.machine.facts.get(fact)
    return f"{label} is not known" if value is None else f"{label} is {value}"


def _tried(model: PlanModel, chosen: Plan, way: tuple[str, str], said: WhyNot) -> WhyNot:
    """The cheapest plan that does the operation by this way, against the one chosen."""
    before = total(model, chosen)
    forced = [*model.taken, model.way[way]]
    solution = model.solver.minimise(forced, ties=True)
    if solution is None:
        sentence = "It cannot be done so: these stand against it."
        elements = tuple(_against(model, forced))
        return replace(said, verdict="conflict", sentences=(sentence,), elements=elements)
    plan = read_plan(model, solution)
    more, longer = total(model, plan) - before, plan.labour_minutes - chosen.labour_minutes
    equal = not more and not longer
    return replace(
        said,
        verdict="equal" if equal else "worse",
        sentences=tuple(_compared(model, more, longer)),
        total=money(model.compiled, before + more),
        total_more=money(model.compiled, more),
        minutes_more=longer,
    )


def _compared(model: PlanModel, more: int, longer: int) -> Iterator[str]:
    yield "It would be valid."
    if not more and not longer:
        yield "It comes to the same total and the same time; between equals the list is fixed."
        return
    paid = f"{money(model.compiled, abs(more))} {'more' if more > 0 else 'less'}"
    time = f"{abs(longer)} min {'more' if longer > 0 else 'less'}"
    yield (
        f"Done so the list comes to {paid if more else 'the same'}"
        f" and takes {time if longer else 'the same time'}."
    )
    aims = {"hours": "The aim is least hours.", "life": "The aim is longest life."}
    if more <= 0 and model.demand.aim in aims:
        yield aims[model.demand.aim]


def _against(model: PlanModel, forced: list[int]) -> Iterator[ConflictElement]:
    core = model.solver.why_impossible(forced)
    if core is None:
        return
    for origin in minimal_clash(model.clauses, core.core, forced):
        kind, ref = str(origin[0]), str(origin[1])  # type: ignore[index]  # (kind, id)
        yield ConflictElement(kind=kind, ref=ref, sentence=_element(model, kind, ref), basis="")


def _element(model: PlanModel, kind: str, ref: str) -> str:
    compiled = model.compiled
    if kind in ("keep", "no_candidate", "add_on"):
        label = in_a_sentence(compiled.part_types[ref].label)
        says = {
            "keep": f"The {label} is to stay as it is.",
            "no_candidate": f"No other {label} may be fitted.",
            "add_on": f"The {label} is to be renewed as an add-on.",
        }
        return says[kind]
    if kind == "rule":
        return compiled.rules[ref].rule.sentence
    if kind == "tool":
        return f"{compiled.tools[ref].title}: neither owned nor to be hired or bought."
    if kind == "operation":
        return f"Each way takes its steps: {in_a_sentence(compiled.operations[ref].title)}."
    if kind == "step":
        return f"{compiled.steps[ref].title}: takes its tools, and access to it."
    return f"{ref} is refused." if kind == "refused" else f"{ref} is asked for."
