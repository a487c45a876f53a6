"""The OpenAPI 3.1 document: the framework's, with our problem shape and without its own."""

from __future__ import annotations

from importlib import metadata
from typing import Any, Final

from fastapi import FastAPI, Request
from starlette.responses import JSONResponse

from api.examples import example
from api.shapes.problem import Problem

version: Final = metadata.version("once-apart")
summary: Final = "From a machine and a wish to a validated build list."
description: Final = """\
Give a motorcycle and what is wanted of its engine; get everything that the job drags along,
with the reason for every line: parts and kits, the work in order with shared work charged
once, special tools, consumables, hours, money, tax, core deposits, lead time, what is worth
renewing while the machine is apart, what will not go together and why, and which facts are
missing where they matter.

Nothing is stored and nothing is random: the same request on the same day against the same
catalog edition gives the same bytes. Errors are problem documents (RFC 9457), see
`/problems`. Money is a decimal text with its currency. Lists are paged by `next`.
"""


def install(app: FastAPI) -> None:
    """Serve the document at ``/openapi.json``, made once."""
    build = app.openapi

    def document() -> dict[str, Any]:
        if app.openapi_schema is None:
            _finish(build())
        schema: dict[str, Any] = app.openapi_schema or {}
        return schema

    app.openapi = document  # type: ignore[method-assign]

    @app.get("/openapi.json", include_in_schema=False)
    async def openapi_document(request: Request) -> JSONResponse:
        return JSONResponse(request.app.openapi(), headers={"Cache-Control": "no-cache"})


def _finish(schema: dict[str, Any]) -> None:
    """Add what the framework cannot know: the shape of problems, and examples."""
    problem = Problem.model_json_schema(ref_template="#/components/schemas/{model}")
    definitions = problem.pop("$defs", {})
    schema["components"]["schemas"] |= {"Problem": problem, **definitions}
    schema["security"] = []
    schema["servers"] = [{"url": "/"}]
    for item in schema["paths"].values():
        for operation in item.values():
            _add_examples(operation)


def _add_examples(operation: dict[str, Any]) -> None:
    shown = example(operation["operationId"])
    named = {"summary": f"{shown['asked']}, demo catalog"}
    bodies = {"application/json": shown["request"]}
    asked = operation.get("requestBody", {}).get("content", {})
    answered = operation["responses"]["200"]["content"]
    for contents, values in ((asked, bodies), (answered, shown["answers"])):
        for media_type, content in contents.items():
            content["examples"] = {"demo": {**named, "value": values[media_type]}}
