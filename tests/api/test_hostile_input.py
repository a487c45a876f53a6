"""Whatever is sent, the answer is a problem document with the right status, never a 500."""

from __future__ import annotations

from typing import Any

import httpx
import pytest

from api.strict_route import largest_body
from tests.api.harness import Client
from tests.api.test_strict_json import REFUSED

READERS = ("/v1/build-lists", "/v1/vehicles/identify")
AS_JSON = {"Content-Type": "application/json"}


def assert_problem(response: httpx.Response, status: int, slug: str) -> dict[str, Any]:
    body: dict[str, Any] = response.json()
    assert (response.status_code, body["type"]) == (status, f"/problems/{slug}"), response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert body["status"] == status
    assert body["title"]
    assert body["detail"]
    return body


@pytest.mark.parametrize("path", READERS)
@pytest.mark.parametrize("name", [name for name, body in REFUSED.items() if body])
def test_unsound_json(web: Client, path: str, name: str) -> None:
    response = web.post(path, content=REFUSED[name], headers=AS_JSON)
    assert_problem(response, 400, "malformed-json")


@pytest.mark.parametrize(
    ("body", "mend"),
    [
        ({"job": []}, "Did you mean jobs?"),
        ({"vehicle": {"fact": {}}}, "Did you mean facts?"),
        ({"fitted": [{"part_typ": "x", "part_type": "x"}]}, "Did you mean part_type or part?"),
        ({"parts_wanted": [{"number": "1", "quantity": 2}]},
         "Leave it out. The fields here are: brand, number."),
        ({"aim": "speed"}, "Give one of 'cost', 'hours' or 'life'."),
        ({"budget": "1.500,00"}, "Write 1500.00."),
        ({"budget": "1,500"}, "Write 1500.00 or 1500."),
        ({"budget": "-5"}, "Write an amount from 0 up, such as 1500.00."),
        ({"budget": "1e3"}, "Write digits with at most one dot, such as 1500.00."),
        ({"budget": "1.500"}, "Give it with at most 2 decimals."),
    ],
)  # fmt: skip
def test_the_mend_says_what_to_write(web: Client, body: dict[str, Any], mend: str) -> None:
    problem = web.post("/v1/build-lists", json=body).json()
    assert [error["mend"] for error in problem["errors"]] == [mend]


@pytest.mark.parametrize(
    ("query", "mend"),
    [
        ("limit=2", "Did you mean page_size?"),
        ("page_sise=2", "Did you mean page_size?"),
        ("zzz=x", "Leave it out. The parameters here are: q, cursor, page_size."),
        ("page_size=ten", "Give a whole number."),
    ],
)
def test_a_wrong_parameter_is_told_the_right_one(web: Client, query: str, mend: str) -> None:
    problem = web.get(f"/v1/jobs?{query}").json()
    assert [error["mend"] for error in problem["errors"]] == [mend]


@pytest.mark.parametrize(
    ("answer", "mend"),
    [
        (lambda web: web.post("/v1/build-lists", content=b"x"), "Content-Type: application/json."),
        (lambda web: web.post("/v1/build-lists", content=b"{", headers=AS_JSON), "a JSON library."),
        (lambda web: web.get("/v1/build-lists"), "methods in Allow."),
    ],
)
def test_a_refusal_without_a_list_says_what_to_send(web: Client, answer: Any, mend: str) -> None:
    assert answer(web).json()["detail"].endswith(mend)


@pytest.mark.parametrize("path", READERS)
@pytest.mark.parametrize("body", [b"", b"null", b"[]", b'"text"', b"7", b"true"])
def test_json_that_is_no_object(web: Client, path: str, body: bytes) -> None:
    response = web.post(path, content=body, headers=AS_JSON)
    problem = assert_problem(response, 422, "invalid-request")
    assert [error["pointer"] for error in problem["errors"]] == [""]


@pytest.mark.parametrize("path", READERS)
def test_too_large_a_body(web: Client, path: str) -> None:
    body = b'{"jobs": ["' + b"a" * largest_body + b'"]}'
    assert_problem(web.post(path, content=body, headers=AS_JSON), 413, "body-too-large")


@pytest.mark.parametrize(
    "content_type", [None, "text/plain", "application/xml", "multipart/form-data; boundary=x"]
)
def test_other_media_types(web: Client, content_type: str | None) -> None:
    headers = {"Content-Type": content_type} if content_type else {}
    response = web.post("/v1/build-lists", content=b"{}", headers=headers)
    assert_problem(response, 415, "unsupported-media-type")


@pytest.mark.parametrize(
    ("path", "method"),
    [("/v1/build-lists", "POST"), ("/v1/vehicles", "GET"), ("/healthz", "GET")],
)
def test_unacceptable(web: Client, path: str, method: str) -> None:
    headers = {"Accept": "image/png"} | (AS_JSON if method == "POST" else {})
    content = b"{}" if method == "POST" else None
    response = web.request(method, path, content=content, headers=headers)
    problem = assert_problem(response, 406, "not-acceptable")
    assert "application/json" in problem["offers"]


SHAPES: dict[str, tuple[dict[str, Any], str]] = {
    "unknown field": ({"job": []}, "/job"),
    "unknown field, deep": ({"vehicle": {"vin": "x"}}, "/vehicle/vin"),
    "a text for a list": ({"jobs": "cam_upgrade"}, "/jobs"),
    "a number for a text": ({"jobs": [7]}, "/jobs/0"),
    "a null for a list": ({"jobs": None}, "/jobs"),
    "an empty text": ({"jobs": [""]}, "/jobs/0"),
    "a long text": ({"jobs": ["a" * 101]}, "/jobs/0"),
    "too many jobs": ({"jobs": ["a"] * 51}, "/jobs"),
    "too many parts": ({"parts_wanted": [{"number": "1"}] * 201}, "/parts_wanted"),
    "a part without number": ({"parts_wanted": [{"brand": "X"}]}, "/parts_wanted/0/number"),
    "a part as a text": ({"parts_refused": ["X 1"]}, "/parts_refused/0"),
    "a null fact": ({"vehicle": {"facts": {"cooling": None}}}, "/vehicle/facts/cooling"),
    "a list as a fact": ({"vehicle": {"facts": {"a/b~c": [1]}}}, "/vehicle/facts/a~1b~0c"),
    "distance as text": ({"fitted": [{"part_type": "x", "run_km": "5"}]}, "/fitted/0/run_km"),
    "distance below nil": ({"fitted": [{"part_type": "x", "run_km": -5}]}, "/fitted/0/run_km"),
    "distance as flag": ({"fitted": [{"part_type": "x", "run_km": True}]}, "/fitted/0/run_km"),
    "unknown aim": ({"aim": "speed"}, "/aim"),
    "budget as number": ({"budget": 900}, "/budget"),
    "budget with exponent": ({"budget": "9e2"}, "/budget"),
    "budget below nil": ({"budget": "-1"}, "/budget"),
    "budget in other digits": ({"budget": "\u0669"}, "/budget"),
    "budget with a line end": ({"budget": "900\n"}, "/budget"),
}


@pytest.mark.parametrize(("body", "pointer"), SHAPES.values(), ids=SHAPES)
def test_wrong_shapes_name_their_place(web: Client, body: dict[str, Any], pointer: str) -> None:
    problem = assert_problem(web.post("/v1/build-lists", json=body), 422, "invalid-request")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert all(error["detail"] and error["mend"] for error in problem["errors"])


def test_every_fault_is_listed_up_to_a_bound(web: Client) -> None:
    body = {f"field_{number}": 1 for number in range(80)}
    problem = assert_problem(web.post("/v1/build-lists", json=body), 422, "invalid-request")
    assert len(problem["errors"]) == 50


def test_what_was_sent_is_not_sent_back(web: Client) -> None:
    response = web.post("/v1/build-lists", json={"aim": "<script>secret</script>"})
    assert "secret" not in response.text


@pytest.mark.parametrize(
    ("path", "parameter"),
    [
        ("/v1/jobs?page_size=-1", "page_size"),
        ("/v1/jobs?page_size=ten", "page_size"),
        ("/v1/jobs?page_size=" + "9" * 5000, "page_size"),
        ("/v1/jobs?sort=title", "sort"),
        ("/v1/jobs?q=a&q=b", "q"),
        ("/v1/jobs?q=" + "a" * 201, "q"),
        ("/v1/parts?status=sold", "status"),
        ("/v1/vehicles?fact=cooling:steam", "fact"),
        ("/v1/vehicles?fact=wheels:2", "fact"),
        ("/v1/vehicles?fact=cooling", "fact"),
        ("/v1/vehicles?fact=cooling:air&fact=cooling:liquid", "fact"),
        ("/v1/vehicles?fact=sidecar:perhaps", "fact"),
        ("/v1/vehicles?fact=displacement_cc:nan", "fact"),
        ("/v1/vehicles?fact=model_year:1999.5", "fact"),
    ],
)
def test_wrong_parameters(web: Client, path: str, parameter: str) -> None:
    problem = assert_problem(web.get(path), 422, "invalid-request")
    assert [error["parameter"] for error in problem["errors"]] == [parameter]


@pytest.mark.parametrize(
    "cursor",
    ["x", "e30", "bnVsbA", "W10", "eyJ2IjoxfQ", "%00", "%ff", "🏍", "a" * 1000,
     "eyJ2IjogMSwgIm9mIjogIngiLCAiYWZ0ZXIiOiBbXX0"],
)  # fmt: skip
def test_bad_cursors(web: Client, cursor: str) -> None:
    assert_problem(web.get(f"/v1/jobs?cursor={cursor}"), 400, "bad-cursor")


@pytest.mark.parametrize(
    "path", ["/nope", "/v1", "/v1/parts/Corvane/none", "/v1/jobs/", "/problems/none", "/docs",
             "/v1/parts/%00/%ff", "/..%2f..%2fetc/passwd"],
)  # fmt: skip
def test_unknown_addresses(web: Client, path: str) -> None:
    assert_problem(web.get(path), 404, "not-found")


@pytest.mark.parametrize(
    ("method", "path", "allow"),
    [
        ("GET", "/v1/build-lists", "POST"),
        ("HEAD", "/v1/build-lists", "POST"),
        ("DELETE", "/v1/jobs", "GET, HEAD"),
        ("TRACE", "/v1/jobs", "GET, HEAD"),
        ("OPTIONS", "/", "GET, HEAD"),
        ("BREW", "/healthz", "GET, HEAD"),
    ],
)
def test_other_methods_are_told_which_are_allowed(
    web: Client, method: str, path: str, allow: str
) -> None:
    response = web.request(method, path)
    if method != "HEAD":
        assert_problem(response, 405, "method-not-allowed")
    assert (response.status_code, response.headers["allow"]) == (405, allow)
