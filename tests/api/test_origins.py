"""Asking from the pages of another website (WHATWG Fetch, the CORS protocol)."""

from __future__ import annotations

import io

import pytest

from api.serving import serve
from api.settings import allowed_origins
from tests.api.harness import client, service
from tests.api.test_serving import free_port

SHOP = "https://shop.example"
PREFLIGHT = {
    "Access-Control-Request-Method": "POST",
    "Access-Control-Request-Headers": "content-type",
}


@pytest.mark.parametrize(
    ("origin", "allowed"),
    [(SHOP, True), ("https://shop.example.evil.example", False), ("http://shop.example", False),
     ("null", False)],
)  # fmt: skip
def test_only_the_named_origin_may_read(origin: str, allowed: bool) -> None:
    with client(service(), [SHOP]) as web:
        answer = web.post("/v1/build-lists", json={}, headers={"Origin": origin})
        before = web.request("OPTIONS", "/v1/build-lists", headers={"Origin": origin} | PREFLIGHT)
    assert answer.headers.get("access-control-allow-origin") == (SHOP if allowed else None)
    assert "access-control-allow-credentials" not in answer.headers
    assert (before.status_code == 200) == allowed
    if allowed:
        assert "Origin" in answer.headers["vary"]
        assert "ETag" in answer.headers["access-control-expose-headers"]


def test_nobody_may_when_nobody_is_named() -> None:
    with client(service()) as web:
        answer = web.get("/v1/jobs", headers={"Origin": SHOP})
    assert "access-control-allow-origin" not in answer.headers


@pytest.mark.parametrize(
    ("given", "origins"),
    [
        ("", ()),
        (SHOP, (SHOP,)),
        (f" {SHOP} , http://127.0.0.1:3000,", (SHOP, "http://127.0.0.1:3000")),
    ],
)
def test_origins_are_read(
    given: str, origins: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ONCE_APART_ORIGINS", given)
    assert allowed_origins() == origins


@pytest.mark.parametrize("given", ["*", "shop.example", "https://shop.example/", "https://*"])
def test_what_is_no_origin_stops_the_server_before_it_starts(
    given: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ONCE_APART_ORIGINS", given)
    err = io.StringIO()
    assert serve("sqlite:///none.db", "127.0.0.1", free_port(), 1, err) == 2
    assert "is no origin" in err.getvalue()
