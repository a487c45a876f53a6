"""The web application, put together in one place."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from typing import Final

from fastapi import FastAPI
from fastapi.middleware.cors import CORSMiddleware

from api import errors, openapi
from api.envelope import Envelope
from api.routes import build_lists, bundle_checks, health, identify, lists, numbers, pages, why
from api.service import Service

_routers: Final = (build_lists, bundle_checks, identify, lists, numbers, health, pages, why)


def create_app(service: Service, origins: Sequence[str] = ()) -> FastAPI:
    """The application over ``service``. It holds no state of its own.

    ``origins``: the websites whose pages may ask from the browser, as scheme, host and port.
    """

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        yield
        service.editions.close()

    app = FastAPI(
        title="Once Apart",
        version=openapi.version,
        summary=openapi.summary,
        description=openapi.description,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
        separate_input_output_schemas=False,
        lifespan=lifespan,
    )
    app.state.service = service
    errors.install(app)
    for module in _routers:
        app.include_router(module.router)
    openapi.install(app)
    if origins:
        app.add_middleware(
            CORSMiddleware,
            allow_origins=origins,
            allow_methods=("GET", "POST"),
            allow_headers=("Content-Type", "If-None-Match", "X-Request-Id"),
            expose_headers=("ETag", "Link", "Retry-After", "X-Request-Id"),
        )
    app.add_middleware(Envelope)
    return app
