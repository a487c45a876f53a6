"""The example shown by the front page and by the first command: a case of the catalog itself."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Final

from pydantic import ValidationError

from api.shapes.request import BuildListRequest
from rules.catalog import Case, Catalog

first_choice: Final = "demo"
"""The id of the case that a keeper wants shown; else the first one that comes out valid."""


def demo_case(catalog: Catalog) -> Case | None:
    """The case to show, or None when the catalog has none that can be asked."""
    askable = [case for case in catalog.cases if read_case(case) is not None]
    named = [case for case in askable if case.id == first_choice]
    valid = [case for case in askable if case.expect.get("status") == "valid"]
    return next(iter([*named, *valid]), None)


def read_case(case: Case) -> BuildListRequest | None:
    """The case's request in the request's shape; None when it does not have that shape."""
    try:
        return BuildListRequest.model_validate(case.request)
    except ValidationError:
        return None


def curl(request: Mapping[str, object], base_url: str) -> str:
    """The command that asks a running service for the same."""
    body = json.dumps(request, ensure_ascii=True)
    quoted = body.replace("'", "'\\''")
    return (
        f"curl -s {base_url}/v1/build-lists -H 'Content-Type: application/json'"
        f" -H 'Accept: text/plain' \\\n  -d '{quoted}'"
    )
