"""Around every request: an id, the security headers, HEAD as GET, and no leak when code breaks.

Plain ASGI, so that it sees every response, streamed ones and failures included.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Awaitable, Callable
from typing import Final
from uuid import UUID, uuid4

from fastapi import Request
from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.problems import ProblemRaised, respond

log: Final = logging.getLogger("once_apart")

security_headers: Final = {
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self';"
    " form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Strict-Transport-Security": "max-age=31536000",
}
"""OWASP ASVS 5.0, 3.4.1 to 3.4.8. Browsers ignore the last one over plain HTTP."""

_uuid: Final = re.compile(r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$")


class Envelope:
    """The outermost layer of the service."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request_id = _request_id(Headers(scope=scope).get("x-request-id"))
        scope.setdefault("state", {})["request_id"] = request_id
        bare = scope["method"] == "HEAD"
        if bare:
            scope = {**scope, "method": "GET"}
        sender = _Sender(send, request_id, bare)
        await self._guarded(scope, receive, sender)

    async def _guarded(self, scope: Scope, receive: Receive, sender: _Sender) -> None:
        try:
            await self.app(scope, receive, sender)
        except Exception:
            request_id = scope["state"]["request_id"]
            log.exception("request %s broke: %s %s", request_id, scope["method"], scope["path"])
            if sender.started:
                raise
            problem = ProblemRaised("internal-error", f"The request id is {request_id}.")
            await respond(Request(scope), problem)(scope, receive, sender)


class _Sender:
    """Adds the headers to the start of a response; drops the body of an answer to HEAD."""

    def __init__(self, send: Callable[[Message], Awaitable[None]], request_id: str, bare: bool):
        self.send = send
        self.request_id = request_id
        self.bare = bare
        self.started = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.started = True
            headers = MutableHeaders(scope=message)
            headers["X-Request-Id"] = self.request_id
            for name, value in security_headers.items():
                headers[name] = value
            headers.setdefault("Cache-Control", "no-store")
        elif self.bare and message["type"] == "http.response.body":
            message = {**message, "body": b""}
        await self.send(message)


def _request_id(offered: str | None) -> str:
    """The caller's id where it is a plain UUID, so that it can be logged as it stands."""
    if offered is not None and _uuid.match(offered.lower()):
        return str(UUID(offered))
    return str(uuid4())
