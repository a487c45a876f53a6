"""The pages, the headers that every response has, and HEAD."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest

from api.editions import FixedEdition
from rules.compiled import compile_catalog
from rules.text import render
from tests.api.harness import TODAY, Client, StandIn, client, service, small_edition
from tests.api.small_catalog import CATALOG
from tests.wording.samples import VALID

EVERY = (
    "/", "/problems", "/problems/busy", "/once_apart.css", "/openapi.json", "/healthz", "/readyz",
    "/v1/vehicles", "/v1/parts", "/v1/parts/Corvane/CV-2210", "/v1/jobs", "/v1/tools",
    "/v1/catalogs/current",
)  # fmt: skip
HEADERS = (
    "content-security-policy", "x-content-type-options", "referrer-policy", "x-request-id",
    "cross-origin-opener-policy", "permissions-policy", "strict-transport-security",
    "cache-control",
)  # fmt: skip


@pytest.mark.parametrize("path", [*EVERY, "/nowhere"])
def test_every_response_has_the_security_headers(web: Client, path: str) -> None:
    assert [name for name in HEADERS if name not in web.get(path).headers] == []
    policy = web.get(path).headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("path", EVERY)
def test_head_is_get_without_the_body(web: Client, path: str) -> None:
    asked = web.get(path)
    head = web.request("HEAD", path)
    differing = {
        name
        for name in asked.headers.keys() | head.headers.keys()
        if asked.headers.get(name) != head.headers.get(name)
    }
    assert (head.status_code, head.content) == (200, b"")
    assert differing <= {"x-request-id"}


@pytest.mark.parametrize("path", ["/", "/problems", "/problems/busy"])
def test_pages_bring_nothing_from_elsewhere_and_run_nothing(web: Client, path: str) -> None:
    page = web.get(path).text
    assert re.findall(r"<script|<style|\sstyle=|\son\w+=|javascript:", page) == []
    addresses = re.findall(r'(?:href|src)="([^"]*)"', page)
    assert all(address.startswith("/") for address in addresses)
    for address in addresses:
        assert web.get(address).status_code == 200


def test_the_front_page_shows_the_catalogs_first_sound_case(web: Client) -> None:
    page = web.get("/").text
    shown = replace(VALID, made_on=TODAY, edition="2024-11", catalog=CATALOG.name)
    assert html.escape(render(shown)) in page
    assert "cam_upgrade" in page
    assert "http://bench.example/v1/build-lists" in page
    assert "Saltmarsh Quay &lt;demo&gt;" in page
    assert "<demo>" not in page


def test_the_command_on_the_front_page_asks_for_what_it_shows() -> None:
    engine = StandIn()
    with client(service(engine)) as web:
        page = html.unescape(web.get("/").text)
        body = re.search(r"-d '(.*)'", page)
        assert body is not None
        sent = web.post(
            "/v1/build-lists",
            content=body[1],
            headers={"Content-Type": "application/json", "Accept": "text/plain"},
        )
    assert sent.text in page
    assert engine.asked[0] == engine.asked[1]


def test_a_catalog_without_cases_has_a_front_page_too() -> None:
    bare = replace(small_edition(), compiled=compile_catalog(replace(CATALOG, cases=())))
    with client(service(editions=FixedEdition(bare))) as web:
        assert "An example" not in web.get("/").text
