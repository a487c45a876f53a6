"""Where catalogs live: the folder on disk, and editions in a database."""

from db.checked import Checked, read_checked
from db.database import Database, open_database
from db.editions import (
    EditionRef,
    NoEditionError,
    edition_in_force,
    list_editions,
    load_edition,
    publish_edition,
    store_edition,
)
from db.folder import read_folder, write_folder
from db.migrate import migrate

__all__ = [
    "Checked",
    "Database",
    "EditionRef",
    "NoEditionError",
    "edition_in_force",
    "list_editions",
    "load_edition",
    "migrate",
    "open_database",
    "publish_edition",
    "read_checked",
    "read_folder",
    "store_edition",
    "write_folder",
]
