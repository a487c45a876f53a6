"""Why a line is in a build list, and why something else is not."""

from __future__ import annotations

from typing import Annotated, Any, Final

from fastapi import APIRouter, Body
from starlette.responses import Response

from api.problems import responses
from api.service import Served, Service
from api.shapes.why import WhyNotRequest, WhyNotShape, WhyRequest, WhyShape
from api.strict_route import JsonOrText, StrictRoute
from rules.why import Why, WhyNot, why, why_not
from rules.wording.why import render_why, render_why_not

router = APIRouter(route_class=StrictRoute, tags=["Build lists"])

_text_answer: Final[dict[int | str, dict[str, Any]]] = {
    200: {
        "description": "The reason.",
        "content": {"text/plain": {"schema": {"type": "string"}}},
    }
}
_responses: Final = _text_answer | responses(
    "malformed-json",
    "not-acceptable",
    "body-too-large",
    "unsupported-media-type",
    "invalid-request",
    "refused-by-catalog",
    "busy",
    "no-catalog",
)


@router.post(
    "/v1/build-lists/why",
    operation_id="explainLine",
    summary="Why a line is in the build list",
    response_model=WhyShape,
    responses=_responses,
)
async def explain_line(
    asked: Annotated[WhyRequest, Body()], media_type: JsonOrText, service: Served
) -> Response:
    """The shortest chains from what was asked to the line: each link is a row or a rule of the
    catalog that holds in this build list.

    The body is that of the build list, and the line. `Accept: text/plain` gives text.
    """
    answer = await service.bench.run(lambda: answered_why(service, asked))
    return _response(answer, media_type)


@router.post(
    "/v1/build-lists/why-not",
    operation_id="explainAbsence",
    summary="Why a part, a kit or a way is not in the build list",
    response_model=WhyNotShape,
    responses=_responses,
)
async def explain_absence(
    asked: Annotated[WhyNotRequest, Body()], media_type: JsonOrText, service: Served
) -> Response:
    """It does not fit, is an old number, is not sold, is refused, clashes with something, or
    makes the list dearer, by so much: then the list was worked out again with it.

    The body is that of the build list, and the part or the way. `Accept: text/plain` gives text.
    """
    answer = await service.bench.run(lambda: answered_why_not(service, asked))
    return _response(answer, media_type)


def answered_why(service: Service, asked: WhyRequest) -> Why:
    """The answer, the same for the web and the command line. Raises Faulty."""
    edition = service.edition()
    request = asked.to_request(edition.catalog.currency_exponent)
    return why(edition.compiled, request, asked.line.kind, asked.line.ref, edition=edition.edition)


def answered_why_not(service: Service, asked: WhyNotRequest) -> WhyNot:
    """The answer, the same for the web and the command line. Raises Faulty."""
    edition = service.edition()
    subject = asked.subject()
    request = asked.to_request(edition.catalog.currency_exponent)
    return why_not(
        edition.compiled, request, subject, today=service.clock(), edition=edition.edition
    )


def written(answer: Why | WhyNot, as_text: bool) -> str:
    """The answer as text or as JSON."""
    if isinstance(answer, Why):
        return render_why(answer) if as_text else WhyShape.model_validate(answer).model_dump_json()
    if as_text:
        return render_why_not(answer)
    return WhyNotShape.model_validate(answer).model_dump_json()


def _response(answer: Why | WhyNot, media_type: str) -> Response:
    return Response(
        written(answer, media_type == "text/plain"),
        media_type=media_type,
        headers={"Cache-Control": "no-store", "Vary": "Accept"},
    )
