"""The keeper's examples run against the engine: every difference a fault with its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from typing import Any, Final

from pydantic import ValidationError

from api import shape_faults
from api.errors import pointer
from api.service import BuildEngine
from api.shapes.request import BuildListRequest
from rules.answer import BuildList
from rules.catalog import Case
from rules.catalog_faults.places import case_place
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty


def run_cases(compiled: CompiledCatalog, engine: BuildEngine, today: date) -> Iterator[Fault]:
    """What came out otherwise than the keeper expects, in the order of the cases."""
    for case in compiled.catalog.cases:
        yield from run_case(case, compiled, engine, today)


def run_case(
    case: Case, compiled: CompiledCatalog, engine: BuildEngine, today: date
) -> Iterator[Fault]:
    """One example: its request refused, or expectations that were not met."""
    where = case_place(case)
    try:
        asked = BuildListRequest.model_validate(dict(case.request))
        request = asked.to_request(compiled.catalog.currency_exponent)
        build = engine(compiled, request, today=today, edition="check")
    except ValidationError as error:
        for wrong in error.errors():
            problem, mend = shape_faults.said(wrong, BuildListRequest, "field")
            yield Fault(f"{where}.request:{pointer(wrong['loc'])}", problem, mend)
    except Faulty as error:
        for fault in error.faults:
            yield Fault(f"{where}.request:{fault.where}", fault.problem, fault.mend)
    else:
        for field, expected in case.expect.items():
            yield from _compared(f"{where}.expect:{field}", field, expected, build)


def _compared(where: str, field: str, expected: Any, build: BuildList) -> Iterator[Fault]:
    if field in _exact:
        found = _exact[field](build)
        if found != expected:
            yield _otherwise(where, f"expected {expected}, came out as {found}")
        return
    found_all = set(_listed[field](build))
    barred = field in ("keeps", "not_steps")
    wrong = [name for name in expected if (name in found_all) == barred]
    if wrong:
        word = "unexpectedly has" if barred else "lacks"
        what = "steps" if field == "not_steps" else "renewed" if barred else field
        came = f"; it has: {', '.join(sorted(found_all)) or 'none'}" if not barred else ""
        yield _otherwise(where, f"the answer {word} {what}: {', '.join(wrong)}{came}")


def _otherwise(where: str, problem: str) -> Fault:
    return Fault(where, problem, "Mend the catalog, or the expectation if that is wrong.")


def _total(build: BuildList) -> str | None:
    return build.totals.total.amount if build.totals else None


def _minutes(build: BuildList) -> int | None:
    return build.totals.labour_minutes if build.totals else None


def _cited(build: BuildList) -> Iterator[str]:
    """Ids of every rule that the answer rests on or mentions."""
    for lines in (build.parts, build.kits, build.operations, build.steps):
        for line in lines:
            yield from (reason.ref for reason in line.reasons)
    for noted in (build.add_ons, build.cautions, build.margins):
        yield from (line.rule for line in noted)
    for conflict in build.conflicts:
        yield from (element.ref for element in conflict.elements)


def _renewed(build: BuildList) -> Iterator[str]:
    return (line.part_type for line in build.parts)


def _bought(build: BuildList) -> Iterator[str]:
    yield from (str(line.part) for line in build.parts)
    yield from (str(line.kit) for line in build.kits)


def _asked(build: BuildList) -> Iterator[str]:
    """Facts of the machine may be named with ``vehicle.`` before them or without."""
    for ask in build.asks:
        yield from (ask.fact, ask.fact.removeprefix("vehicle."))


_exact: Final[Mapping[str, Callable[[BuildList], object]]] = {
    "status": lambda build: build.status,
    "total": _total,
    "minutes": _minutes,
}
_listed: Final[Mapping[str, Callable[[BuildList], Iterable[str]]]] = {
    "renews": _renewed,
    "keeps": _renewed,
    "parts": _bought,
    "steps": lambda build: (line.step for line in build.steps),
    "not_steps": lambda build: (line.step for line in build.steps),
    "rules": _cited,
    "add_ons": lambda build: (line.part_type for line in build.add_ons),
    "asks": _asked,
}
