"""Each element of a conflict in a sentence that can be said over the counter."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from rules.answer import Conflict, ConflictElement
from rules.catalog import Kit, Part, PartKey
from rules.conflict.nearest import detail
from rules.conflict.wish import Wish, offered
from rules.demand import Wanted
from rules.fitment import verdict
from rules.model.checks import Origin
from rules.model.plan_model import PlanModel
from rules.optimum.clauses import Clause, ClauseModel
from rules.optimum.conflict_sets import OutOfWorkError
from rules.optimum.leavable import Questions, leavable
from rules.request import BuildRequest
from rules.speech import in_a_sentence, stopped

_ORDER: Final = (
    "job",
    "wanted",
    "add_on",
    "refused",
    "keep",
    "rule",
    "step",
    "operation",
    "tool",
    "not_offered",
    "no_candidate",
)
_BEFORE_WORK: Final = _ORDER[:6]
_PUBLIC: Final = {"not_offered": "fitment", "operation": "step"}
_NAMED: Final = 4
"""Parts named one by one; of more the rest is counted."""


@dataclass(slots=True)
class Elements:
    """Puts the origins of one impossible model into words."""

    model: PlanModel
    request: BuildRequest
    questions: Questions[Origin]

    def conflict(self, origins: Iterable[Origin]) -> Conflict:
        """One conflict, wishes first, then rules, then what the catalog has."""
        rank = {kind: place for place, kind in enumerate(_ORDER)}
        listed = sorted(origins, key=lambda origin: (rank.get(origin[0], 99), origin[1]))
        said = _Said(
            self.model,
            Wish(self.model.compiled, self.request, self.model.demand),
            self.questions,
            tuple(listed),
        )
        return Conflict(elements=tuple(said.element(origin) for origin in said.in_order()))


class _Said:
    """The words for one conflict: what an element comes to depends on the others."""

    def __init__(
        self,
        model: PlanModel,
        wish: Wish,
        questions: Questions[Origin],
        origins: tuple[Origin, ...],
    ) -> None:
        self.model, self.wish, self.questions, self.origins = model, wish, questions, origins
        self.compiled = model.compiled
        self._says = {
            "job": self._job,
            "wanted": self._wanted,
            "refused": self._refused,
            "keep": self._keep,
            "add_on": self._add_on,
            "rule": self._rule,
            "step": self._step,
            "operation": self._operation,
            "tool": self._tool,
            "no_candidate": self._no_candidate,
            "not_offered": self._not_offered,
        }

    def in_order(self) -> list[Origin]:
        """Wishes, rules, then the work from what is wanted down to what it needs, then the rest."""
        placed: dict[Origin, None] = {}
        for origin in self.origins:
            if origin[0] == "operation":
                self._place(origin, placed)
        for origin in self.origins:
            if origin[0] == "step":
                self._place(origin, placed)
        before = [o for o in self.origins if o[0] in _BEFORE_WORK]
        after = [o for o in self.origins if o not in placed and o not in before]
        return [*before, *placed, *after]

    def _place(self, origin: Origin, placed: dict[Origin, None]) -> None:
        if origin in placed or origin not in self.origins:
            return
        placed[origin] = None
        for name in self._told(origin)["step"]:
            self._place(("step", name), placed)

    def element(self, origin: Origin) -> ConflictElement:
        """Kind, ref, sentence, what it comes to here, and its basis."""
        kind, ref = origin
        if self.wish.changeable([origin]) and kind == "not_offered":
            kind = "refused"
        sentence, more, basis = self._says[kind](ref)
        if kind == "refused":
            ref = next(iter(map(str, self.wish.refused_as(ref))), ref)
        return ConflictElement(
            kind=_PUBLIC.get(kind, kind), ref=ref, sentence=sentence, detail=more, basis=basis
        )

    # -- what was asked ----------------------------------------------------------------

    def _job(self, ref: str) -> tuple[str, str, str]:
        job = self.compiled.jobs[ref]
        if not offered(self.model, ref):
            return f"{job.title} is not offered on this machine.", "", f"job {ref}: {job.when}"
        return (
            f"{stopped(f'Asked for: {in_a_sentence(job.title)}')}",
            self._job_detail(ref),
            "the request",
        )

    def _job_detail(self, ref: str) -> str:
        """What the job asks of its parts, where that takes part in the conflict."""
        job = self.compiled.jobs[ref]
        alone = len(self.origins) == 1
        said = []
        for place in job.where:
            fitting = [
                part for part in self.model.reach.candidates[place] if self.model.reach.fits(part)
            ]
            label = self._label(place)
            if not fitting:
                said.append(f"The catalog has no {label} that fits this machine.")
            elif alone:
                wish = in_a_sentence(job.wish)
                said.append(f"No {label} that fits this machine gives what it asks for: {wish}.")
        if not said and not alone and job.where and job.wish:
            said.append(f"It wants {in_a_sentence(job.wish)}.")
        return stopped(" ".join(said)) if said else ""

    def _wanted(self, ref: str) -> tuple[str, str, str]:
        wanted = self.wish.wanted(ref)
        now = _and([str(key) for key in wanted.current.current])
        more = f"It is an old number; today it is {now}." if wanted.current.changed else ""
        if not more and wanted.kits:
            more = f"The kit holds {_and([str(key) for key in wanted.parts])}."
        if shared := self._shared_places(wanted):
            more = f"{more} Only one {_and(shared)} can be fitted.".strip()
        return f"Asked for: {self._named(wanted.asked)}.", more, "the request"

    def _shared_places(self, wanted: Wanted) -> list[str]:
        """Places that another part wanted in this conflict claims too."""
        others = [self.wish.wanted(ref) for kind, ref in self.origins if kind == "wanted"]
        claimed = {
            self.compiled.parts[key].part_type
            for other in others
            if other is not wanted
            for key in other.parts
            if key not in wanted.parts
        }
        own = {self.compiled.parts[key].part_type for key in wanted.parts}
        return [self._label(place) for place in sorted(own & claimed)]

    def _refused(self, ref: str) -> tuple[str, str, str]:
        asked = self.wish.refused_as(ref)
        named = str(asked[0]) if asked else ref
        more = f"Today it is {ref}." if named != ref else ""
        return f"Refused: {named}.", more, "the request"

    def _keep(self, ref: str) -> tuple[str, str, str]:
        return f"{self._fitted(ref)} is to stay as it is.", "", "the request"

    def _add_on(self, ref: str) -> tuple[str, str, str]:
        return f"Taken as an add-on: {self._label(ref)}.", "", "the request"

    # -- rules and work ------------------------------------------------------------------

    def _rule(self, ref: str) -> tuple[str, str, str]:
        rule = self.compiled.rules[ref].rule
        more = detail(self.model, self.questions, self.origins, ref)
        return stopped(rule.sentence), more, rule.basis

    def _step(self, ref: str) -> tuple[str, str, str]:
        told = self._told(("step", ref))
        said = []
        if told["step"]:
            said.append(f"only after {_and([self._step_title(name) for name in told['step']])}")
        if told["renew"]:
            spent = _and([self._label(name) for name in told["renew"]])
            said.append(f"the {spent} cannot be used again after that")
        if told["tool"]:
            titles = [self.compiled.tools[name].title for name in told["tool"]]
            said.append(f"only with a special tool, {_and(titles)}")
        title = self.compiled.steps[ref].title
        return f"{title}: {'; '.join(said) or 'has to be done'}.", "", f"step {ref}"

    def _operation(self, ref: str) -> tuple[str, str, str]:
        operation, ways = self.compiled.operations[ref], self.model.reach.ways[ref]
        new = [self._label(place) for place in operation.renews]
        what = f"A new {' or '.join(new)}" if new else operation.title
        basis = f"operation {ref}"
        if not ways:
            return f"{what} cannot be put in on this machine: no way of doing it.", "", basis
        if len(ways) > 1:
            listed = " or ".join(in_a_sentence(way.title or way.id) for way in ways)
            return f"{what} can only be had one of these ways: {listed}.", "", basis
        steps = self._told(("operation", ref))["step"]
        taken = steps or [name for name in ways[0].steps if name in self.model.step]
        return f"{what} takes: {_and([self._step_title(name) for name in taken])}.", "", basis

    def _told(self, origin: Origin) -> dict[str, list[str]]:
        """What the clauses that matter drag in: steps, tools and places, by name."""
        told: dict[str, list[str]] = {"step": [], "tool": [], "renew": []}
        for clause in self._telling.get(origin, ()):
            kind, name = self._meaning[clause[-1]]
            told[kind].append(name)
        return {kind: list(dict.fromkeys(names)) for kind, names in told.items()}

    def _tool(self, ref: str) -> tuple[str, str, str]:
        title = self.compiled.tools[ref].title
        return f"{title}: neither in the cabinet, nor to be hired or bought.", "", "tools.csv"

    # -- what the catalog has ------------------------------------------------------------

    def _no_candidate(self, ref: str) -> tuple[str, str, str]:
        label = self._label(ref)
        fitting = [str(p.key) for p in self.model.reach.candidates[ref] if self.model.reach.fits(p)]
        if not fitting:
            return f"The catalog has no {label} that fits this machine.", "", "fitment.csv"
        if len(fitting) == 1:
            return f"The only {label} for this machine is {fitting[0]}.", "", "the catalog"
        shown = fitting[:_NAMED]
        rest = len(fitting) - len(shown)
        listed = f"{', '.join(shown)} and {rest} more" if rest else _and(shown)
        return (
            f"A new {label} for this machine is one of {len(fitting)}: {listed}.",
            "",
            "the catalog",
        )

    def _not_offered(self, ref: str) -> tuple[str, str, str]:
        part = next((p for key, p in self.compiled.parts.items() if str(key) == ref), None)
        if part is None:
            return f"{ref} is no longer sold.", "", "the catalog"
        return self._why_not(part), "", "fitment.csv"

    def _why_not(self, part: Part) -> str:
        compiled = self.compiled
        if part.status != "current":
            return f"{part.key} is no longer sold."
        if part.key in compiled.replaced_by:
            return f"{part.key} is superseded."
        facts = self.model.machine.facts
        found = verdict(compiled.fitment.get(part.key, ()), facts, compiled.fact_labels)
        return stopped(f"{part.key} does not fit this machine: {'; '.join(found.reasons)}")

    # -- names -----------------------------------------------------------------------------

    def _named(self, key: PartKey) -> str:
        item: Part | Kit | None = self.compiled.parts.get(key) or self.compiled.kits.get(key)
        return f"{key} ({item.title})" if item else str(key)

    def _label(self, place: str) -> str:
        return in_a_sentence(self.compiled.part_types[place].label)

    def _fitted(self, place: str) -> str:
        label = self.compiled.part_types[place].label
        fitted = self.model.machine.fitted.get(place)
        if fitted is None:
            return f"{label} (none is fitted)"
        what = str(fitted.key) if fitted.key else ""
        return f"{label} as fitted, {what}," if what else f"{label} as fitted"

    def _step_title(self, step: str) -> str:
        return in_a_sentence(self.compiled.steps[step].title)

    # -- which of an element's clauses matter -------------------------------------------------

    @cached_property
    def _meaning(self) -> dict[int, tuple[str, str]]:
        model = self.model
        found: dict[int, tuple[str, str]] = {}
        for kind, names in (("step", model.step), ("tool", model.tool), ("renew", model.renew)):
            found |= {variable: (kind, name) for name, variable in names.items()}
        return found

    @cached_property
    def _telling(self) -> dict[Hashable, list[Clause]]:
        """Clauses of steps and operations without which the conflict would be none."""
        clauses = self.model.clauses
        work = {o for o in self.origins if o[0] in ("step", "operation")}
        numbered = ClauseModel(costs=clauses.costs, at_most_one=clauses.at_most_one)
        for index, (clause, origin) in enumerate(
            zip(clauses.clauses, clauses.origins, strict=True)
        ):
            if origin is None or origin in self.origins:
                numbered.clauses.append(clause)
                numbered.origins.append(index if origin in work else None)
        kept = [index for index in numbered.origins if isinstance(index, int)]
        questions = Questions(leavable(numbered, kept), self.model.taken)
        try:
            needed = _shrunk(questions, kept)
        except OutOfWorkError:
            needed = frozenset(kept)
        telling: dict[Hashable, list[Clause]] = {}
        for index in sorted(needed):
            clause, origin = clauses.clauses[index], clauses.origins[index]
            if clause and clause[-1] in self._meaning:
                telling.setdefault(origin, []).append(clause)
        return telling


def _shrunk(questions: Questions[int], listed: list[int]) -> frozenset[int]:
    """A minimal part of ``listed`` that is still impossible."""
    kept = questions.ask(frozenset(listed)).witness
    for one in listed:
        if one in kept:
            verdict = questions.ask(kept - {one})
            kept = kept if verdict.possible else verdict.witness
    return kept


def _and(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
