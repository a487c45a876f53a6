"""Opening a database: one engine that reads, one that writes.

SQLite's driver begins transactions late, so that two writers can both read before either
writes, and one of them then loses or fails. Here a writing transaction takes the write
lock when it begins (BEGIN IMMEDIATE) and a reading one never does; hence two engines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sqlalchemy import URL, Connection, Engine, StaticPool, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.pool import ConnectionPoolEntry

BUSY_MILLISECONDS: Final = 5_000
"""How long a writer waits for another before it gives up."""

_PRAGMAS: Final = (
    f"PRAGMA busy_timeout = {BUSY_MILLISECONDS}",
    "PRAGMA journal_mode = WAL",
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    "PRAGMA trusted_schema = OFF",
)
"""WAL lets readers and a writer go on side by side; FULL keeps what was committed through a
power cut."""


@dataclass(frozen=True, slots=True)
class Database:
    """``read`` sees one state for the length of a transaction; ``write`` holds the lock."""

    read: Engine
    write: Engine

    def close(self) -> None:
        """Give all connections back."""
        self.read.dispose()
        self.write.dispose()


def open_database(url: str | URL) -> Database:
    """Engines for ``sqlite:///path`` or ``postgresql+psycopg://…``. Nothing is created.

    ``sqlite://`` (in memory) has one connection for both, and lasts as long as it does.
    Raises ValueError for any other database.
    """
    parsed = make_url(url)
    backend = parsed.get_backend_name()
    if backend == "sqlite":
        return _open_sqlite(parsed)
    if backend == "postgresql":
        return _open_postgresql(parsed)
    raise ValueError(f"{backend} is not supported: use sqlite or postgresql+psycopg")


def _open_sqlite(url: URL) -> Database:
    if url.database in (None, "", ":memory:"):
        only = create_engine(url, poolclass=StaticPool, connect_args={"check_same_thread": False})
        _prepare_sqlite(only, "BEGIN IMMEDIATE", ())
        return Database(read=only, write=only)
    write, read = create_engine(url), create_engine(url)
    _prepare_sqlite(write, "BEGIN IMMEDIATE", ())
    _prepare_sqlite(read, "BEGIN DEFERRED", ("PRAGMA query_only = ON",))
    return Database(read=read, write=write)


def _prepare_sqlite(engine: Engine, begin: str, more: tuple[str, ...]) -> None:
    @event.listens_for(engine, "connect")
    def connected(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
        # The driver is to start no transactions of its own: ours are begun below.
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in (*_PRAGMAS, *more):
            cursor.execute(pragma)
        cursor.close()

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        connection.exec_driver_sql(begin)


def _open_postgresql(url: URL) -> Database:
    if url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    write = create_engine(url, pool_pre_ping=True)
    read = write.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
    return Database(read=read, write=write)


def lock_for_writing(connection: Connection, key: int) -> None:
    """Let one transaction at a time past this point, until it ends.

    SQLite's writing transactions are alone already; on PostgreSQL ``key`` names the lock.
    """
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(%s)", (key,))
