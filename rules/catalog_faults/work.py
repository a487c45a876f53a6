"""Steps, operations with their ways, and jobs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, pairwise

from rules.catalog import Catalog, Job, Operation, Step
from rules.catalog_faults.cycles import cycles
from rules.catalog_faults.names import Known, name_faults, repeated_faults
from rules.catalog_faults.places import work_place
from rules.catalog_faults.wording import quoted
from rules.faults import Fault

FILE = "catalog.yaml"


class _Names:
    """Everything that work may refer to."""

    def __init__(self, catalog: Catalog) -> None:
        declared = f"Declare it in {FILE}."
        self.layers = Known("layer", (one.id for one in catalog.layers), declared)
        self.part_types = Known("part type", (one.id for one in catalog.part_types), declared)
        self.consumables = Known("consumable", (one.id for one in catalog.consumables), declared)
        self.tools = Known("tool", (one.id for one in catalog.tools), "Add it to tools.csv.")
        self.steps = Known(
            "step", (one.id for one in catalog.steps), "Add it to a file under work."
        )
        self.operations = Known(
            "operation", (one.id for one in catalog.operations), "Add it to a file under work."
        )


def work_faults(catalog: Catalog) -> Iterator[Fault]:
    """Everything the files under work can get wrong, except their expressions."""
    names = _Names(catalog)
    for kind, records in (
        ("step", catalog.steps),
        ("operation", catalog.operations),
        ("job", catalog.jobs),
    ):
        keyed = [(record.id, work_place(record)) for record in records]
        yield from repeated_faults(kind, keyed, "id")
        yield from chain.from_iterable(name_faults(f"{at}:id", name) for name, at in keyed)
    yield from chain.from_iterable(_step(step, names) for step in catalog.steps)
    yield from _access_cycles(catalog)
    yield from _order_cycles(catalog)
    yield from chain.from_iterable(_operation(one, names) for one in catalog.operations)
    yield from _renewed_once(catalog)
    yield from chain.from_iterable(_job(job, names) for job in catalog.jobs)


def _step(step: Step, names: _Names) -> Iterator[Fault]:
    where = work_place(step)
    yield from names.layers.faults(f"{where}:layer", step.layer)
    yield from names.steps.list_faults(f"{where}:needs", step.needs)
    yield from names.steps.list_faults(f"{where}:after", step.after)
    yield from names.part_types.list_faults(f"{where}:spends", step.spends)
    yield from names.tools.list_faults(f"{where}:tools", step.tools)
    yield from names.consumables.list_faults(f"{where}:consumables", step.consumables)
    if isinstance(step.minutes, int):
        yield from _not_negative(f"{where}:minutes", step.minutes)
    for consumable, uses in step.consumables.items():
        if uses < 1:
            yield Fault(
                f"{where}:consumables",
                f"{uses} uses of {quoted(consumable)}",
                "Write 1 or more, or take it out.",
            )
    if step.send_out:
        yield from _not_negative(f"{where}.send_out:price", step.send_out.price)
        yield from _not_negative(f"{where}.send_out:lead_days", step.send_out.lead_days)
        yield from _not_negative(f"{where}.send_out:minutes", step.send_out.minutes)


def _not_negative(where: str, number: int) -> Iterator[Fault]:
    if number < 0:
        yield Fault(
            where, f"{where.rpartition(':')[2]} is below 0", "Write 0 or more, or mend the sign."
        )


def _access_cycles(catalog: Catalog) -> Iterator[Fault]:
    places = {step.id: work_place(step) for step in reversed(catalog.steps)}
    for cycle in cycles({step.id: step.needs for step in catalog.steps}):
        shown = " → ".join([*cycle, cycle[0]])
        yield Fault(
            f"{places[cycle[0]]}:needs",
            f"the steps need each other: {shown}",
            "Take one of them out of the needs of another.",
        )


def _order_cycles(catalog: Catalog) -> Iterator[Fault]:
    """Rings in which at least one step only comes after another; rings of needs have their own."""
    steps = {step.id: step for step in reversed(catalog.steps)}
    before = {name: list(dict.fromkeys([*s.needs, *s.after])) for name, s in steps.items()}
    for cycle in cycles(before):
        ring = [*cycle, cycle[0]]
        waiting = [one for one, other in pairwise(ring) if other not in steps[one].needs]
        if waiting:
            yield Fault(
                f"{work_place(steps[waiting[0]])}:after",
                f"the steps wait for each other: {' → '.join(ring)}",
                "Take one of them out of the after of another.",
            )


def _operation(operation: Operation, names: _Names) -> Iterator[Fault]:
    where = work_place(operation)
    yield from names.part_types.list_faults(f"{where}:renews", operation.renews)
    if not operation.ways:
        yield Fault(f"{where}:ways", "the operation has no way of doing it", "Add a way.")
    keyed = [(way.id, f"{where}.ways.{way.id}") for way in operation.ways]
    yield from repeated_faults("way", keyed, "id")
    for way, (_, place) in zip(operation.ways, keyed, strict=True):
        yield from name_faults(f"{place}:id", way.id)
        yield from names.steps.list_faults(f"{place}:steps", way.steps)
        if not way.steps:
            yield Fault(f"{place}:steps", "the way has no steps", "List the steps it takes.")


def _renewed_once(catalog: Catalog) -> Iterator[Fault]:
    renewed_by: dict[str, list[Operation]] = {}
    for operation in catalog.operations:
        for part_type in dict.fromkeys(operation.renews):
            renewed_by.setdefault(part_type, []).append(operation)
    for declared in dict.fromkeys(one.id for one in catalog.part_types):
        first, *others = renewed_by.get(declared, [None])
        if first is None:
            yield Fault(
                f"{FILE}:part_types.{declared}:id",
                f"no operation renews the part type {quoted(declared)}",
                "List it under renews of the operation that renews it.",
            )
        for other in others:
            if other is not None:
                yield Fault(
                    f"{work_place(other)}:renews",
                    f"the part type {quoted(declared)} is renewed by "
                    f"{quoted(first.id if first else '')} already",
                    "Leave it with one operation; put the other method there as a way.",
                )


def _job(job: Job, names: _Names) -> Iterator[Fault]:
    where = work_place(job)
    yield from names.part_types.list_faults(f"{where}:renew", job.renew)
    yield from names.operations.list_faults(f"{where}:operations", job.operations)
    if not job.renew and not job.operations:
        yield Fault(
            f"{where}:renew",
            "the job asks for nothing",
            "List part types under renew, or operations.",
        )
    for part_type in job.where:
        if part_type not in job.renew:
            yield Fault(
                f"{where}:where",
                f"the condition is on {quoted(part_type)}, which the job does not renew",
                "Add the part type to renew, or take the condition out.",
            )
