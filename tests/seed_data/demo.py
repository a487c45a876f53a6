"""The demo catalog, read once for all tests here."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

from db import read_folder
from rules.catalog import Catalog
from rules.compiled import CompiledCatalog, compile_catalog
from rules.folder import read_catalog

FOLDER: Final = Path(__file__).parents[2] / "seed_data"


@cache
def demo_catalog() -> Catalog:
    """The checked catalog; reading raises Faulty when it has faults."""
    return read_catalog(read_folder(FOLDER))


@cache
def compiled_demo() -> CompiledCatalog:
    """The demo catalog made ready for questions."""
    return compile_catalog(demo_catalog())
