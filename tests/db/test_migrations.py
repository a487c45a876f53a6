"""Migrations make exactly the tables that the models describe, on both databases."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import CheckConstraint, Connection, inspect, text

from db import Database, list_editions, load_edition, migrate, open_database, store_edition
from db.migrate import alembic_config
from db.models import Base
from tests.db.catalogs import MORNING, SMALL


def checks(connection: Connection) -> set[tuple[str, str]]:
    """Table and name of every check constraint; autogenerate does not look at those."""
    inspector = inspect(connection)
    return {
        (table, str(one["name"]))
        for table in inspector.get_table_names()
        for one in inspector.get_check_constraints(table)
    }


def test_models_and_migrations_agree(database: Database) -> None:
    with database.read.begin() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, Base.metadata) == []
        assert checks(connection) == {
            (table.name, str(constraint.name))
            for table in Base.metadata.tables.values()
            for constraint in table.constraints
            if isinstance(constraint, CheckConstraint)
        }


def test_a_difference_would_be_seen(database: Database) -> None:
    """The check above can fail."""
    with database.write.begin() as connection:
        connection.execute(text("ALTER TABLE tools ADD COLUMN colour TEXT"))
        connection.execute(text("DROP INDEX ix_parts_edition_id_number"))
    with database.read.begin() as connection:
        found: list[Any] = compare_metadata(MigrationContext.configure(connection), Base.metadata)
    assert sorted(change[0] for change in found) == ["add_index", "remove_column"]


def test_migrating_again_changes_nothing(url: str) -> None:
    database = open_database(url)
    store_edition(database, SMALL, now=MORNING, publish=True)
    migrate(url)
    assert load_edition(database)[1] == SMALL
    database.close()


def test_there_is_one_line_of_migrations_with_a_way_back(database: Database) -> None:
    with database.write.begin() as connection:
        config = alembic_config(connection)
        scripts = ScriptDirectory.from_config(config)
        assert len(scripts.get_heads()) == len(scripts.get_bases()) == 1
        command.downgrade(config, "base")
        assert set(inspect(connection).get_table_names()) == {"alembic_version"}
        command.upgrade(config, "head")
    assert list_editions(database) == ()


def test_a_migration_that_fails_leaves_no_table(
    empty_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All migrations of a run are one transaction, on SQLite too."""
    upgrade = command.upgrade

    def failing(*arguments: Any) -> None:
        upgrade(*arguments)
        raise RuntimeError("no room")

    monkeypatch.setattr(command, "upgrade", failing)
    with pytest.raises(RuntimeError, match="no room"):
        migrate(empty_url)
    database = open_database(empty_url)
    with database.read.begin() as connection:
        assert inspect(connection).get_table_names() == []
    database.close()


def test_processes_that_migrate_at_once_do_not_meet(empty_url: str) -> None:
    program = "import sys; from db import migrate; migrate(sys.argv[1])"
    children = [
        subprocess.Popen([sys.executable, "-c", program, empty_url], cwd=Path(__file__).parents[2])
        for _ in range(2)
    ]
    assert [child.wait() for child in children] == [0, 0]
    database = open_database(empty_url)
    assert list_editions(database) == ()
    database.close()
