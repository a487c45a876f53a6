"""Routes that read strictly: the body's type, size and JSON, and each parameter once."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import Annotated, Any, Final

from fastapi import Depends, Request
from fastapi.routing import APIRoute
from starlette.responses import Response

from api import negotiation, strict_json
from api.problems import ProblemRaised
from api.shapes.problem import ProblemError

largest_body: Final = 1_000_000
repeatable: Final = frozenset({"fact"})


class StrictRequest(Request):
    """A request whose body is capped while it comes in and parsed by ``strict_json``."""

    async def body(self) -> bytes:
        if not hasattr(self, "_body"):
            self._body = await self._read()
        return self._body

    async def _read(self) -> bytes:
        chunks, size = [], 0
        async for chunk in self.stream():
            size += len(chunk)
            if size > largest_body:
                raise ProblemRaised("body-too-large", f"It has more than {largest_body:,} bytes.")
            chunks.append(chunk)
        return b"".join(chunks)

    async def json(self) -> Any:
        try:
            return strict_json.loads(await self.body())
        except strict_json.NotStrictJson as error:
            detail = f"The body was not read: {error}."
            raise ProblemRaised("malformed-json", detail) from None


class StrictRoute(APIRoute):
    """Checks what the framework does not before it hands the request over."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        handler = super().get_route_handler()
        reads_body = self.body_field is not None

        async def strict(request: Request) -> Response:
            _refuse_repeated(request)
            if reads_body:
                _refuse_other_types(request)
            return await handler(StrictRequest(request.scope, request.receive))

        return strict


def _refuse_repeated(request: Request) -> None:
    """One parameter twice is read differently by different readers (OWASP ASVS 5.0, 15.3.7)."""
    names = [name for name, _ in request.query_params.multi_items() if name not in repeatable]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        errors = [
            ProblemError(detail="It is given twice", parameter=name[:100], mend="Give it once.")
            for name in twice[:20]
        ]
        raise ProblemRaised("invalid-request", "A parameter is given twice.", errors=errors)


def _refuse_other_types(request: Request) -> None:
    if not negotiation.is_json(request.headers.get("content-type")):
        raise ProblemRaised("unsupported-media-type", "The Content-Type is not application/json.")


def accepts(*offers: str) -> Any:
    """A dependency: the media type of ``offers`` that the caller likes best; 406 when none."""

    def chosen(request: Request) -> str:
        accept = ",".join(request.headers.getlist("accept")) or None
        best = negotiation.choose(accept, offers)
        if best is None:
            detail = f"This answer comes as {' or '.join(offers)}."
            raise ProblemRaised("not-acceptable", detail, offers=offers)
        return best

    return Depends(chosen)


AsJson = accepts("application/json")
"""For ``dependencies=[AsJson]``."""

JsonOrText = Annotated[str, accepts("application/json", "text/plain")]
