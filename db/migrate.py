"""Bringing a database to the tables that this version works with."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import URL, Connection

from db.database import lock_for_writing, open_database

MIGRATION_LOCK: Final = 0x0A9A_0001
"""Name of the lock under which one process at a time migrates."""


def migrate(url: str | URL) -> None:
    """Run every migration that has not been run, all of them or none.

    Several processes may do so at once; the later ones find nothing left to do.
    """
    database = open_database(url)
    try:
        with database.write.begin() as connection:
            lock_for_writing(connection, MIGRATION_LOCK)
            command.upgrade(alembic_config(connection), "head")
    finally:
        database.close()


def alembic_config(connection: Connection) -> Config:
    """Configuration for Alembic's commands on an open connection.

    A new migration is written with ``command.revision(alembic_config(c), autogenerate=True)``.
    """
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    return config
