"""Editions: catalogs handed in, kept unchanged, and put in force by publishing."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Row, Select, func, insert, select, update
from sqlalchemy.orm import aliased

from db.database import Database, lock_for_writing
from db.loading import load_catalog
from db.models import Edition
from db.rows import catalog_rows
from rules.catalog import Catalog
from rules.faults import Fault, Faulty
from rules.folder import canonical, digest_of, read_catalog, write_catalog

EDITION_LOCK: Final = 0x0A9A_0002
"""Name of the lock under which editions are numbered and published."""

LABEL_CHARACTERS: Final = 12
"""Digits of the digest that are shown: 48 bits tell any two editions of a shop apart."""


class NoEditionError(LookupError):
    """There is no edition of that number, or none is published."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionRef:
    """Which edition it is. ``digest``: SHA-256 in hex of the canonical folder.

    ``published``: it is or was in force; ``in_force``: answers are made from it now.
    """

    number: int
    name: str
    digest: str
    created_at: datetime
    published: bool
    in_force: bool

    @property
    def label(self) -> str:
        """As printed on answers: ``3 (a1b2c3d4e5f6)``."""
        return f"{self.number} ({self.digest[:LABEL_CHARACTERS]})"


def store_edition(
    database: Database, catalog: Catalog, *, now: datetime, publish: bool = False
) -> EditionRef:
    """Keep a catalog as the next edition, all of it or nothing, in one transaction.

    A catalog that is stored already is found again, not stored twice; ``publish`` then
    puts it in force. ``now`` needs an offset from UTC. Raises Faulty when the catalog has
    faults, or when it could not be exported and read back as it is.
    """
    files = write_catalog(catalog)
    tidy = read_catalog(files)
    _refuse_lossy(canonical(catalog), tidy)
    digest = digest_of(files)
    with database.write.begin() as connection:
        lock_for_writing(connection, EDITION_LOCK)
        found = _row(connection, Edition.digest == digest)
        if found is None:
            _insert(connection, tidy, digest, now)
        if publish:
            _publish(connection, digest)
        return _ref(_existing(connection, digest))


def _refuse_lossy(handed_in: Catalog, read_back: Catalog) -> None:
    """A text with blanks around it, say, would come back without them."""
    changed = [
        field.name
        for field in fields(Catalog)
        if getattr(handed_in, field.name) != getattr(read_back, field.name)
    ]
    if changed:
        raise Faulty(
            Fault(
                name,
                "holds a value that the catalog folder cannot hold as it is",
                "Trim the texts, and write them as a folder would give them.",
            )
            for name in changed
        )


def _insert(connection: Connection, catalog: Catalog, digest: str, now: datetime) -> None:
    number = connection.scalar(select(func.coalesce(func.max(Edition.number), 0) + 1))
    edition = insert(Edition).values(
        number=number, name=catalog.name, digest=digest, created_at=now, publication=None
    )
    edition_id = connection.execute(edition.returning(Edition.id)).scalar_one()
    for model, rows in catalog_rows(catalog):
        if rows:
            connection.execute(insert(model), [{"edition_id": edition_id, **row} for row in rows])


def publish_edition(database: Database, number: int) -> EditionRef:
    """Put an edition in force, in one step. An older one can be put back in force so.

    Raises NoEditionError.
    """
    with database.write.begin() as connection:
        lock_for_writing(connection, EDITION_LOCK)
        row = _row(connection, Edition.number == number)
        if row is None:
            raise NoEditionError(f"there is no edition {number}")
        _publish(connection, row.digest)
        return _ref(_existing(connection, row.digest))


def _publish(connection: Connection, digest: str) -> None:
    """Give the edition the highest publication, unless it has it already."""
    latest = connection.scalar(select(func.max(Edition.publication))) or 0
    row = _existing(connection, digest)
    if row.publication is None or row.publication < latest:
        connection.execute(
            update(Edition).where(Edition.digest == digest).values(publication=latest + 1)
        )


def load_edition(database: Database, number: int | None = None) -> tuple[EditionRef, Catalog]:
    """The edition of that number, or the one in force. Raises NoEditionError."""
    with database.read.begin() as connection:
        row = (
            _in_force(connection) if number is None else _row(connection, Edition.number == number)
        )
        if row is None:
            wanted = "no edition is published" if number is None else f"no edition {number}"
            raise NoEditionError(wanted)
        return _ref(row), load_catalog(connection, row.id)


def edition_in_force(database: Database) -> EditionRef | None:
    """Which edition answers are made from now; None: none is published."""
    with database.read.begin() as connection:
        row = _in_force(connection)
        return None if row is None else _ref(row)


def list_editions(database: Database) -> tuple[EditionRef, ...]:
    """All editions, the newest first."""
    with database.read.begin() as connection:
        rows = connection.execute(_editions().order_by(Edition.number.desc()))
        return tuple(map(_ref, rows))


def _editions() -> Select[Any]:
    """Every edition, and whether it is in force."""
    latest = select(func.max(aliased(Edition).publication)).scalar_subquery()
    return select(Edition.__table__, (Edition.publication == latest).label("in_force"))


def _in_force(connection: Connection) -> Row[Any] | None:
    query = _editions().where(Edition.publication.is_not(None))
    return connection.execute(query.order_by(Edition.publication.desc()).limit(1)).one_or_none()


def _row(connection: Connection, condition: ColumnElement[bool]) -> Row[Any] | None:
    return connection.execute(_editions().where(condition)).one_or_none()


def _existing(connection: Connection, digest: str) -> Row[Any]:
    return connection.execute(_editions().where(Edition.digest == digest)).one()


def _ref(row: Row[Any]) -> EditionRef:
    return EditionRef(
        number=row.number,
        name=row.name,
        digest=row.digest,
        created_at=row.created_at,
        published=row.publication is not None,
        in_force=bool(row.in_force),
    )
