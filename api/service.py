"""What the routes and the command line share: the edition, the engine, the clock, the bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Protocol, TypeVar

from anyio import CapacityLimiter, to_thread
from fastapi import Depends, Request

from api.editions import Editions, NoEdition, OpenEdition
from api.problems import ProblemRaised
from api.shapes.request import BuildListRequest
from rules.answer import BuildList
from rules.compiled import CompiledCatalog
from rules.request import BuildRequest

T = TypeVar("T")


class BuildEngine(Protocol):
    """The engine's entry, ``rules.build.build_list``."""

    def __call__(
        self, compiled: CompiledCatalog, request: BuildRequest, *, today: date, edition: str
    ) -> BuildList: ...


@dataclass
class Bench:
    """Room for a few build lists at a time, and a short queue.

    Working one out is arithmetic for up to some seconds: in a thread, so that the event loop
    goes on answering, and in few of them, so that the lists under way finish.
    """

    places: int = 2
    queue: int = 32
    limiter: CapacityLimiter | None = field(default=None, init=False)

    async def run(self, work: Callable[[], T]) -> T:
        """Run ``work`` when a place is free. Raises ProblemRaised ``busy`` when many wait."""
        if self.limiter is None:  # here, because it belongs to the running event loop
            self.limiter = CapacityLimiter(self.places)
        if self.limiter.statistics().tasks_waiting >= self.queue:
            detail = f"{self.places} are under way and {self.queue} wait."
            raise ProblemRaised("busy", detail, headers={"Retry-After": "2"})
        return await to_thread.run_sync(work, limiter=self.limiter)


@dataclass
class Service:
    """The service without its web."""

    editions: Editions
    engine: BuildEngine
    clock: Callable[[], date] = date.today
    bench: Bench = field(default_factory=Bench)

    def edition(self) -> OpenEdition:
        """The published edition. Raises ProblemRaised ``no-catalog``."""
        try:
            return self.editions.current()
        except NoEdition as error:
            raise ProblemRaised("no-catalog", str(error)) from error

    def build_list(self, asked: BuildListRequest) -> BuildList:
        """The answer, the same for the web and the command line. Raises Faulty."""
        edition = self.edition()
        request = asked.to_request(edition.catalog.currency_exponent)
        return self.engine(edition.compiled, request, today=self.clock(), edition=edition.edition)


def _service(request: Request) -> Service:
    found: Service = request.app.state.service
    return found


def _edition(service: Annotated[Service, Depends(_service)]) -> OpenEdition:
    return service.edition()


Served = Annotated[Service, Depends(_service)]
Current = Annotated[OpenEdition, Depends(_edition)]
