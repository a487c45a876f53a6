"""The example of the front page, the first command and the README."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

from api.shapes.request import BuildListRequest
from rules.catalog import Catalog

of_the_demo_catalog: Final[Mapping[str, Any]] = {
    "vehicle": {"id": "fairway_1478_2019_strict", "facts": {"odometer_km": 52000}},
    "jobs": ["cam_upgrade"],
}


@dataclass(frozen=True, slots=True)
class Example:
    """``written``: the JSON as it is sent; ``asked``: the same, read."""

    says: str
    written: Mapping[str, Any]
    asked: BuildListRequest


def example_of(catalog: Catalog) -> Example | None:
    """The demo's example where the catalog knows its machine and job; else the first of the
    keeper's cases that comes out valid; None: there is nothing to show."""
    vehicle, job = of_the_demo_catalog["vehicle"]["id"], of_the_demo_catalog["jobs"][0]
    if any(v.id == vehicle for v in catalog.vehicles) and any(j.id == job for j in catalog.jobs):
        return _read("A cam upgrade on a machine of the demo catalog", of_the_demo_catalog)
    valid = (case for case in catalog.cases if case.expect.get("status") == "valid")
    examples = (_read(case.says, case.request) for case in valid)
    return next((example for example in examples if example is not None), None)


def _read(says: str, written: Mapping[str, Any]) -> Example | None:
    """None when it does not have the request's shape."""
    try:
        return Example(says, written, BuildListRequest.model_validate(dict(written)))
    except ValidationError:
        return None


def curl(request: Mapping[str, Any], base_url: str) -> str:
    """The command that asks a running service for the same."""
    quoted = json.dumps(dict(request)).replace("'", "'\\''")
    return (
        f"curl -s {base_url}/v1/build-lists \\\n"
        f"  -H 'Content-Type: application/json' -H 'Accept: text/plain' \\\n  -d '{quoted}'"
    )
