"""The examples of the OpenAPI document, asked of the demo catalog.

``python -m tests.api.demo_examples`` writes them anew after the catalog or an answer changed.
"""

from __future__ import annotations

import hashlib
import json
import sys
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

from api.bootstrap import ROOT
from api.editions import FixedEdition, OpenEdition
from api.service import Service
from db import read_folder
from rules.build import build_list
from rules.compiled import compile_catalog
from rules.folder import read_catalog
from tests.api.harness import Client, client

FOLDER: Final = ROOT / "api" / "examples"
MADE_ON: Final = date(2026, 3, 2)

Asked = tuple[str, str, dict[str, Any] | None, tuple[str, ...]]
ASKED: Final[dict[str, Asked]] = {
    "makeBuildList": (
        "POST",
        "/v1/build-lists",
        {
            "vehicle": {"id": "fairway_1478_2019_strict", "facts": {"odometer_km": 52000}},
            "jobs": ["oil_service"],
        },
        ("application/json", "text/plain"),
    ),
    "checkBundle": (
        "POST",
        "/v1/bundle-checks",
        {
            "vehicle": {"id": "fairway_1478_2019_strict", "facts": {"odometer_km": 52000}},
            "jobs": ["oil_service"],
            "text": "2 x FN-F11\nKH-2O50-4\nRundholt RH-M14, 1\n",
        },
        ("application/json", "text/plain"),
    ),
    "explainLine": (
        "POST",
        "/v1/build-lists/why",
        {
            "vehicle": {"id": "fairway_1478_2019_strict", "facts": {"odometer_km": 52000}},
            "jobs": ["cam_upgrade"],
            "line": {"kind": "part", "ref": "fuel_line_seal"},
        },
        ("application/json", "text/plain"),
    ),
    "explainAbsence": (
        "POST",
        "/v1/build-lists/why-not",
        {
            "vehicle": {"id": "fairway_1478_2019_strict", "facts": {"odometer_km": 52000}},
            "jobs": ["cam_upgrade"],
            "part": {"brand": "Pellworth", "number": "PW-W50"},
        },
        ("application/json", "text/plain"),
    ),
    "identifyVehicle": (
        "POST",
        "/v1/vehicles/identify",
        {"facts": {"family": "whimbrel", "displacement_cc": 1690, "model_year": 2018}},
        ("application/json",),
    ),
    "listVehicles": ("GET", "/v1/vehicles?q=fairway&page_size=1", None, ("application/json",)),
    "listParts": ("GET", "/v1/parts?part_type=oil_filter&page_size=1", None, ("application/json",)),
    "getPart": ("GET", "/v1/parts/Fennick/FN-F12", None, ("application/json",)),
    "listJobs": ("GET", "/v1/jobs?q=oil&page_size=1", None, ("application/json",)),
    "listTools": ("GET", "/v1/tools?q=pushrod&page_size=1", None, ("application/json",)),
    "getCurrentCatalog": ("GET", "/v1/catalogs/current", None, ("application/json",)),
    "isAlive": ("GET", "/healthz", None, ("application/json",)),
    "isReady": ("GET", "/readyz", None, ("application/json",)),
}
"""By operationId: method, address, body, media types."""

SHORTENED: Final = {"facts": 2, "part_types": 1, "fitment": 2, "vehicles": 2}
"""Lists of the long answers are cut to so many rows; what is left is as it was answered."""


@cache
def demo_edition() -> OpenEdition:
    """The demo catalog as an edition. Its digest stands for any: a true one would change all
    examples with every edit of the catalog."""
    catalog = read_catalog(read_folder(ROOT / "seed_data"))
    digest = hashlib.sha256(b"example").hexdigest()
    return OpenEdition(
        edition=f"1 ({digest[:12]})", digest=digest, compiled=compile_catalog(catalog)
    )


def demo_service() -> Service:
    """The service over the demo catalog, on a fixed day."""
    return Service(editions=FixedEdition(demo_edition()), engine=build_list, clock=lambda: MADE_ON)


def answered(web: Client, operation_id: str) -> dict[str, Any]:
    """One example as the service answers it now."""
    method, path, body, media_types = ASKED[operation_id]
    answers: dict[str, Any] = {}
    for media_type in media_types:
        response = web.request(method, path, json=body, headers={"Accept": media_type})
        assert response.status_code == 200, response.text
        is_text = media_type == "text/plain"
        answers[media_type] = response.text if is_text else _short(response.json())
    return {"asked": f"{method} {path}", "request": body, "answers": answers}


def _short(answer: Any) -> Any:
    if isinstance(answer, dict):
        return {
            name: value[: SHORTENED[name]]
            if name in SHORTENED and isinstance(value, list)
            else _short(value)
            for name, value in answer.items()
        }
    return answer


def file_of(operation_id: str) -> Path:
    return FOLDER / f"{operation_id}.json"


def main() -> int:
    """Write every file anew."""
    with client(demo_service()) as web:
        for operation_id in ASKED:
            text = json.dumps(answered(web, operation_id), indent=2, ensure_ascii=False)
            file_of(operation_id).write_text(f"{text}\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
