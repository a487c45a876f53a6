"""What holds in every case, what depends, and between which totals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Protocol, get_args

from rules.answer import CaseKind, CaseLine
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.listing.charges import charges, consumable_uses, total
from rules.model.costs import EXACT_PER_MINOR, TIE_BITS
from rules.model.plan import Plan
from rules.model.plan_model import PlanModel
from rules.unknown.readings import Reading
from rules.unknown.tree import Ending

ORDER: Final[tuple[CaseKind, ...]] = get_args(CaseKind)


NO_PART: Final = PartKey("", "")


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """A line of a build list by what it is: ``part`` only for parts and kits."""

    kind: CaseKind
    ref: str
    part: PartKey = NO_PART


IMPOSSIBLE = Line("impossible", "")


def lines_of(model: PlanModel, plan: Plan) -> frozenset[Line]:
    """Lines of a plan. A renewed place counts once for itself and once with its part."""
    return frozenset(_lines(model, plan))


def _lines(model: PlanModel, plan: Plan) -> Iterator[Line]:
    for place, part in plan.target.items():
        yield Line("place", place)
        yield Line("part", place, part.key)
    yield from (Line("kit", str(key), key) for key in plan.kits)
    yield from (Line("step", name) for name in plan.steps)
    yield from (Line("sent_out", name) for name in plan.sent_out)
    yield from (Line("tool", name) for name in plan.tools)
    yield from (Line("consumable", name) for name in consumable_uses(model, plan))


def always(endings: Iterable[Ending]) -> frozenset[Line]:
    """Lines that are in the final answer however it ends; none where it may be impossible."""
    certain = [_certain(ending) for ending in endings]
    return frozenset.intersection(*certain) if certain else frozenset()


def possible(endings: Iterable[Ending]) -> frozenset[Line]:
    """Lines that are in some answer: of settled plans and of both readings of open ones."""
    found: set[Line] = set()
    for ending in endings:
        reading = ending.reading
        if ending.impossible:
            found.add(IMPOSSIBLE)
        if reading.plan is not None:
            found |= lines_of(reading.model, reading.plan)
        if not reading.settled and reading.hopeful_model and reading.hopeful:
            found |= lines_of(reading.hopeful_model, reading.hopeful)
    return frozenset(found)


def _certain(ending: Ending) -> frozenset[Line]:
    reading = ending.reading
    if reading.settled:
        return frozenset() if reading.plan is None else lines_of(reading.model, reading.plan)
    return _certain_while_open(reading)


def _certain_while_open(reading: Reading) -> frozenset[Line]:
    """Lines without which even the hopeful reading is dearer than the strict plan.

    The true plan is allowed in the hopeful reading and no dearer than the strict plan, so
    it has them. A strict plan must exist, or the truth may be that nothing is valid.
    """
    model, hopeful = reading.hopeful_model, reading.hopeful
    if reading.plan is None or model is None or hopeful is None:
        return frozenset()
    ceiling = None
    if not reading.plan.missing and model.demand.aim != "life":
        ceiling = reading.plan.solution.cost >> TIE_BITS
    shared = lines_of(reading.model, reading.plan) & lines_of(model, hopeful)
    held = {line for line in shared if _held(model, line, ceiling)}
    return frozenset(held | _consumables(model, held))


def _held(model: PlanModel, line: Line, ceiling: int | None) -> bool:
    variable = _variable(model, line)
    if variable is None:
        return False
    without = model.solver.minimise([*model.taken, -variable])
    if without is None:
        return True
    return ceiling is not None and without.proven and without.cost >> TIE_BITS > ceiling


def _variable(model: PlanModel, line: Line) -> int | None:
    by_kind: dict[CaseKind, dict[str, int]] = {
        "place": model.renew,
        "step": model.step,
        "sent_out": model.sent_out,
        "tool": model.tool,
    }
    if line.kind == "part":
        return model.choose.get((line.ref, line.part))
    if line.kind == "kit":
        return model.kit.get(line.part)
    return by_kind.get(line.kind, {}).get(line.ref)


def _consumables(model: PlanModel, held: set[Line]) -> set[Line]:
    steps = [model.compiled.steps[line.ref] for line in held if line.kind == "step"]
    return {Line("consumable", name) for step in steps for name in step.consumables}


# -- totals --------------------------------------------------------------------------


Span = tuple[int | None, int | None]
"""The least and the greatest total in minor units; None: not bounded."""


def span(endings: Iterable[Ending]) -> Span | None:
    """Between which totals the answer lies, where it can be done; None: nowhere."""
    spans = [_span(ending) for ending in endings if not ending.impossible]
    if not spans:
        return None
    lows = [low for low, _ in spans if low is not None]
    highs = [high for _, high in spans if high is not None]
    return (
        min(lows) if len(lows) == len(spans) else None,
        max(highs) if len(highs) == len(spans) else None,
    )


def _span(ending: Ending) -> Span:
    reading = ending.reading
    final = ending.final
    if final is not None:
        known = total(reading.model, final)
        return known, known
    compiled = reading.model.compiled
    if reading.model.demand.aim != "cost" or compiled.catalog.policy.tax_basis == "line":
        return None, None
    low = high = None
    if reading.hopeful_model and reading.hopeful:
        low = -(-(_exact(reading.hopeful_model, reading.hopeful) - _slack(compiled)) // _UNIT)
    if reading.plan is not None and not reading.plan.missing:
        high = (_exact(reading.model, reading.plan) + _slack(compiled)) // _UNIT
    return low, high


_UNIT = EXACT_PER_MINOR


def _exact(model: PlanModel, plan: Plan) -> int:
    """The exact cost, in ten-thousandths of a minor unit."""
    return sum(model.prices.exact(c.amount, c.kind) for c in charges(model, plan))


def _slack(compiled: CompiledCatalog) -> int:
    """What rounding the tax of each class half up can add to an exact cost, or take away."""
    return len(set(compiled.catalog.policy.tax_of.values())) * _UNIT // 2


# -- for the answer ---------------------------------------------------------------------


def case_lines(compiled: CompiledCatalog, lines: Iterable[Line]) -> tuple[CaseLine, ...]:
    """Lines for people, places only where no part is named for them."""
    listed = set(lines)
    named = {line.ref for line in listed if line.kind == "part"}
    shown = [line for line in listed if line.kind != "place" or line.ref not in named]
    shown.sort(key=lambda line: (ORDER.index(line.kind), line))
    return tuple(_case_line(compiled, line) for line in shown)


def _case_line(compiled: CompiledCatalog, line: Line) -> CaseLine:
    keyed = line.kind in ("part", "kit")
    return CaseLine(
        kind=line.kind,
        ref=line.ref,
        part=line.part if keyed else None,
        title=_title(compiled, line),
    )


class _Titled(Protocol):
    @property
    def title(self) -> str: ...


def _title(compiled: CompiledCatalog, line: Line) -> str:
    if line.kind == "impossible":
        return "It cannot be done at all."
    if line.kind == "place":
        return compiled.part_types[line.ref].label
    if line.kind == "part":
        return compiled.parts[line.part].title
    found: _Titled
    if line.kind == "kit":
        found = compiled.kits[line.part]
    elif line.kind == "tool":
        found = compiled.tools[line.ref]
    elif line.kind == "consumable":
        found = compiled.consumables[line.ref]
    else:
        found = compiled.steps[line.ref]
    return found.title
