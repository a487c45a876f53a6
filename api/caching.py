"""Bodies with a strong entity tag, and 304 for a caller that has them (RFC 9110 s. 13.1.2)."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from fastapi import Request
from pydantic import BaseModel
from starlette.responses import Response


def tagged(
    request: Request, shape: BaseModel, headers: Mapping[str, str] | None = None
) -> Response:
    """``shape`` as JSON. It may be kept, but is asked after each time: editions change."""
    body = shape.model_dump_json().encode()
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    common = {"ETag": tag, "Cache-Control": "no-cache", "Vary": "Accept", **(headers or {})}
    if _has(request.headers.get("if-none-match"), tag):
        return Response(status_code=304, headers=common)
    return Response(body, media_type="application/json", headers=common)


def _has(if_none_match: str | None, tag: str) -> bool:
    """Weak comparison, as If-None-Match asks for (RFC 9110 s. 8.8.3.2)."""
    if if_none_match is None:
        return False
    listed = [given.strip().removeprefix("W/") for given in if_none_match.split(",")]
    return "*" in listed or tag in listed
