"""The pages for people, and the stylesheet they share."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from api import pages
from api.demo import curl, example_of
from api.problems import ProblemRaised, registry
from api.service import Current, Served
from api.strict_json import printable
from api.strict_route import StrictRoute
from rules.text import render

router = APIRouter(route_class=StrictRoute, include_in_schema=False)


@router.get("/")
async def home(request: Request, service: Served, edition: Current) -> HTMLResponse:
    example = example_of(edition.catalog)
    if example is None:
        return HTMLResponse(pages.home(edition.catalog.name, None, ""))
    text = await service.bench.run(lambda: render(service.build_list(example.asked)))
    command = curl(example.written, str(request.base_url).rstrip("/"))
    return HTMLResponse(pages.home(edition.catalog.name, text, command))


@router.get("/once_apart.css")
async def stylesheet() -> Response:
    headers = {"Cache-Control": "public, max-age=3600"}
    return Response(pages.stylesheet, media_type="text/css", headers=headers)


@router.get("/problems")
async def problem_list() -> HTMLResponse:
    return HTMLResponse(pages.problem_list(registry.values()))


@router.get("/problems/{slug}")
async def problem_page(slug: str) -> HTMLResponse:
    if slug not in registry:
        raise ProblemRaised("not-found", f"No problem type is called {printable(slug)}.")
    return HTMLResponse(pages.problem_page(registry[slug]))
