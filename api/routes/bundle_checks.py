"""``POST /v1/bundle-checks``: parts bought elsewhere in, what fits and what is missing out."""

from __future__ import annotations

from typing import Annotated, Any, Final

from fastapi import APIRouter, Body
from starlette.responses import Response

from api.problems import responses
from api.service import Served, Service
from api.shapes.bundle import BundleCheckRequest, BundleCheckShape
from api.strict_route import JsonOrText, StrictRoute
from rules.bundle.answer import BundleCheck
from rules.bundle.check import check_bundle
from rules.wording.bundle import render_bundle

router = APIRouter(route_class=StrictRoute, tags=["Build lists"])

_text_answer: Final[dict[int | str, dict[str, Any]]] = {
    200: {
        "description": "The check, whatever its status.",
        "content": {"text/plain": {"schema": {"type": "string"}}},
    }
}


@router.post(
    "/v1/bundle-checks",
    operation_id="checkBundle",
    summary="Check parts bought elsewhere against a machine",
    response_model=BundleCheckShape,
    responses=_text_answer
    | responses(
        "malformed-json",
        "not-acceptable",
        "body-too-large",
        "unsupported-media-type",
        "invalid-request",
        "refused-by-catalog",
        "busy",
        "no-catalog",
    ),
)
async def check_a_bundle(
    asked: Annotated[BundleCheckRequest, Body()], media_type: JsonOrText, service: Served
) -> Response:
    """Each line judged: whether it fits or what speaks against it, what an old number is today,
    what a mistyped one may have meant, what a kit holds already, too few, too many. Then the
    whole: what is missing, what can go back, what cannot be together, and the build list in
    which these parts cost nothing.

    `Accept: text/plain` gives the same answer as text.
    """
    check = await service.bench.run(lambda: checked(service, asked))
    return Response(
        written(check, media_type == "text/plain"),
        media_type=media_type,
        headers={"Cache-Control": "no-store", "Vary": "Accept"},
    )


def checked(service: Service, asked: BundleCheckRequest) -> BundleCheck:
    """The answer, the same for the web and the command line. Raises Faulty."""
    edition = service.edition()
    request = asked.to_request(edition.compiled)
    return check_bundle(edition.compiled, request, today=service.clock(), edition=edition.edition)


def written(check: BundleCheck, as_text: bool) -> str:
    """The answer as text or as JSON."""
    if as_text:
        return render_bundle(check)
    return BundleCheckShape.model_validate(check).model_dump_json()
