"""A half-stored edition is impossible, whatever breaks and whenever."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event, func, select, text

from db import Database, list_editions, load_edition, migrate, open_database, store_edition
from db.models import Base
from rules.folder import write_catalog
from tests.db.catalogs import MORNING, SMALL, small_named
from tests.folder.small_folder import SMALL_FOLDER

KILLED = -9

MOST_STATEMENTS = 60
"""More than storing takes; the loops below end when nothing is left to break."""


class Broken(Exception):
    """The fault that a test puts in."""


@contextmanager
def breaking(database: Database, statement: int) -> Iterator[list[str]]:
    """Let the writing engine fail at its n-th statement, before it reaches the database."""
    seen: list[str] = []

    def before(_c: Any, _cursor: Any, sql: str, *_: Any) -> None:
        seen.append(sql)
        if len(seen) == statement:
            raise Broken

    event.listen(database.write, "before_cursor_execute", before)
    try:
        yield seen
    finally:
        event.remove(database.write, "before_cursor_execute", before)


def row_counts(database: Database) -> dict[str, int]:
    with database.read.begin() as connection:
        return {
            table.name: connection.scalar(select(func.count()).select_from(table)) or 0
            for table in Base.metadata.sorted_tables
        }


def test_an_error_at_any_statement_leaves_nothing(database: Database) -> None:
    empty = row_counts(database)
    assert set(empty.values()) == {0}
    broken_at = 0
    for statement in range(1, MOST_STATEMENTS):
        with breaking(database, statement) as seen:
            try:
                store_edition(database, SMALL, now=MORNING, publish=True)
            except Broken:
                broken_at += 1
                assert row_counts(database) == empty
                continue
        break
    inserts = [sql for sql in seen if sql.startswith("INSERT")]
    assert broken_at == len(seen) > len(inserts) > len(Base.metadata.tables) - 1
    assert load_edition(database)[1] == SMALL


def test_an_error_while_publishing_changes_nothing(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING, publish=True)
    before = row_counts(database)
    for statement in range(1, MOST_STATEMENTS):
        with breaking(database, statement):
            try:
                store_edition(database, small_named("Other"), now=MORNING, publish=True)
            except Broken:
                assert row_counts(database) == before
                assert load_edition(database)[1] == SMALL
                continue
        break
    assert load_edition(database)[1].name == "Other"


def test_the_database_itself_refuses_half_a_record(database: Database) -> None:
    """A row that its edition or its owner does not stand behind is not taken."""
    with pytest.raises(Exception, match=r"(?i)foreign key"), database.write.begin() as connection:
        connection.execute(text(
            "INSERT INTO facts (edition_id, position, name, kind, label, choices) "
            "VALUES (7, 0, 'x', 'text', 'X', '[]')"
        ))  # fmt: skip


CHILD = """
import os, signal, sys
from sqlalchemy import event
from db import open_database, store_edition
from tests.db.catalogs import MORNING, small_named

database, left = open_database(sys.argv[1]), int(sys.argv[2])

@event.listens_for(database.write, "after_cursor_execute")
def after(*_):
    global left
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)

store_edition(database, small_named("Other"), now=MORNING, publish=True)
print("stored")
"""


@pytest.mark.parametrize("statement", [12, 21])
def test_a_killed_process_leaves_nothing(url: str, statement: int) -> None:
    """SIGKILL between two statements of the transaction; the next process finds it undone."""
    database = open_database(url)
    store_edition(database, SMALL, now=MORNING, publish=True)
    before = row_counts(database)
    root = Path(__file__).parents[2]
    child = subprocess.run(
        [sys.executable, "-c", CHILD, url, str(statement)],
        cwd=root, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (child.returncode, child.stdout) == (KILLED, "")
    assert row_counts(database) == before
    assert load_edition(database)[1] == SMALL
    assert store_edition(database, small_named("Other"), now=MORNING).number == 2
    database.close()


def test_a_sqlite_file_is_sound_after_a_kill(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'editions.db'}"
    migrate(url)
    child = subprocess.run(
        [sys.executable, "-c", CHILD, url, "12"],
        cwd=Path(__file__).parents[2], capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert child.returncode == KILLED
    database = open_database(url)
    with database.write.begin() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar_one() == "ok"
        assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
    assert list_editions(database) == ()
    database.close()


def test_the_small_folder_fills_every_table(database: Database) -> None:
    """Otherwise the tests above would not see a table that is left out."""
    store_edition(database, SMALL, now=MORNING)
    assert [name for name, count in row_counts(database).items() if not count] == []
    assert write_catalog(SMALL) == SMALL_FOLDER
