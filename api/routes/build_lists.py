"""``POST /v1/build-lists``: a machine and a wish in, the validated build list out."""

from __future__ import annotations

from typing import Annotated, Any, Final

from fastapi import APIRouter, Body
from starlette.responses import Response

from api.problems import responses
from api.service import Served
from api.shapes.answer import BuildListShape
from api.shapes.request import BuildListRequest
from api.strict_route import JsonOrText, StrictRoute
from rules.answer import BuildList
from rules.text import render

router = APIRouter(route_class=StrictRoute, tags=["Build lists"])

_text_answer: Final[dict[int | str, dict[str, Any]]] = {
    200: {
        "description": "The build list, whatever its status: valid, needs_facts and conflict are"
        " all answers.",
        "content": {"text/plain": {"schema": {"type": "string"}}},
    }
}


@router.post(
    "/v1/build-lists",
    operation_id="makeBuildList",
    summary="Work out the build list for a machine and a wish",
    response_model=BuildListShape,
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
async def make_build_list(
    asked: Annotated[BuildListRequest, Body()], media_type: JsonOrText, service: Served
) -> Response:
    """Everything the job drags along: parts, kits, work in order, tools, time, money and lead
    time, each line with its reason; add-ons with their price now and later; or the facts that
    decide it; or a proof that it cannot be done.

    `Accept: text/plain` gives the same answer as text.
    """
    build = await service.bench.run(lambda: service.build_list(asked))
    return Response(
        _written(build, media_type),
        media_type=media_type,
        headers={"Cache-Control": "no-store", "Vary": "Accept"},
    )


def _written(build: BuildList, media_type: str) -> str:
    if media_type == "text/plain":
        return render(build)
    return BuildListShape.model_validate(build).model_dump_json()
