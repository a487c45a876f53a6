"""The one registry of problem types (RFC 9457): what can go wrong, said once for the
responses, the OpenAPI document and the pages under ``/problems/``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from api.shapes.problem import Problem, ProblemError

media_type: Final = "application/problem+json"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemType:
    """``title`` never varies by occurrence; ``says`` and ``mend`` are read by people."""

    slug: str
    status: int
    title: str
    says: str
    mend: str

    @property
    def uri(self) -> str:
        """Relative to the server, as RFC 9457 s. 3.1.1 allows; it resolves to a page."""
        return f"/problems/{self.slug}"


_types: Final = (
    ProblemType(
        slug="malformed-json",
        status=400,
        title="The body is not sound JSON",
        says="The body could not be read as strict JSON in UTF-8. NaN and infinities, numbers past"
        " the range of a double, one name twice in an object, half surrogate pairs, U+0000 and"
        " nesting past 32 levels are refused as well, because readers disagree about them.",
        mend="Send one JSON object in UTF-8, written by a JSON library.",
    ),
    ProblemType(
        slug="bad-cursor",
        status=400,
        title="The cursor does not belong to this list",
        says="A cursor continues one list with one set of search words and filters. This one was"
        " altered, or the search changed between two pages.",
        mend="Follow `next` as it was given, or start again without a cursor.",
    ),
    ProblemType(
        slug="not-found",
        status=404,
        title="Nothing is here",
        says="There is nothing at this address, or the catalog does not have what it names.",
        mend="Look the thing up in its list; /openapi.json holds every address.",
    ),
    ProblemType(
        slug="method-not-allowed",
        status=405,
        title="This address does not take that method",
        says="The address exists; the header Allow lists the methods it takes.",
        mend="Use one of the methods in Allow.",
    ),
    ProblemType(
        slug="not-acceptable",
        status=406,
        title="The answer does not come in a form you accept",
        says="The header Accept rules out every form that this answer has.",
        mend="Leave Accept out, or name one of the media types in `offers`.",
    ),
    ProblemType(
        slug="body-too-large",
        status=413,
        title="The body is too large",
        says="Bodies of more than 1,000,000 bytes are not read.",
        mend="Send less at once.",
    ),
    ProblemType(
        slug="unsupported-media-type",
        status=415,
        title="The body is not declared as JSON",
        says="Only application/json is read here.",
        mend="Send the header Content-Type: application/json.",
    ),
    ProblemType(
        slug="invalid-request",
        status=422,
        title="The request does not have the declared shape",
        says="A field is unknown, missing, of the wrong kind or out of bounds. `errors` lists"
        " every fault, with a JSON Pointer (RFC 6901) into the body or the name of the"
        " parameter, and what would mend it.",
        mend="Mend every entry of `errors`; /openapi.json declares the shape.",
    ),
    ProblemType(
        slug="refused-by-catalog",
        status=422,
        title="The request cannot be answered as it stands",
        says="The shape is right, but nothing is asked for, or an id, a part number, a fact or an"
        " amount is not one that the current catalog can take. `errors` lists every fault and"
        " what would mend it.",
        mend="Mend every entry of `errors`; the lists under /v1/ show what the catalog has.",
    ),
    ProblemType(
        slug="internal-error",
        status=500,
        title="Something broke on our side",
        says="The request was not at fault. The log holds the cause under the request id.",
        mend="Try again; if it stays, tell the people who run this service the request id.",
    ),
    ProblemType(
        slug="busy",
        status=503,
        title="Too many build lists are being worked out",
        says="Build lists are worked out a few at a time, and the queue is full.",
        mend="Try again after the seconds in Retry-After.",
    ),
    ProblemType(
        slug="no-catalog",
        status=503,
        title="No catalog is published",
        says="The service runs, but its database holds no published edition or cannot be read.",
        mend="Load and publish a catalog: once-apart load FOLDER.",
    ),
)

registry: Final[Mapping[str, ProblemType]] = {known.slug: known for known in _types}


class ProblemRaised(HTTPException):
    """Leave the request with this problem; the handler in ``api.errors`` answers it.

    An HTTPException, because the framework lets only those out of its reading of a body.
    """

    def __init__(
        self,
        slug: str,
        detail: str,
        *,
        errors: Iterable[ProblemError] = (),
        offers: Iterable[str] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.type = registry[slug]
        self.errors = list(errors)
        self.offers = list(offers)
        super().__init__(self.type.status, detail, headers)


def respond(request: Request, raised: ProblemRaised) -> Response:
    """The problem as a response. ``instance`` is the request id, so that a log can be found.

    The detail ends with what mends it, unless each of the errors says that for itself.
    """
    detail = raised.detail if raised.errors else f"{raised.detail} {raised.type.mend}"
    problem = Problem(
        type=raised.type.uri,
        title=raised.type.title,
        status=raised.type.status,
        detail=detail,
        instance=f"urn:uuid:{request.scope['state']['request_id']}",
        errors=raised.errors or None,
        offers=raised.offers or None,
    )
    return Response(
        problem.model_dump_json(exclude_none=True),
        status_code=raised.type.status,
        media_type=media_type,
        headers={"Cache-Control": "no-store"} | dict(raised.headers or {}),
    )


def responses(*slugs: str) -> dict[int | str, dict[str, object]]:
    """The ``responses`` of an operation in OpenAPI: one entry a status, its types listed."""
    by_status: dict[int, list[ProblemType]] = {}
    for slug in (*slugs, "method-not-allowed", "internal-error"):
        by_status.setdefault(registry[slug].status, []).append(registry[slug])
    return {status: _documented(found) for status, found in sorted(by_status.items())}


def _documented(found: Iterable[ProblemType]) -> dict[str, object]:
    kinds = list(found)
    schema = {"$ref": "#/components/schemas/Problem"}
    examples = {
        kind.slug: {
            "summary": kind.title,
            "value": {
                "type": kind.uri,
                "title": kind.title,
                "status": kind.status,
                "detail": kind.says,
                "instance": "urn:uuid:6f0c7c1e-6b5c-4c1e-9f0e-0d9a1b7e2c55",
            },
        }
        for kind in kinds
    }
    return {
        "description": "; or: ".join(f"{kind.title} ({kind.uri})" for kind in kinds),
        "content": {media_type: {"schema": schema, "examples": examples}},
    }
