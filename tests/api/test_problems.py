"""The problem types: each one happens, and each one that happens is explained."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import httpx
import pytest

from api.editions import NoEdition, OpenEdition
from api.problems import registry
from api.service import Bench
from rules.answer import BuildList
from rules.faults import Fault, Faulty
from tests.api.harness import Client, client, service
from tests.api.test_hostile_input import assert_problem

JSON = {"Content-Type": "application/json"}


class _Empty:
    def current(self) -> OpenEdition:
        raise NoEdition("The database holds no published edition.")

    def close(self) -> None:
        """Nothing is held open."""


def _refuses(*_: object, **__: object) -> BuildList:
    raise Faulty([Fault("/jobs/0", "no job is called 'x'", "Look it up.")])


def _breaks(*_: object, **__: object) -> BuildList:
    raise RuntimeError("secret of the inside")


def _post(body: bytes, **headers: str) -> Callable[[Client], httpx.Response]:
    return lambda web: web.post("/v1/build-lists", content=body, headers=JSON | headers)


PLAIN = service()
PROVOKED = {
    "malformed-json": (PLAIN, _post(b"{")),
    "bad-cursor": (PLAIN, lambda web: web.get("/v1/jobs?cursor=x")),
    "not-found": (PLAIN, lambda web: web.get("/nowhere")),
    "method-not-allowed": (PLAIN, lambda web: web.get("/v1/build-lists")),
    "not-acceptable": (PLAIN, _post(b"{}", Accept="image/png")),
    "body-too-large": (PLAIN, _post(b" " * 1_000_001)),
    "unsupported-media-type": (PLAIN, lambda web: web.post("/v1/build-lists", content=b"x")),
    "invalid-request": (PLAIN, _post(b'{"a": 1}')),
    "refused-by-catalog": (service(_refuses), _post(b"{}")),
    "internal-error": (service(_breaks), _post(b"{}")),
    "busy": (service(bench=Bench(places=1, queue=0)), _post(b"{}")),
    "no-catalog": (service(editions=_Empty()), lambda web: web.get("/readyz")),
}


def test_the_table_below_has_every_type() -> None:
    assert set(PROVOKED) == set(registry)


@pytest.mark.parametrize("slug", PROVOKED)
def test_every_type_happens_and_its_address_explains_it(slug: str) -> None:
    asked, provoke = PROVOKED[slug]
    with client(asked) as web:
        problem = assert_problem(provoke(web), registry[slug].status, slug)
        page = web.get(problem["type"])
        listing = web.get("/problems")
    assert page.status_code == 200
    assert problem["title"] in page.text
    assert f'href="{problem["type"]}"' in listing.text


def test_a_break_inside_tells_nothing_but_the_request_id() -> None:
    given = "0b8a2c5e-1111-4222-8333-444455556666"
    with client(service(_breaks)) as web:
        response = web.post("/v1/build-lists", json={}, headers={"X-Request-Id": given})
    problem = assert_problem(response, 500, "internal-error")
    assert "secret" not in response.text
    assert given in problem["detail"]
    assert problem["instance"] == f"urn:uuid:{given}"
    assert response.headers["x-request-id"] == given
    assert "content-security-policy" in response.headers


@pytest.mark.parametrize("given", ["", "x", "1\r\nSet-Cookie: a=b", "0" * 36, "{" + "0" * 34 + "}"])
def test_a_request_id_that_is_none_is_replaced(web: Client, given: str) -> None:
    headers = {"X-Request-Id": given.replace("\r\n", " ")}
    answered = web.get("/healthz", headers=headers).headers["x-request-id"]
    assert answered != given
    assert len(answered) == 36


def test_a_service_without_a_catalog_lives_but_is_not_ready() -> None:
    with client(service(editions=_Empty())) as web:
        assert web.get("/healthz").status_code == 200
        for path in ("/readyz", "/v1/jobs", "/v1/catalogs/current", "/"):
            assert_problem(web.get(path), 503, "no-catalog")


def test_the_clock_is_the_services_own() -> None:
    with client(service(clock=lambda: date(2001, 2, 3))) as web:
        assert web.post("/v1/build-lists", json={}).json()["made_on"] == "2001-02-03"
