"""``POST /v1/build-lists``: what the engine is asked, and how its answer is written."""

from __future__ import annotations

import dataclasses
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from api.service import Bench
from api.shapes import answer as shapes
from api.shapes.answer import BuildListShape
from api.shapes.common import Answer
from rules import answer
from rules.answer import BuildList
from rules.catalog import PartKey
from rules.faults import Fault, Faulty
from rules.request import BuildRequest, FittedPart
from rules.text import render
from tests.api.harness import TODAY, Client, StandIn, client, service
from tests.api.test_hostile_input import assert_problem
from tests.wording.samples import CONFLICT, NEEDS_FACTS, VALID

PATH = "/v1/build-lists"

FULL: dict[str, Any] = {
    "vehicle": {"id": "kestrel_001", "facts": {"model_year": 1999, "sidecar": False}},
    "jobs": ["cam_upgrade"],
    "parts_wanted": [{"brand": "Corvane", "number": "CV-2210"}, {"number": "BW-118"}],
    "parts_refused": [{"brand": "Corvane", "number": "CV-3104"}],
    "keep": ["oil_pump"],
    "fitted": [
        {
            "part_type": "camshaft",
            "part": {"brand": "Corvane", "number": "CV-2100"},
            "properties": {"valve_lift_mm": 11.9},
            "run_km": 12000,
        },
        {"part_type": "oil_pump"},
    ],
    "add_ons": ["cam_bearing_inner"],
    "tools_owned": [],
    "aim": "hours",
    "budget": "900.5",
}
MEANS = BuildRequest(
    vehicle_id="kestrel_001",
    facts={"model_year": 1999, "sidecar": False},
    jobs=("cam_upgrade",),
    parts_wanted=(PartKey("Corvane", "CV-2210"), PartKey("", "BW-118")),
    parts_refused=(PartKey("Corvane", "CV-3104"),),
    keep=("oil_pump",),
    fitted=(
        FittedPart(
            part_type="camshaft",
            part=PartKey("Corvane", "CV-2100"),
            properties={"valve_lift_mm": 11.9},
            run_km=12000,
        ),
        FittedPart(part_type="oil_pump"),
    ),
    add_ons=("cam_bearing_inner",),
    tools_owned=(),
    aim="hours",
    budget=90050,
)


@pytest.mark.parametrize(("body", "means"), [(FULL, MEANS), ({}, BuildRequest())])
def test_the_engine_is_asked_what_the_body_says(body: dict[str, Any], means: BuildRequest) -> None:
    engine = StandIn()
    with client(service(engine)) as web:
        assert web.post(PATH, json=body).status_code == 200
    assert engine.asked == [means]


@pytest.mark.parametrize("build", [VALID, NEEDS_FACTS, CONFLICT], ids=lambda b: str(b.status))
def test_every_status_is_an_answer_in_both_forms(build: BuildList) -> None:
    with client(service(StandIn(build))) as web:
        written = web.post(PATH, json={})
        text = web.post(PATH, json={}, headers={"Accept": "text/plain"})
    assert (written.status_code, written.headers["content-type"]) == (200, "application/json")
    assert BuildListShape.model_validate(written.json()).status == build.status
    shown = replace(build, made_on=TODAY, edition="2024-11", catalog="Saltmarsh Quay <demo>")
    assert text.headers["content-type"] == "text/plain; charset=utf-8"
    assert text.text == render(shown)


def test_the_same_question_gives_the_same_bytes() -> None:
    answers = []
    for _ in range(2):
        with client(service()) as web:
            answers += [web.post(PATH, json=FULL).content for _ in range(2)]
    assert len(set(answers)) == 1


def test_money_dates_and_numbers_as_declared(web: Client) -> None:
    body = web.post(PATH, json={}).json()
    assert body["totals"]["total"] == {"amount": "1153.72", "currency": "EUR"}
    assert body["made_on"] == "2024-11-25"
    assert body["parts"][0]["part"] == {"brand": "Corvane", "number": "CV-2210"}
    assert body["machine"]["facts"]["passenger_seat"] is True
    assert list(body["machine"]["facts"]) == [name for name, _ in VALID.machine.facts]


def test_what_the_catalog_does_not_know_is_refused_with_every_fault() -> None:
    faults = [
        Fault("/jobs/0", "no job is called 'x'", "Did you mean y?"),
        Fault("/vehicle/id", "no machine is called 'z'", "Look it up."),
    ]
    with client(service(_refusing(faults))) as web:
        problem = assert_problem(web.post(PATH, json={}), 422, "refused-by-catalog")
    assert problem["errors"] == [
        {"detail": f.problem, "pointer": f.where, "mend": f.mend} for f in faults
    ]


def _refusing(faults: list[Fault]) -> Any:
    def engine(*_: object, **__: object) -> BuildList:
        raise Faulty(faults)

    return engine


def test_a_budget_finer_than_the_currency_is_refused(web: Client) -> None:
    problem = assert_problem(web.post(PATH, json={"budget": "1.999"}), 422, "refused-by-catalog")
    assert problem["errors"][0]["pointer"] == "/budget"


def test_a_full_bench_says_so_and_goes_on_answering_the_rest() -> None:
    release = threading.Event()
    started = threading.Semaphore(0)

    def slow(*_: object, **__: object) -> BuildList:
        started.release()
        assert release.wait(60)
        return VALID

    bench = Bench(places=1, queue=1)
    with client(service(slow, bench=bench)) as web, ThreadPoolExecutor(2) as callers:
        under_way = callers.submit(web.post, PATH, json={})
        assert started.acquire(timeout=60)
        waiting = callers.submit(web.post, PATH, json={})
        while bench.limiter is None or bench.limiter.statistics().tasks_waiting < 1:
            threading.Event().wait(0.01)
        turned_away = web.post(PATH, json={})
        assert_problem(turned_away, 503, "busy")
        assert int(turned_away.headers["retry-after"]) > 0
        assert web.get("/v1/jobs").status_code == 200
        release.set()
        assert under_way.result(60).status_code == waiting.result(60).status_code == 200


def _records() -> dict[str, type]:
    found = {
        name: kind
        for name, kind in vars(answer).items()
        if dataclasses.is_dataclass(kind) and isinstance(kind, type)
    }
    return {name: kind for name, kind in found.items() if kind.__module__ == "rules.answer"}


def test_every_record_of_the_answer_has_its_shape_and_no_shape_is_left_over() -> None:
    declared = {
        name
        for name, kind in vars(shapes).items()
        if isinstance(kind, type)
        and issubclass(kind, Answer)
        and kind.__module__ == shapes.__name__
    }
    assert declared == {f"{name}Shape" for name in _records()}


@pytest.mark.parametrize("name", _records())
def test_a_shape_has_the_fields_of_its_record_in_their_order(name: str) -> None:
    shape = getattr(shapes, f"{name}Shape")
    hints = get_type_hints(_records()[name])
    assert list(shape.model_fields) == list(hints)
    for field, hint in hints.items():
        assert shape.model_fields[field].is_required(), field
        nullable = type(None) in get_args(hint)
        assert (type(None) in get_args(shape.model_fields[field].annotation)) == nullable, field
        if get_origin(hint) is tuple and field != "facts":
            assert get_origin(shape.model_fields[field].annotation) is list, field
