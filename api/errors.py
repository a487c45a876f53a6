"""Every way a request can fail, turned into a problem document."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, get_type_hints

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel
from starlette.exceptions import HTTPException
from starlette.responses import Response

from api import shape_faults
from api.paging import ListQuery
from api.problems import ProblemRaised, respond
from api.shapes.problem import ProblemError
from rules.faults import Fault, Faulty

most_errors: Final = 50
"""Listing more helps nobody and would let a small request draw a large answer."""


def install(app: FastAPI) -> None:
    """Answer every refusal of this application, the framework's own too, with a problem."""
    app.add_exception_handler(ProblemRaised, _raised)
    app.add_exception_handler(Faulty, _faulty)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _framework)


def pointer(path: Sequence[object]) -> str:
    """JSON Pointer (RFC 6901 s. 3): ``["fitted", 0, "a/b"]`` -> ``/fitted/0/a~1b``."""
    names = (str(part).replace("~", "~0").replace("/", "~1") for part in path)
    return "".join(f"/{name}" for name in names)


def fault_errors(faults: Sequence[Fault]) -> list[ProblemError]:
    """The engine's faults as problem errors."""
    return [
        ProblemError(detail=fault.problem, pointer=fault.where, mend=fault.mend)
        for fault in faults[:most_errors]
    ]


def _shape_errors(request: Request, faults: Sequence[Mapping[str, Any]]) -> list[ProblemError]:
    shapes = _shapes_of(request)
    return [_shape_error(fault, shapes) for fault in faults[:most_errors]]


def _shape_error(fault: Mapping[str, Any], shapes: Sequence[type[BaseModel]]) -> ProblemError:
    place, *path = fault["loc"]
    shape = next((s for s in shapes if issubclass(s, ListQuery) != (place == "body")), None)
    noun = "field" if place == "body" else "parameter"
    problem, mend = shape_faults.said({**fault, "loc": path}, shape, noun)
    if place == "body":
        return ProblemError(detail=problem, pointer=pointer(path)[:300], mend=mend)
    return ProblemError(detail=problem, parameter=pointer(path)[1:][:300], mend=mend)


def _shapes_of(request: Request) -> list[type[BaseModel]]:
    """The shapes that the operation declares for its body and its parameters."""
    endpoint = getattr(request.scope.get("route"), "endpoint", None)
    hints = get_type_hints(endpoint) if endpoint else {}
    declared = [hint for name, hint in hints.items() if name != "return"]
    return [s for s in declared if isinstance(s, type) and issubclass(s, BaseModel)]


async def _raised(request: Request, error: Exception) -> Response:
    assert isinstance(error, ProblemRaised)  # noqa: S101 - tells the type checker what it handles
    return respond(request, error)


async def _faulty(request: Request, error: Exception) -> Response:
    assert isinstance(error, Faulty)  # noqa: S101
    count = len(error.faults)
    detail = f"{count} thing{'s' if count != 1 else ''} in the request cannot be taken as asked."
    raised = ProblemRaised("refused-by-catalog", detail, errors=fault_errors(error.faults))
    return respond(request, raised)


async def _invalid(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)  # noqa: S101
    errors = _shape_errors(request, error.errors())
    detail = f"{len(errors)} field{'s are' if len(errors) != 1 else ' is'} not as declared."
    return respond(request, ProblemRaised("invalid-request", detail, errors=errors))


async def _framework(request: Request, error: Exception) -> Response:
    """The router's own refusals: no such address, no such method."""
    assert isinstance(error, HTTPException)  # noqa: S101
    headers = dict(error.headers or {})
    if error.status_code == 405:
        allow = headers.get("Allow") or headers.get("allow") or ""
        allowed = sorted({"HEAD"} | set(allow.split(", "))) if "GET" in allow else [allow]
        listed = ", ".join(allowed)
        detail = f"{request.method} is not one of: {listed}."
        raised = ProblemRaised("method-not-allowed", detail, headers={"Allow": listed})
    elif error.status_code == 404:
        raised = ProblemRaised("not-found", "There is nothing at this address.")
    else:
        raised = ProblemRaised("internal-error", f"Unforeseen status {error.status_code}.")
    return respond(request, raised)
