"""A request with most of it taken away: what section 8 of docs/model.md asks of a conflict.

Each element of a conflict has a meaning when it is left out: a job is not asked for, a rule
is not in the catalog, a step needs and spends nothing, an operation needs no way, a tool
is in the cabinet, a part that does not fit does, a place for which there is no part may be
renewed with none. That a place is filled by one of the parts that there are is the frame in
which everything is said, so it counts as left out only where a conflict names it.
"""

from __future__ import annotations

from dataclasses import replace

from rules.answer import Conflict
from rules.catalog import Part, PartKey
from rules.request import BuildRequest
from tests.reference import cp_sat
from tests.reference.formulation import Formulation
from tests.reference.generator import Generated
from tests.reference.problem import Problem, Work, pose, sold_as

Element = tuple[str, str]
"""Kind and ref, as the answer names them."""


def elements_of(conflict: Conflict) -> frozenset[Element]:
    """The elements as pairs."""
    return frozenset((one.kind, one.ref) for one in conflict.elements)


def possible_with_only(
    generated: Generated, kept: frozenset[Element], left_out: Element | None = None
) -> bool:
    """Whether a plan exists when nothing but ``kept`` holds, less ``left_out``."""
    kept = kept - {left_out} if left_out else kept
    request = only_requests(generated, kept)
    refused = {now for asked in request.parts_refused for now in sold_as(generated.catalog, asked)}
    problem = pose(only_rules(generated, kept), request)
    named = [part for part in _wanted_parts(generated) if part.key not in refused]
    unfilled = {
        place
        for place, parts in problem.candidates.items()
        if not parts and ("no_candidate", place) not in kept
    }
    if left_out and left_out[0] == "no_candidate":
        unfilled.add(left_out[1])
    return cp_sat.possible(Formulation(_relaxed(problem, kept, named), frozenset(unfilled)))


def only_rules(generated: Generated, kept: frozenset[Element]) -> Generated:
    """The catalog with these rules only."""
    rules = tuple(rule for rule in generated.catalog.rules if ("rule", rule.id) in kept)
    return replace(generated, catalog=replace(generated.catalog, rules=rules))


def only_requests(generated: Generated, kept: frozenset[Element]) -> BuildRequest:
    """The request with these wishes only; a refusal may be named by the number of today."""
    request = generated.request

    def said(kind: str, key: PartKey) -> bool:
        return any((kind, str(one)) in kept for one in (key, *sold_as(generated.catalog, key)))

    return replace(
        request,
        jobs=tuple(one for one in request.jobs if ("job", one) in kept),
        parts_wanted=tuple(one for one in request.parts_wanted if said("wanted", one)),
        parts_refused=tuple(one for one in request.parts_refused if said("refused", one)),
        keep=tuple(one for one in request.keep if ("keep", one) in kept),
        add_ons=tuple(one for one in request.add_ons if ("add_on", one) in kept),
    )


def _relaxed(problem: Problem, kept: frozenset[Element], named: list[Part]) -> Problem:
    return replace(
        problem,
        works={
            name: work if ("step", name) in kept else _free(work)
            for name, work in problem.works.items()
        },
        ways={
            name: ways if ("step", name) in kept else {**ways, "nothing": frozenset()}
            for name, ways in problem.ways.items()
        },
        all_ways={name: (*ways, "nothing") for name, ways in problem.all_ways.items()},
        tool_price={
            name: price if ("tool", name) in kept else price or 0
            for name, price in problem.tool_price.items()
        },
        candidates=_with_wanted(problem, kept, named),
    )


def _free(work: Work) -> Work:
    nothing: frozenset[str] = frozenset()
    return replace(work, needs=nothing, spends=nothing, tools=nothing)


def _wanted_parts(generated: Generated) -> list[Part]:
    """Every part that the whole request asks for by number, singly or in a kit."""
    kits = {kit.key: kit for kit in generated.catalog.kits}
    current = {
        now for key in generated.request.parts_wanted for now in sold_as(generated.catalog, key)
    }
    inside = {row.part for key in current & kits.keys() for row in kits[key].contents}
    return [part for part in generated.catalog.parts if part.key in current | inside]


def _with_wanted(
    problem: Problem, kept: frozenset[Element], named: list[Part]
) -> dict[str, tuple[Part, ...]]:
    """Parts asked for by number that do not fit are candidates unless it is said that they
    do not."""
    candidates = dict(problem.candidates)
    for part in named:
        listed = candidates[part.part_type]
        if part not in listed and ("fitment", str(part.key)) not in kept:
            candidates[part.part_type] = (*listed, part)
    return candidates
