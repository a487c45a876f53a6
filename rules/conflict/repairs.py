"""What mends a conflict: every smallest change of the request, planned anew and priced."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from rules.answer import Change, RenewedPart, Repair
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.conflict.wish import Wish, asks_for_something, origins_of
from rules.demand import Demand, resolve
from rules.identify import identify
from rules.listing.charges import total
from rules.listing.context import Context, money
from rules.machine import Machine
from rules.model.checks import Origin
from rules.model.plan import Plan, read_plan
from rules.model.plan_model import PlanModel, build_model
from rules.model.tables import can_be_asked
from rules.optimum import Solver
from rules.optimum.conflict_sets import OutOfWorkError, minimal_corrections
from rules.optimum.leavable import Leavable, Questions, leavable
from rules.optimum.search import TooHard
from rules.request import BuildRequest
from rules.speech import in_a_sentence
from rules.unknown import asked, settle
from rules.values import Unknown
from rules.verify import verify

CORRECTIONS = 16
"""Smallest sets of things to let go of that are priced; those with fewest things come first."""

CORRECTION_ASKS = 200
SETTLED = 4
"""Changed requests that are settled from scratch, where something about the machine is missing."""


@dataclass(frozen=True, slots=True)
class Mended:
    """A changed request with its valid plan. ``instead``: wanted number to what takes its place."""

    dropped: tuple[Origin, ...]
    instead: dict[str, tuple[PartKey, ...]]
    request: BuildRequest
    model: PlanModel
    plan: Plan
    asks: tuple[str, ...] = ()


@dataclass(slots=True)
class Mender:
    """Finds and prices repairs of one request. ``model``: the strict model of the machine.

    ``complete``: every smallest change was found and priced. ``nothing_left``: some change
    would mend it, but leaves nothing that is asked for. ``depends``: whether some change would
    depends on what is not known.
    """

    compiled: CompiledCatalog
    wish: Wish
    model: PlanModel
    sure: bool
    complete: bool = True
    nothing_left: bool = False
    depends: bool = False
    _clauses: Leavable[Origin] = field(init=False)
    _solver: Solver = field(init=False)
    _settled: int = 0

    def __post_init__(self) -> None:
        changeable = self.wish.changeable(origins_of(self.model.clauses))
        self._clauses = leavable(self.model.clauses, changeable)
        self._solver = Solver(self._clauses.model, self.model.weights.objectives())

    def run(self) -> list[Repair]:
        """All repairs, cheapest first."""
        found: dict[tuple[Change, ...], tuple[int, Repair]] = {}
        for mended in self._all():
            repair = self._repair(mended)
            found.setdefault(repair.changes, (repair.total.minor, repair))
        ranked = sorted(
            found.values(), key=lambda one: (one[0], len(one[1].changes), one[1].sentence)
        )
        return [repair for _, repair in ranked]

    def _all(self) -> Iterator[Mended]:
        origins = list(self._clauses.left_out)
        questions = Questions(self._clauses, self.model.taken)
        corrections = minimal_corrections(
            origins, questions.ask, most=CORRECTIONS, asks=CORRECTION_ASKS
        )
        self.complete = corrections.complete
        for dropped in corrections.sets:
            try:
                yield from self._ways(dropped)
            except (TooHard, OutOfWorkError):
                self.complete = False

    def _ways(self, dropped: tuple[Origin, ...]) -> Iterator[Mended]:
        """Letting go of things; then letting go of wanted parts and taking others instead."""
        plain = self._mended(dropped, ())
        if plain is not None:
            yield plain
        wanted = [self.wish.wanted(ref) for kind, ref in dropped if kind == "wanted"]
        places = {self.compiled.parts[key].part_type for one in wanted for key in one.parts}
        if places and not (plain and places <= plain.plan.target.keys()):
            exchanged = self._mended(dropped, tuple(sorted(places)))
            if exchanged is not None:
                yield exchanged

    def _mended(self, dropped: tuple[Origin, ...], renewed: tuple[str, ...]) -> Mended | None:
        """The best plan without ``dropped`` and with ``renewed`` places renewed."""
        if not renewed and not asks_for_something(self.wish.without(dropped, ())):
            self.nothing_left = True
            return None
        plan = self._plan(dropped, renewed)
        if plan is None:
            return None
        instead = self._instead(dropped, plan) if renewed else {}
        new = [key for keys in instead.values() for key in keys]
        request = self.wish.without(dropped, new)
        if plan.missing or not self._as_priced(dropped):
            return self._settle(dropped, instead, request)
        verify(Context(self.model, plan))
        return Mended(dropped, instead, request, self.model, plan)

    def _plan(self, dropped: tuple[Origin, ...], renewed: tuple[str, ...]) -> Plan | None:
        kept = self._clauses.left_out.keys() - set(dropped)
        left = {ref for kind, ref in dropped if kind == "add_on"}
        taken = [v for place, v in self.model.take.items() if place not in left]
        new = [self.model.renew[place] for place in renewed]
        assumed = [*self._clauses.assuming(kept), *taken, *new]
        solution = self._solver.minimise(assumed, ties=True)
        return None if solution is None else read_plan(self.model, solution)

    def _as_priced(self, dropped: tuple[Origin, ...]) -> bool:
        """Whether the model prices the changed request as that request's own model would.

        A refusal that is lifted may bring kits and longest lives that this model does not have.
        """
        return self.sure and all(kind not in ("refused", "not_offered") for kind, _ in dropped)

    def _settle(
        self,
        dropped: tuple[Origin, ...],
        instead: dict[str, tuple[PartKey, ...]],
        request: BuildRequest,
    ) -> Mended | None:
        """The changed request from scratch: a plan that holds whatever is missing, or None."""
        self._settled += 1
        if not self.sure and self._settled > SETTLED:
            self.complete = False
            return None
        machine, demand = identify(self.compiled, request), resolve(self.compiled, request)
        settled = settle(self.compiled, request, machine, demand)
        if settled.plan is None or settled.plan.missing:
            self.depends = True
            return None
        return Mended(dropped, instead, request, settled.model, settled.plan, settled.asks)

    def _instead(self, dropped: tuple[Origin, ...], plan: Plan) -> dict[str, tuple[PartKey, ...]]:
        found: dict[str, tuple[PartKey, ...]] = {}
        for kind, ref in dropped:
            if kind == "wanted":
                parts = self.wish.wanted(ref).parts
                places = sorted({self.compiled.parts[key].part_type for key in parts})
                found[ref] = tuple(plan.target[place].key for place in places)
        return found

    # -- in words --------------------------------------------------------------------

    def _repair(self, mended: Mended) -> Repair:
        changes = tuple(
            dict.fromkeys(
                change for origin in mended.dropped for change in self._changes(origin, mended)
            )
        )
        return Repair(
            changes=changes,
            renews=tuple(
                RenewedPart(
                    part_type=place,
                    label=self.compiled.part_types[place].label,
                    part=part.key,
                    title=part.title,
                )
                for place, part in mended.plan.target.items()
            ),
            total=money(self.compiled, total(mended.model, mended.plan)),
            labour_minutes=mended.plan.labour_minutes,
            asks=asked(self.compiled, mended.asks),
            patch=self.wish.patch(mended.request),
            sentence=" ".join(change.sentence for change in changes),
        )

    def _changes(self, origin: Origin, mended: Mended) -> Iterator[Change]:
        kind, ref = origin
        if kind in ("refused", "not_offered"):
            for asked in self.wish.refused_as(ref):
                yield Change(kind="refused", ref=str(asked), sentence=self._allow(asked))
        else:
            yield Change(kind=kind, ref=ref, sentence=self._sentence(kind, ref, mended))  # type: ignore[arg-type]

    def _allow(self, asked: PartKey) -> str:
        now = [str(key) for key in self.wish.refusals[asked] if key != asked]
        return f"Allow {asked}{f', today {_and(now)}' if now else ''}."

    def _sentence(self, kind: str, ref: str, mended: Mended) -> str:
        if kind == "job":
            return f"Leave the job out: {in_a_sentence(self.compiled.jobs[ref].title)}."
        if kind == "wanted":
            return self._let_go(ref, mended)
        if kind == "tool":
            title = self.compiled.tools[ref].title
            return f"Get the use of a tool, {title} (not in the price)."
        label = self._label(ref)
        if kind == "add_on":
            return f"Leave out the add-on: {label}."
        part = mended.plan.target.get(ref)
        return f"Let the {label} be renewed{f', by {part.key}' if part else ''}."

    def _let_go(self, ref: str, mended: Mended) -> str:
        if ref in mended.instead:
            wanted = {str(key) for key in self.wish.wanted(ref).parts}
            new = [str(key) for key in mended.instead[ref]]
            different = [key for key in new if key not in wanted] or new
            return f"Take {_and(different)} in place of {ref}."
        parts = self.wish.wanted(ref).parts
        places = sorted({self.compiled.parts[key].part_type for key in parts})
        comes = [str(mended.plan.target[p].key) for p in places if p in mended.plan.target]
        stays = [self._label(p) for p in places if p not in mended.plan.target]
        says = (
            [f"{_and(comes)} {'come' if len(comes) > 1 else 'comes'} in its place"] if comes else []
        )
        if stays:
            says.append(
                f"the {_and(stays)} {'stay as they are' if len(stays) > 1 else 'stays as it is'}"
            )
        return f"Let go of {ref}; {', and '.join(says)}."

    def _label(self, place: str) -> str:
        return in_a_sentence(self.compiled.part_types[place].label)


def _and(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def nothing_open(model: PlanModel) -> bool:
    """Whether a person at the machine could tell nothing more that any plan depends on."""
    names = set(model.reach.unknown)
    for unknown in model.unpriced.values():
        names |= unknown.missing
    for check in model.compiled.checks:
        outcome = check.broken(model.reach.as_found)
        if isinstance(outcome, Unknown):
            names |= outcome.missing
    return not any(map(can_be_asked, names))


def mender(
    compiled: CompiledCatalog,
    request: BuildRequest,
    machine: Machine,
    demand: Demand,
    settled: PlanModel,
) -> Mender:
    """``settled``: the model on which the request was found to be impossible."""
    sure = settled.reach.strict and settled.reach.machine is machine and nothing_open(settled)
    model = settled if sure else build_model(compiled, machine, demand)
    return Mender(compiled, Wish(compiled, request, demand), model, sure)
