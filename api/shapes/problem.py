"""The body of every answer that is not a success (RFC 9457)."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class ProblemError(BaseModel):
    """One fault of several. It is in the body (``pointer``) or in a parameter (``parameter``)."""

    model_config = ConfigDict(extra="forbid")

    detail: str = Field(description="What is wrong, for people.")
    pointer: str | None = Field(
        default=None, description="JSON Pointer (RFC 6901) into the request body."
    )
    parameter: str | None = Field(default=None, description="Name of the query or path parameter.")
    mend: str = Field(description="What would mend it.")


class Problem(BaseModel):
    """A problem document. Further members are absent, never null."""

    model_config = ConfigDict(extra="forbid")

    type: str = Field(description="Address of the page about this type of problem.")
    title: str
    status: int = Field(ge=400, le=599)
    detail: str
    instance: str = Field(description="This occurrence: the request id as a URN.")
    errors: list[ProblemError] | None = Field(default=None, description="Every fault found.")
    offers: list[str] | None = Field(default=None, description="The media types on offer (406).")
