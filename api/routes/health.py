"""Whether the process lives, and whether it can answer."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter
from pydantic import BaseModel

from api.problems import responses
from api.service import Current
from api.strict_route import AsJson, StrictRoute

router = APIRouter(route_class=StrictRoute, tags=["Health"], dependencies=[AsJson])


class Alive(BaseModel):
    status: Literal["alive"] = "alive"


class Ready(BaseModel):
    status: Literal["ready"] = "ready"
    edition: str


@router.get(
    "/healthz",
    operation_id="isAlive",
    summary="The process answers",
    responses=responses("not-acceptable", "invalid-request"),
)
async def alive() -> Alive:
    """Says nothing about the database; restart the process when this fails."""
    return Alive()


@router.get(
    "/readyz",
    operation_id="isReady",
    summary="A published catalog can be read",
    responses=responses("not-acceptable", "invalid-request", "no-catalog"),
)
def ready(edition: Current) -> Ready:
    """Send no traffic while this fails."""
    return Ready(edition=edition.edition)
