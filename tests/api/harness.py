"""The service over a small catalog, asked in-process; the engine can be a stand-in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

import httpx
from anyio.from_thread import BlockingPortal, start_blocking_portal
from fastapi import FastAPI

from api.app import create_app
from api.editions import FixedEdition, OpenEdition
from api.service import Bench, Service
from rules.answer import BuildList
from rules.compiled import CompiledCatalog, compile_catalog
from rules.request import BuildRequest
from tests.api.small_catalog import CATALOG
from tests.wording.samples import VALID

TODAY = date(2024, 11, 25)


class Client:
    """Asks an application in one event loop of its own, as a server would."""

    def __init__(self, app: FastAPI, portal: BlockingPortal) -> None:
        self.app = app
        self._portal = portal
        self._inner = httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app), base_url="http://bench.example"
        )

    def request(self, method: str, url: str, **options: Any) -> httpx.Response:
        return self._portal.call(partial(self._inner.request, method, url, **options))

    def get(self, url: str, **options: Any) -> httpx.Response:
        return self.request("GET", url, **options)

    def post(self, url: str, **options: Any) -> httpx.Response:
        return self.request("POST", url, **options)


@contextmanager
def client(service: Service, origins: Sequence[str] = ()) -> Iterator[Client]:
    with start_blocking_portal() as portal:
        yield Client(create_app(service, origins), portal)


class StandIn:
    """In place of the engine: answers with one list, and remembers what it was asked."""

    def __init__(self, answer: BuildList = VALID) -> None:
        self.answer = answer
        self.asked: list[BuildRequest] = []

    def __call__(
        self, compiled: CompiledCatalog, request: BuildRequest, *, today: date, edition: str
    ) -> BuildList:
        self.asked.append(request)
        return replace(self.answer, made_on=today, edition=edition, catalog=compiled.catalog.name)


def small_edition() -> OpenEdition:
    return OpenEdition(edition="2024-11", digest="0" * 64, compiled=compile_catalog(CATALOG))


def service(engine: Any = None, **changes: Any) -> Service:
    """A service over the small catalog; ``changes`` replace its fields."""
    plain = Service(
        editions=FixedEdition(small_edition()),
        engine=engine or StandIn(),
        clock=lambda: TODAY,
        bench=Bench(places=2, queue=8),
    )
    return replace(plain, **changes)
