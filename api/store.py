"""Between the catalog's keeping places (folder, database) and the service."""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from sqlalchemy import make_url
from sqlalchemy.exc import ArgumentError, SQLAlchemyError

from api.editions import NoEdition, OpenEdition
from api.service import BuildEngine, Service
from db import (
    Database,
    EditionRef,
    NoEditionError,
    edition_in_force,
    list_editions,
    load_edition,
    migrate,
    open_database,
    read_checked,
    store_edition,
    write_folder,
)
from rules.compiled import compile_catalog
from rules.faults import Fault
from rules.folder import write_catalog


class NoDatabase(ValueError):
    """The address is no database that is supported, or it cannot be reached."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """``known``: the very same catalog was there already. ``warnings``: what is odd in it.
    ``cases``: how many examples it holds."""

    edition: EditionRef
    known: bool
    warnings: tuple[Fault, ...] = ()
    cases: int = 0

    @property
    def sentence(self) -> str:
        stored = "was there already" if self.known else "stored"
        force = "in force" if self.edition.in_force else "not in force"
        return f"{self.edition.name}: edition {self.edition.label} {stored}, {force}."


def load_folder(url: str, folder: Path, *, publish: bool) -> Loaded:
    """Read, check and keep a catalog folder, whole or not at all; make the database if need be.

    Raises Faulty (the folder) and NoDatabase.
    """
    compiled, warnings = read_checked(folder)
    _make_room(url)
    try:
        migrate(url)
        database = open_database(url)
        try:
            before = {edition.digest for edition in list_editions(database)}
            now = datetime.now(UTC)
            stored = store_edition(database, compiled.catalog, now=now, publish=publish)
        finally:
            database.close()
    except SQLAlchemyError as error:
        raise NoDatabase(unreachable(url, error)) from error
    cases = len(compiled.catalog.cases)
    return Loaded(stored, known=stored.digest in before, warnings=warnings, cases=cases)


def standing_edition(url: str) -> EditionRef | None:
    """The edition in force, asked after the tables are brought up to date; None: there is none.

    A database that is not there is not made. Raises NoDatabase.
    """
    file = _file_of(url)
    if file is not None and not file.exists():
        return None
    try:
        migrate(url)
        database = open_database(url)
        try:
            return edition_in_force(database)
        finally:
            database.close()
    except SQLAlchemyError as error:
        raise NoDatabase(unreachable(url, error)) from error


def export_edition(url: str, folder: Path) -> tuple[str, int]:
    """Write the edition in force as a folder. Returns its label and the number of files.

    Raises NoEdition and NoDatabase.
    """
    database = _open(url)
    try:
        edition, catalog = load_edition(database)
    except NoEditionError as error:
        raise NoEdition("No catalog is published.") from error
    except SQLAlchemyError as error:
        raise NoEdition(unreachable(url, error)) from error
    finally:
        database.close()
    files = write_catalog(catalog)
    write_folder(folder, files)
    return edition.label, len(files)


class DatabaseEditions:
    """The edition in force, kept in memory until another is published."""

    def __init__(self, url: str) -> None:
        self._url = url
        self._database = _open(url)
        self._lock = threading.Lock()
        self._held: OpenEdition | None = None

    def current(self) -> OpenEdition:
        """One small query each time, so that a publication counts at once everywhere.

        Raises NoEdition.
        """
        try:
            latest = edition_in_force(self._database)
        except SQLAlchemyError as error:
            raise NoEdition(unreachable(self._url, error)) from error
        if latest is None:
            raise NoEdition("No catalog is published.")
        with self._lock:
            if self._held is None or self._held.digest != latest.digest:
                self._held = self._opened(latest)
            return self._held

    def close(self) -> None:
        """Give the connections back."""
        self._database.close()

    def _opened(self, latest: EditionRef) -> OpenEdition:
        edition, catalog = load_edition(self._database, latest.number)
        opened = OpenEdition(
            edition=edition.label, digest=edition.digest, compiled=compile_catalog(catalog)
        )
        set_aside_what_stays()
        return opened


def set_aside_what_stays() -> None:
    """Keep the garbage collector from walking a whole catalog in the middle of an answer.

    What an older edition left behind is collected first, then all that lives is set aside. An
    answer makes some ten thousand objects, nearly all freed by counting, so the collector may
    look less often.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


def open_service(url: str, engine: BuildEngine, clock: Callable[[], date] = date.today) -> Service:
    """A service over the database at ``url``. Raises NoDatabase."""
    return Service(editions=DatabaseEditions(url), engine=engine, clock=clock)


def unreachable(url: str, error: SQLAlchemyError) -> str:
    """Which database, without its password, and what the driver says, in one line."""
    cause = str(getattr(error, "orig", None) or error).strip().splitlines()[:1]
    return f"The database {_shown(url)} cannot be read: {' '.join(cause)}."


def _open(url: str) -> Database:
    """Opened, but not made: asking a database that is not there must leave no file behind."""
    file = _file_of(url)
    if file is not None and not file.exists():
        raise NoDatabase(f"There is no database {file}. Make one: once-apart load FOLDER.")
    return open_database(url)


def _make_room(url: str) -> None:
    file = _file_of(url)
    if file is not None:
        file.parent.mkdir(parents=True, exist_ok=True)


def _file_of(url: str) -> Path | None:
    """The file of a SQLite address. Raises NoDatabase for what is no address of ours."""
    try:
        parsed = make_url(url)
    except ArgumentError:
        raise NoDatabase(
            "The database's address cannot be read. Write sqlite:///PATH or"
            " postgresql+psycopg://USER@HOST/NAME."
        ) from None
    if parsed.get_backend_name() not in ("sqlite", "postgresql"):
        raise NoDatabase(f"{parsed.drivername} is not supported. Use sqlite or postgresql+psycopg.")
    in_file = parsed.get_backend_name() == "sqlite" and parsed.database not in (None, ":memory:")
    return Path(parsed.database) if in_file and parsed.database else None


def _shown(url: str) -> str:
    return make_url(url).render_as_string(hide_password=True)
