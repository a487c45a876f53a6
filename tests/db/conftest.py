"""Databases for tests: every test that asks for one runs on SQLite and on PostgreSQL."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import create_engine, make_url

from db import Database, migrate, open_database

POSTGRES_VARIABLE = "ONCE_APART_TEST_POSTGRES"


def _postgres_address() -> str:
    """The address to use. Without one the test is skipped, but never where CI is set."""
    address = os.environ.get(POSTGRES_VARIABLE)
    if address:
        return address
    missing = f"{POSTGRES_VARIABLE} is not set: no PostgreSQL server to test on"
    if os.environ.get("CI") == "true":
        pytest.fail(missing)
    pytest.skip(missing)


@contextmanager
def _own_schema(address: str) -> Iterator[str]:
    """A schema that is there for one test only, as the address of a database of its own."""
    schema = f"test_{uuid4().hex}"
    admin = create_engine(address, isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"CREATE SCHEMA {schema}")
    try:
        url = make_url(address).update_query_dict({"options": f"-csearch_path={schema}"})
        yield url.render_as_string(hide_password=False)
    finally:
        with admin.connect() as connection:
            connection.exec_driver_sql(f"DROP SCHEMA {schema} CASCADE")
        admin.dispose()


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a database without tables."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'editions.db'}"
    else:
        with _own_schema(_postgres_address()) as url:
            yield url


@pytest.fixture
def url(empty_url: str) -> str:
    """The address of a database with its tables and nothing in them."""
    migrate(empty_url)
    return empty_url


@pytest.fixture
def database(url: str) -> Iterator[Database]:
    """An open database with its tables and nothing in them."""
    opened = open_database(url)
    yield opened
    opened.close()
