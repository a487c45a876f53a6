"""The whole explanation of a request that cannot be met: conflicts and what mends them."""

from __future__ import annotations

from dataclasses import dataclass

from rules.answer import Conflict, Repair
from rules.compiled import CompiledCatalog
from rules.conflict.elements import Elements
from rules.conflict.repairs import Mender, mender
from rules.conflict.wish import origins_of
from rules.demand import Demand
from rules.machine import Machine
from rules.model.checks import Origin
from rules.model.plan_model import PlanModel
from rules.optimum.conflict_sets import minimal_conflicts
from rules.optimum.leavable import Questions, leavable
from rules.optimum.solve import minimal_clash
from rules.request import BuildRequest

CONFLICTS_SHOWN = 8
"""The smallest minimal conflicts are shown, up to so many."""

CONFLICT_ASKS = 150
"""Questions to the clauses that the search for conflicts may take."""

REPAIRS_SHOWN = 8
"""The cheapest repairs are shown, up to so many."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """``notes`` say what was not looked at, and why there is no repair where there is none."""

    conflicts: tuple[Conflict, ...]
    repairs: tuple[Repair, ...]
    notes: tuple[str, ...]


def explain(
    compiled: CompiledCatalog,
    request: BuildRequest,
    machine: Machine,
    demand: Demand,
    model: PlanModel,
) -> Explanation:
    """Why ``request`` cannot be met on ``machine``, and every smallest change that mends it.

    ``model``: the model that was found to be impossible. Raises RuntimeError where it is not.
    """
    conflicts, all_conflicts = _conflicts(model, request)
    mending = mender(compiled, request, machine, demand, model)
    repairs = mending.run()
    shown = tuple(repairs[:REPAIRS_SHOWN])
    notes = []
    if not all_conflicts:
        notes.append(f"More conflicts may exist than the {len(conflicts)} shown.")
    if len(repairs) > len(shown):
        notes.append(f"More ways out exist than the {len(shown)} shown.")
    elif not mending.complete:
        notes.append("More ways out may exist: not every one was looked at.")
    if not shown:
        notes.append(_why_none(mending))
    return Explanation(conflicts, shown, tuple(notes))


def _why_none(mending: Mender) -> str:
    if mending.depends:
        return "Whether a change of the request mends it depends on what is not known."
    if mending.nothing_left:
        return "Nothing less than giving up the whole request mends it."
    if not mending.complete:
        return "No way out was found with the work allowed for it."
    return "No change of the request mends it: the catalog or the machine must change."


def _conflicts(model: PlanModel, request: BuildRequest) -> tuple[tuple[Conflict, ...], bool]:
    """The smallest minimal conflicts, and whether these are all."""
    origins = origins_of(model.clauses)
    clauses = leavable(model.clauses, origins)
    questions: Questions[Origin] = Questions(clauses, model.taken)
    found = minimal_conflicts(origins, questions.ask, most=CONFLICTS_SHOWN, asks=CONFLICT_ASKS)
    sets = found.sets or (_one(model),)
    elements = Elements(model, request, questions)
    return tuple(elements.conflict(origins) for origins in sets), found.complete


def _one(model: PlanModel) -> tuple[Origin, ...]:
    """A minimal conflict by leaving out one thing at a time, however long it takes."""
    impossible = model.solver.why_impossible(model.taken)
    if impossible is None:
        raise RuntimeError("no plan was found, yet nothing clashes")
    clash = frozenset(minimal_clash(model.clauses, impossible.core, model.taken))
    return tuple(origin for origin in origins_of(model.clauses) if origin in clash)
