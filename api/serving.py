"""The web server around the application."""

from __future__ import annotations

import contextlib
import errno
import os
import socket
from typing import TextIO

import uvicorn
from fastapi import FastAPI

from api.app import create_app
from api.settings import allowed_origins, database_variable, default_database
from api.store import open_service
from rules.build import build_list


def from_environment() -> FastAPI:
    """The application over the database that the environment names; for any ASGI server:
    ``uvicorn --factory api.serving:from_environment``."""
    return create_app(open_service(default_database(), build_list), allowed_origins())


def serve(url: str, host: str, port: int, workers: int, err: TextIO) -> int:
    """Serve until told to stop. Returns 0, or 2 when the address cannot be had."""
    trouble = address_trouble(host, port) or _settings_trouble()
    if trouble:
        err.write(f"{trouble}\n")
        return 2
    os.environ[database_variable] = url  # for the worker processes, and for this one
    settings = {"host": host, "port": port, "log_level": "warning", "server_header": False}
    if workers > 1:
        err.write(f"Serving on {base_url(host, port)} with {workers} processes.\n")
        uvicorn.run("api.serving:from_environment", factory=True, workers=workers, **settings)  # type: ignore[arg-type]
        return 0
    config = uvicorn.Config(from_environment(), timeout_graceful_shutdown=10, **settings)  # type: ignore[arg-type]
    with contextlib.suppress(KeyboardInterrupt):  # Ctrl+C is how it is told to stop
        _Announcing(config, err).run()
    return 0


def _settings_trouble() -> str | None:
    try:
        allowed_origins()
    except ValueError as error:
        return str(error)
    return None


class _Announcing(uvicorn.Server):
    """Says that it serves once it does."""

    def __init__(self, config: uvicorn.Config, err: TextIO) -> None:
        super().__init__(config)
        self._err = err

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            address = base_url(self.config.host, self.config.port)
            self._err.write(f"Serving on {address} until Ctrl+C.\n")
            self._err.flush()


def base_url(host: str, port: int) -> str:
    """How a browser or curl addresses it."""
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def address_trouble(host: str, port: int) -> str | None:
    """Why the address cannot be served on, with the mend; None: it can."""
    if not 0 < port < 65536:
        return f"There is no port {port}. Choose one from 1 to 65535."
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        if os.name != "nt":  # there it would let two servers share the port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            return _told(error, host, port)
    return None


def _told(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"Port {port} on {host} is taken. Stop what uses it, or add --port {port + 1}."
    if error.errno == errno.EACCES:
        return f"Port {port} needs more rights. Choose one above 1023: --port 8000."
    return f"{host} port {port} cannot be served on: {error.strerror}."
