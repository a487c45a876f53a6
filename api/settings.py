"""What can be set from outside, all of it in the environment."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Final

from api.bootstrap import ROOT

database_variable: Final = "ONCE_APART_DATABASE"


origins_variable: Final = "ONCE_APART_ORIGINS"


def allowed_origins() -> tuple[str, ...]:
    """Websites whose pages may ask from the browser: ``ONCE_APART_ORIGINS``, by commas.

    Raises ValueError for what is no origin; ``*`` is none, every site must be named.
    """
    given = os.environ.get(origins_variable, "")
    origins = tuple(text.strip() for text in given.split(",") if text.strip())
    for origin in origins:
        if not re.fullmatch(r"https?://[A-Za-z0-9.\-]+(:[0-9]+)?", origin):
            raise ValueError(
                f"{origins_variable}: {origin!r} is no origin. Write scheme and host,"
                " such as https://shop.example, without a path."
            )
    return origins


def default_database() -> str:
    """The database's address: ``ONCE_APART_DATABASE``, or a file below the project."""
    return os.environ.get(database_variable) or f"sqlite:///{demo_database()}"


def demo_database() -> Path:
    """The file that the first command makes."""
    return ROOT / ".once_apart" / "once_apart.db"
