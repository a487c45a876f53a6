"""What the demo catalog answers, one file an operation; shown in the OpenAPI document.

``python -m tests.api.demo_examples`` writes the files anew; a test holds them to the truth.
"""

from __future__ import annotations

import json
from importlib import resources
from typing import Any


def example(operation_id: str) -> dict[str, Any]:
    """``asked`` (method and address), ``request`` (or None) and ``answers`` by media type."""
    file = resources.files("api.examples").joinpath(f"{operation_id}.json")
    found: dict[str, Any] = json.loads(file.read_text("utf-8"))
    return found
