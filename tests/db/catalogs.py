"""Catalogs for the tests of editions: the small one, and the small one a little different."""

from __future__ import annotations

from datetime import UTC, datetime

from rules.catalog import Catalog
from rules.folder import read_catalog
from tests.folder.small_folder import SMALL_FOLDER

MORNING = datetime(2026, 3, 2, 8, 30, 15, 250_000, tzinfo=UTC)

SMALL = read_catalog(SMALL_FOLDER)


def small_named(name: str) -> Catalog:
    """The small catalog under another name: another edition."""
    text = SMALL_FOLDER["catalog.yaml"].replace("Small catalog", name)
    return read_catalog({**SMALL_FOLDER, "catalog.yaml": text})
