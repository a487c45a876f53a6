"""What the engines promise: locks, durability, and numbers kept bit for bit."""

from __future__ import annotations

import math
import struct
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import JSON, BigInteger, Column, Double, Integer, MetaData, Table, insert, select
from sqlalchemy.exc import DBAPIError

from db import Database, list_editions, open_database, publish_edition, store_edition
from tests.db.catalogs import MORNING, SMALL, small_named

THREADS = 6

KEPT = Table(
    "kept",
    MetaData(),
    Column("id", Integer, primary_key=True),
    Column("number", Double),
    Column("whole", BigInteger),
    Column("body", JSON),
)


@pytest.fixture
def keeping(database: Database) -> Callable[[dict[str, Any]], dict[str, Any]]:
    """Put values into a row and get them back through another connection."""
    KEPT.create(database.write)
    rows = iter(range(10**6))

    def keep(values: dict[str, Any]) -> dict[str, Any]:
        row = next(rows)
        with database.write.begin() as connection:
            connection.execute(insert(KEPT).values(id=row, **values))
        with database.read.begin() as connection:
            found = connection.execute(select(KEPT).where(KEPT.c.id == row)).mappings().one()
        return {name: found[name] for name in values}

    return keep


def bits(number: float) -> bytes:
    return struct.pack(">d", number)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    number=st.floats(allow_nan=False, allow_infinity=False).map(lambda number: number + 0.0),
    whole=st.integers(-(2**63), 2**63 - 1),
)
def test_numbers_are_kept_bit_for_bit(keeping: Any, number: float, whole: int) -> None:
    found = keeping({"number": number, "whole": whole, "body": [number, 2**53 - 1]})
    assert bits(found["number"]) == bits(number)
    assert found["whole"] == whole
    assert bits(found["body"][0]) == bits(number)
    assert found["body"][1] == 2**53 - 1


@pytest.mark.parametrize(
    "number",
    [0.1, 1 / 3, math.pi, 5e-324, 2.2250738585072014e-308, 1.7976931348623157e308, 1e23,
     9007199254740993.0, 123456789.123456789],
)  # fmt: skip
def test_doubles_at_the_edges(keeping: Any, number: float) -> None:
    """IEEE 754 binary64: the smallest, the smallest normal, the largest, hard decimals."""
    assert bits(keeping({"number": number})["number"]) == bits(number)


def test_the_reading_engine_cannot_write(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING)
    with pytest.raises(DBAPIError, match=r"(?i)read-?only"), database.read.begin() as connection:
        connection.exec_driver_sql("DELETE FROM editions")
    assert len(list_editions(database)) == 1


def test_a_reader_keeps_its_state_while_a_writer_commits(database: Database) -> None:
    with database.read.begin() as connection:
        query = "SELECT count(*) FROM editions"
        assert connection.exec_driver_sql(query).scalar_one() == 0
        store_edition(database, SMALL, now=MORNING)
        assert connection.exec_driver_sql(query).scalar_one() == 0
    assert len(list_editions(database)) == 1


def together(*calls: Callable[[], object]) -> list[object]:
    """Run the calls at one time, each in a thread of its own; errors are raised."""
    gate = threading.Barrier(len(calls))

    def run(call: Callable[[], object]) -> object:
        gate.wait()
        return call()

    with ThreadPoolExecutor(len(calls)) as pool:
        return list(pool.map(run, calls))


def test_the_same_catalog_stored_at_once_is_one_edition(database: Database) -> None:
    stored = together(*[lambda: store_edition(database, SMALL, now=MORNING)] * THREADS)
    assert len(set(stored)) == 1
    assert len(list_editions(database)) == 1


def test_catalogs_stored_at_once_get_numbers_of_their_own(database: Database) -> None:
    catalogs = [small_named(f"Catalog {index}") for index in range(THREADS)]
    together(*[
        lambda one=one: store_edition(database, one, now=MORNING, publish=True)
        for one in catalogs
    ])  # fmt: skip
    assert sorted(edition.number for edition in list_editions(database)) == [1, 2, 3, 4, 5, 6]
    assert {edition.name for edition in list_editions(database)} == {
        catalog.name for catalog in catalogs
    }


def test_publishing_at_once_leaves_one_in_force(database: Database) -> None:
    for index in range(THREADS):
        store_edition(database, small_named(f"Catalog {index}"), now=MORNING)
    together(*[
        lambda number=number: publish_edition(database, number)
        for number in range(1, THREADS + 1)
    ])  # fmt: skip
    with database.read.begin() as connection:
        publications = connection.exec_driver_sql(
            "SELECT publication FROM editions ORDER BY publication"
        ).scalars()
        assert list(publications) == [1, 2, 3, 4, 5, 6]


def test_sqlite_is_set_up_to_last(tmp_path: Any) -> None:
    database = open_database(f"sqlite:///{tmp_path / 'editions.db'}")
    for engine, query_only in ((database.write, 0), (database.read, 1)):
        with engine.connect() as connection:
            for pragma, expected in {
                "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1,
                "busy_timeout": 5000, "trusted_schema": 0, "query_only": query_only,
            }.items():  # fmt: skip
                found = connection.exec_driver_sql(f"PRAGMA {pragma}").scalar_one()
                assert (pragma, found) == (pragma, expected)
    database.close()


def test_sqlite_in_memory_is_one_connection() -> None:
    database = open_database("sqlite://")
    assert database.read is database.write
    database.close()


def test_other_databases_are_refused() -> None:
    with pytest.raises(ValueError, match="mysql is not supported"):
        open_database("mysql://host/name")
