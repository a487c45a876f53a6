"""The edition in force, on SQLite and on PostgreSQL: found at once, kept, lost and found."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from api.editions import NoEdition
from api.store import DatabaseEditions, export_edition, load_folder
from db import migrate, publish_edition, write_folder
from db.database import open_database
from tests.db.conftest import empty_url  # noqa: F401 - a fixture
from tests.folder.small_folder import SMALL_FOLDER


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_folder(tmp_path / "small", SMALL_FOLDER)
    return tmp_path / "small"


def rename(folder: Path, name: str) -> None:
    file = folder / "catalog.yaml"
    file.write_text(file.read_text("utf-8").replace("Small catalog", name), encoding="utf-8")


def test_the_edition_in_force_is_served_and_kept(empty_url: str, folder: Path) -> None:  # noqa: F811
    loaded = load_folder(empty_url, folder, publish=True)
    with closing(DatabaseEditions(empty_url)) as editions:
        current = editions.current()
        assert editions.current() is current
    assert (current.edition, current.digest) == (loaded.edition.label, loaded.edition.digest)


def test_a_publication_counts_at_once_and_can_be_taken_back(
    empty_url: str,  # noqa: F811
    folder: Path,
) -> None:
    load_folder(empty_url, folder, publish=True)
    with closing(DatabaseEditions(empty_url)) as editions:
        assert editions.current().catalog.name == "Small catalog"
        rename(folder, "Second catalog")
        load_folder(empty_url, folder, publish=True)
        assert editions.current().catalog.name == "Second catalog"
        with closing(open_database(empty_url)) as database:
            publish_edition(database, 1)
        assert editions.current().catalog.name == "Small catalog"


def test_what_was_loaded_comes_out_again(empty_url: str, folder: Path, tmp_path: Path) -> None:  # noqa: F811
    loaded = load_folder(empty_url, folder, publish=True)
    label, count = export_edition(empty_url, tmp_path / "out")
    assert (label, count) == (loaded.edition.label, len(list((tmp_path / "out").rglob("*.*"))))
    again = load_folder(empty_url, tmp_path / "out", publish=True)
    assert (again.known, again.edition.number) == (True, 1)


def test_a_database_without_tables_or_without_publication_has_no_edition(
    empty_url: str,  # noqa: F811
    folder: Path,
) -> None:
    if empty_url.startswith("sqlite"):
        Path(empty_url.removeprefix("sqlite:///")).touch()
    with closing(DatabaseEditions(empty_url)) as editions:
        with pytest.raises(NoEdition, match="cannot be read"):
            editions.current()
        migrate(empty_url)
        with pytest.raises(NoEdition, match="No catalog is published"):
            editions.current()
    load_folder(empty_url, folder, publish=False)
    with pytest.raises(NoEdition, match="No catalog is published"):
        export_edition(empty_url, folder.parent / "out")
