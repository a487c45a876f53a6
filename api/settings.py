"""What can be set from outside, all of it in the environment."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

from api.bootstrap import ROOT

database_variable: Final = "ONCE_APART_DATABASE"


def default_database() -> str:
    """The database's address: ``ONCE_APART_DATABASE``, or a file below the project."""
    return os.environ.get(database_variable) or f"sqlite:///{demo_database()}"


def demo_database() -> Path:
    """The file that the first command makes."""
    return ROOT / ".once_apart" / "once_apart.db"
