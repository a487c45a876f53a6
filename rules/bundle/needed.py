"""Which places the jobs drag along in a build list, and which only the owner's wishes do."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from rules.answer import BuildList, PartLine, StepLine
from rules.compiled import CompiledCatalog
from rules.request import BuildRequest


def needed_places(
    compiled: CompiledCatalog, request: BuildRequest, build: BuildList
) -> frozenset[str]:
    """Places of ``build`` that its jobs ask for, and whatever these pull in: parts that their
    steps destroy, and parts that rules ask for because of them."""
    jobs = [compiled.jobs[name] for name in request.jobs]
    places = {place for job in jobs for place in job.renew}
    operations = {name for job in jobs for name in job.operations}
    while True:
        reached = operations | {compiled.operation_of[place].id for place in places}
        steps = _steps(compiled, build.steps, reached, places)
        found = {line.part_type for line in build.parts if _pulled(compiled, line, places, steps)}
        if found <= places:
            return frozenset(places)
        places |= found


def _steps(
    compiled: CompiledCatalog,
    steps: Iterable[StepLine],
    operations: Collection[str],
    places: Collection[str],
) -> frozenset[str]:
    """Steps of these operations, and those that rules ask for because of these places."""
    return frozenset(
        line.step
        for line in steps
        if set(line.shared_by) & set(operations)
        or any(
            reason.kind == "requirement" and _speaks_of(compiled, reason.ref, places, ())
            for reason in line.reasons
        )
    )


def _pulled(
    compiled: CompiledCatalog, line: PartLine, places: Collection[str], steps: Collection[str]
) -> bool:
    others = set(places) - {line.part_type}
    for reason in line.reasons:
        if reason.kind in ("job", "choice"):
            return True
        if reason.kind == "spent" and reason.ref in steps:
            return True
        if reason.kind in ("requirement", "limit") and _speaks_of(
            compiled, reason.ref, others, steps
        ):
            return True
    return False


def _speaks_of(
    compiled: CompiledCatalog, rule: str, places: Collection[str], steps: Collection[str]
) -> bool:
    """Whether the rule reads one of the places or steps, or nothing of either kind."""
    checks = [check for check in compiled.checks if check.origin == ("rule", rule)]
    read = {place for check in checks for place in check.places}
    done = {step for check in checks for step in check.steps}
    return bool(read & set(places) or done & set(steps) or not (read or done))
