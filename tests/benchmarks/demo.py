"""The demo catalog: the whole answer for every machine and every job it is offered for."""

from __future__ import annotations

import gc
from collections import Counter
from functools import partial
from typing import Any

from api.store import set_aside_what_stays
from rules.answer import BuildList
from rules.build import build_list
from rules.catalog import Catalog, Vehicle
from rules.compiled import CompiledCatalog, compile_catalog
from rules.faults import Faulty
from rules.request import BuildRequest
from rules.values import Value
from tests.optimum.answers import TODAY
from tests.seed_data.demo import demo_catalog

from .figures import summary, timed


def measure(limit: int | None = None) -> dict[str, Any]:
    """Times in ms. ``cold``: a first pass over all questions, ``warm``: the same again."""
    catalog = demo_catalog()
    compiling, compiled = timed(lambda: compile_catalog(catalog))
    set_aside_what_stays()  # as the service does when it opens an edition
    questions = _questions(catalog)[:limit]
    first, _ = timed(lambda: _ask(compiled, questions[0]))
    statuses: Counter[str] = Counter()
    passes: dict[str, list[float]] = {"cold": [], "warm": []}
    by_status: dict[str, list[float]] = {}
    for times in passes.values():
        gc.collect()
        for question in questions:
            took, answer = timed(partial(_ask, compiled, question))
            times.append(took)
            status = "refused" if answer is None else answer.status
            statuses[status] += 1
            by_status.setdefault(status, []).append(took)
    return {
        "machines": len(catalog.vehicles),
        "jobs": len(catalog.jobs),
        "questions": len(questions),
        "answers": {status: count // 2 for status, count in sorted(statuses.items())},
        "compile_ms": round(compiling, 1),
        "first_ms": round(first, 1),
        "cold_ms": summary(passes["cold"]),
        "warm_ms": summary(passes["warm"]),
        "by_answer_ms": {status: summary(times) for status, times in sorted(by_status.items())},
    }


def _ask(compiled: CompiledCatalog, request: BuildRequest) -> BuildList | None:
    try:
        return build_list(compiled, request, today=TODAY, edition="demo")
    except Faulty:
        return None


def _questions(catalog: Catalog) -> list[BuildRequest]:
    return [
        BuildRequest(vehicle_id=vehicle.id, facts=_facts(catalog, vehicle), jobs=(job.id,))
        for vehicle in catalog.vehicles
        for job in catalog.jobs
    ]


def _facts(catalog: Catalog, vehicle: Vehicle) -> dict[str, Value]:
    """What the configuration leaves open, told: first year, 38 000 km, the first of each list."""
    facts: dict[str, Value] = {"model_year": vehicle.model_year_from, "odometer_km": 38_000}
    for fact in catalog.facts:
        if fact.name not in vehicle.facts and fact.name not in facts and fact.values:
            facts[fact.name] = fact.values[0]
    return facts
