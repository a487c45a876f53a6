"""The request as things that can be let go of one by one, and as it is after that."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Final

from rules.answer import PatchOperation, Repair
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.demand import Demand, Wanted
from rules.identify import find_number
from rules.model.checks import Origin, fires
from rules.model.plan_model import PlanModel
from rules.optimum import ClauseModel
from rules.request import BuildRequest
from rules.supersession import follow

CHANGEABLE: Final = ("job", "wanted", "refused", "keep", "add_on", "tool")
"""Kinds of origin that people decide on. Rules, steps and what is sold are not among them."""

_FIELDS: Final = ("jobs", "parts_wanted", "parts_refused", "keep", "add_ons", "tools_owned")


@dataclass(slots=True)
class Wish:
    """One request against one catalog. ``refusals``: number as asked to what is refused today."""

    compiled: CompiledCatalog
    request: BuildRequest
    demand: Demand
    refusals: dict[PartKey, tuple[PartKey, ...]] = field(init=False)

    def __post_init__(self) -> None:
        asked = sorted(self._known(self.request.parts_refused))
        self.refusals = {key: follow(key, self.compiled.replaced_by).current for key in asked}

    def _known(self, keys: Iterable[PartKey]) -> list[PartKey]:
        """Numbers as the catalog spells them; the request was found to be sound before."""
        found = (find_number(self.compiled, key, "", []) for key in keys)
        return [key for key in found if key is not None]

    def changeable(self, origins: Iterable[Origin]) -> list[Origin]:
        """Those of ``origins`` that this customer or this shop could decide otherwise."""
        return [o for o in origins if o[0] in CHANGEABLE or self._is_refused_kit(o)]

    def _is_refused_kit(self, origin: Origin) -> bool:
        """A kit is in the model only where it may be bought, so its refusal looks otherwise."""
        kind, ref = origin
        if kind != "not_offered":
            return False
        kit = next((key for key in self.compiled.kits if str(key) == ref), None)
        return kit in self.demand.refused and kit not in self.compiled.replaced_by

    def refused_as(self, ref: str) -> list[PartKey]:
        """The numbers of the request by which today's number ``ref`` is refused."""
        return [asked for asked, now in self.refusals.items() if ref in map(str, now)]

    def wanted(self, ref: str) -> Wanted:
        """The part or kit that was asked for as ``ref``."""
        return next(wanted for wanted in self.demand.wanted if str(wanted.asked) == ref)

    def without(self, dropped: Collection[Origin], instead: Iterable[PartKey]) -> BuildRequest:
        """The request with ``dropped`` let go of and ``instead`` asked for in its place."""
        lifted = {key for kind, ref in dropped for key in self._lifted(kind, ref)}
        gone = {kind: {ref for k, ref in dropped if k == kind} for kind in CHANGEABLE}
        request = self.request
        kept = [k for k in self._known(request.parts_wanted) if str(k) not in gone["wanted"]]
        tools = tuple(sorted({*self.demand.tools_owned, *gone["tool"]}))
        return replace(
            request,
            jobs=tuple(job for job in request.jobs if job not in gone["job"]),
            parts_wanted=tuple(dict.fromkeys((*kept, *instead))),
            parts_refused=tuple(k for k in self._known(request.parts_refused) if k not in lifted),
            keep=tuple(place for place in request.keep if place not in gone["keep"]),
            add_ons=tuple(place for place in request.add_ons if place not in gone["add_on"]),
            tools_owned=tools if gone["tool"] else request.tools_owned,
        )

    def _lifted(self, kind: str, ref: str) -> list[PartKey]:
        return self.refused_as(ref) if kind in ("refused", "not_offered") else []

    def patch(self, changed: BuildRequest) -> tuple[PatchOperation, ...]:
        """What turns the request into ``changed``: a new list for each field that differs."""
        return tuple(
            PatchOperation(op="add", path=f"/{name}", value=getattr(changed, name))
            for name in _FIELDS
            if not self._same(name, getattr(changed, name))
        )

    def _same(self, name: str, value: tuple[Any, ...] | None) -> bool:
        before = getattr(self.request, name)
        if name.startswith("parts_"):
            before = tuple(self._known(before))
        return bool(before == value)


def origins_of(clauses: ClauseModel) -> list[Origin]:
    """What the clauses follow from, in one fixed order."""
    return sorted({(o[0], o[1]) for o in clauses.origins if isinstance(o, tuple)})


def offered(model: PlanModel, job: str) -> bool:
    """Whether the job is offered on such a machine; not known counts as no."""
    return fires(model.compiled.job_when[job], model.reach.as_found) is True


def asks_for_something(request: BuildRequest) -> bool:
    """A request must name a job, a part or an add-on."""
    return bool(request.jobs or request.parts_wanted or request.add_ons)


def apply(request: BuildRequest, repair: Repair) -> BuildRequest:
    """The request with a repair chosen."""
    changed: dict[str, Any] = {op.path.removeprefix("/"): op.value for op in repair.patch}
    return replace(request, **changed)
