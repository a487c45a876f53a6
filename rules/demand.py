"""A request resolved against the catalog: jobs, current part numbers, kits, tools in hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from rules.catalog import Job, Kit, PartKey
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.identify import find_number, near
from rules.request import Aim, BuildRequest
from rules.supersession import Current, follow


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A number asked for: what it is sold as now, as single parts and as a kit's content."""

    asked: PartKey
    current: Current
    parts: tuple[PartKey, ...]
    kits: tuple[PartKey, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What the target must meet.

    ``optional``: part types that may be asked about later; ``with_recommended``: so are all
    that a recommendation may offer. ``on_hand``: pieces (or ml) of a part that are paid for.
    """

    jobs: tuple[Job, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    refused: frozenset[PartKey] = frozenset()
    keep: tuple[str, ...] = ()
    add_ons: tuple[str, ...] = ()
    optional: tuple[str, ...] = ()
    with_recommended: bool = True
    tools_owned: frozenset[str] = frozenset()
    aim: Aim = "cost"
    superseded: tuple[Current, ...] = field(default=())
    on_hand: Mapping[PartKey, int] = field(default_factory=dict)

    def later(self, optional: Iterable[str]) -> Demand:
        """A later visit: no job, nothing wanted or kept; refusals and tools stay; least cost."""
        return Demand(
            refused=self.refused,
            tools_owned=self.tools_owned,
            optional=tuple(sorted(optional)),
            with_recommended=False,
        )


def resolve(compiled: CompiledCatalog, request: BuildRequest) -> Demand:
    """Raises Faulty listing every unknown job, number, part type and tool."""
    faults: list[Fault] = []
    wanted = _numbers(compiled, request.parts_wanted, "/parts_wanted", faults)
    refused = _numbers(compiled, request.parts_refused, "/parts_refused", faults)
    jobs = _known(request.jobs, compiled.jobs, "/jobs", "job", faults)
    keep = _known(request.keep, compiled.part_types, "/keep", "part type", faults)
    add_ons = _known(request.add_ons, compiled.part_types, "/add_ons", "part type", faults)
    tools = (
        tuple(tool.id for tool in compiled.tools.values() if tool.owned)
        if request.tools_owned is None
        else _known(request.tools_owned, compiled.tools, "/tools_owned", "tool", faults)
    )
    if request.budget is not None and request.budget < 0:
        faults.append(Fault("/budget", "a budget below nil", "Give an amount from 0.00 up."))
    if faults:
        raise Faulty(faults)
    return Demand(
        jobs=tuple(compiled.jobs[name] for name in jobs),
        wanted=tuple(_wanted(compiled, current) for current in wanted),
        refused=frozenset(key for current in refused for key in current.current),
        keep=keep,
        add_ons=add_ons,
        tools_owned=frozenset(tools),
        aim=request.aim,
        superseded=tuple(c for c in (*wanted, *refused) if c.changed),
        on_hand=request.parts_on_hand,
    )


def _numbers(
    compiled: CompiledCatalog, asked: tuple[PartKey, ...], where: str, faults: list[Fault]
) -> tuple[Current, ...]:
    found: dict[PartKey, Current] = {}
    for index, key in enumerate(asked):
        known = find_number(compiled, key, f"{where}/{index}", faults)
        if known is not None:
            found[known] = follow(known, compiled.replaced_by)
    return tuple(found[key] for key in sorted(found))


def _known(
    asked: tuple[str, ...], known: Iterable[str], where: str, what: str, faults: list[Fault]
) -> tuple[str, ...]:
    names = set(known)
    for index, name in enumerate(asked):
        if name not in names:
            problem = f"no {what} is called {name!r}"
            faults.append(Fault(f"{where}/{index}", problem, near(name, names)))
    return tuple(sorted(set(asked) & names))


def _wanted(compiled: CompiledCatalog, current: Current) -> Wanted:
    kits: list[Kit] = [compiled.kits[k] for k in current.current if k in compiled.kits]
    singles = [key for key in current.current if key in compiled.parts]
    inside = [content.part for kit in kits for content in kit.contents]
    return Wanted(
        asked=current.chain[0],
        current=current,
        parts=tuple(sorted({*singles, *inside})),
        kits=tuple(sorted(kit.key for kit in kits)),
    )
