"""Editions are numbered, found again, put in force, and come back as they went in."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given, settings

from db import (
    Database,
    NoEditionError,
    edition_in_force,
    list_editions,
    load_edition,
    publish_edition,
    store_edition,
)
from rules.catalog import Catalog
from rules.faults import Fault, Faulty
from rules.folder import canonical, digest_of, read_catalog, write_catalog
from tests.db.catalogs import MORNING, SMALL, small_named
from tests.folder.generated import catalogs
from tests.folder.small_folder import SMALL_FOLDER
from tests.folder.test_round_trip import SEED_FOLDER, exactly


def test_a_stored_edition_comes_back_exactly(database: Database) -> None:
    stored = store_edition(database, SMALL, now=MORNING)
    found, catalog = load_edition(database, stored.number)
    assert found == stored
    assert exactly(catalog) == exactly(SMALL)
    assert write_catalog(catalog) == SMALL_FOLDER


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(catalog=catalogs())
def test_any_catalog_comes_back_exactly(database: Database, catalog: Catalog) -> None:
    stored = store_edition(database, catalog, now=MORNING)
    _, found = load_edition(database, stored.number)
    assert exactly(found) == exactly(canonical(catalog))
    assert digest_of(write_catalog(found)) == stored.digest


def test_the_seed_catalog_comes_back_exactly(database: Database) -> None:
    seed = read_catalog(
        {
            file.relative_to(SEED_FOLDER).as_posix(): file.read_text(encoding="utf-8")
            for file in SEED_FOLDER.rglob("*")
            if file.suffix in (".csv", ".yaml")
        }
    )
    stored = store_edition(database, seed, now=MORNING)
    assert exactly(load_edition(database, stored.number)[1]) == exactly(seed)


def test_editions_are_numbered_from_one(database: Database) -> None:
    first = store_edition(database, SMALL, now=MORNING)
    second = store_edition(database, small_named("Other"), now=MORNING)
    assert (first.number, second.number) == (1, 2)
    assert [edition.number for edition in list_editions(database)] == [2, 1]
    assert list_editions(database)[0].name == "Other"


def test_the_label_shows_number_and_digest(database: Database) -> None:
    stored = store_edition(database, SMALL, now=MORNING)
    assert stored.digest == digest_of(SMALL_FOLDER)
    assert stored.label == f"1 ({stored.digest[:12]})"


def test_the_same_catalog_is_found_again(database: Database) -> None:
    first = store_edition(database, SMALL, now=MORNING)
    again = store_edition(database, SMALL, now=MORNING + timedelta(days=1))
    assert again == first
    assert list_editions(database) == (first,)


def test_nothing_is_in_force_before_publishing(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING)
    assert edition_in_force(database) is None
    with pytest.raises(NoEditionError):
        load_edition(database)


def test_publishing_puts_an_edition_in_force(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING)
    store_edition(database, small_named("Other"), now=MORNING)
    published = publish_edition(database, 1)
    assert published.published
    assert edition_in_force(database) == published
    assert load_edition(database)[1].name == "Small catalog"


def test_the_last_published_is_in_force_whatever_its_number(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING, publish=True)
    store_edition(database, small_named("Other"), now=MORNING, publish=True)
    assert load_edition(database)[1].name == "Other"
    assert [edition.in_force for edition in list_editions(database)] == [True, False]
    publish_edition(database, 1)
    assert [edition.in_force for edition in list_editions(database)] == [False, True]
    assert all(edition.published for edition in list_editions(database))
    assert load_edition(database)[1].name == "Small catalog"
    publish_edition(database, 1)
    assert load_edition(database)[1].name == "Small catalog"


def test_storing_again_can_put_back_in_force(database: Database) -> None:
    store_edition(database, SMALL, now=MORNING, publish=True)
    store_edition(database, small_named("Other"), now=MORNING, publish=True)
    back = store_edition(database, SMALL, now=MORNING, publish=True)
    assert (back.number, edition_in_force(database)) == (1, back)


@pytest.mark.parametrize("number", [1, 0, -1])
def test_an_edition_that_is_not_there(database: Database, number: int) -> None:
    with pytest.raises(NoEditionError, match=f"no edition {number}"):
        load_edition(database, number)
    with pytest.raises(NoEditionError, match=f"no edition {number}"):
        publish_edition(database, number)


def test_the_moment_is_kept_to_the_microsecond_in_utc(database: Database) -> None:
    there = datetime(2026, 3, 2, 9, 30, 15, 250_000, tzinfo=timezone(timedelta(hours=1)))
    stored = store_edition(database, SMALL, now=there)
    assert stored.created_at == there
    assert stored.created_at.utcoffset() == timedelta(0)
    assert list_editions(database)[0].created_at == MORNING


def test_a_moment_without_offset_is_refused(database: Database) -> None:
    with pytest.raises(Exception, match="without its offset"):
        store_edition(database, SMALL, now=MORNING.replace(tzinfo=None))
    assert list_editions(database) == ()


def test_a_catalog_with_faults_is_refused(database: Database) -> None:
    broken = replace(SMALL, operations=SMALL.operations[:1])
    with pytest.raises(Faulty) as refused:
        store_edition(database, broken, now=MORNING)
    assert [fault.where for fault in refused.value.faults] == ["catalog.yaml:part_types.oil:id"]
    assert list_editions(database) == ()


def test_a_catalog_that_a_folder_could_not_hold_is_refused(database: Database) -> None:
    """Reading trims texts, so this one would be another after an export."""
    padded = replace(SMALL, tools=(replace(SMALL.tools[0], title=" Cam puller"),))
    with pytest.raises(Faulty) as refused:
        store_edition(database, padded, now=MORNING)
    assert refused.value.faults == (
        Fault(
            "tools",
            "holds a value that the catalog folder cannot hold as it is",
            "Trim the texts, and write them as a folder would give them.",
        ),
    )


def test_records_out_of_order_are_the_same_edition(database: Database) -> None:
    first = store_edition(database, SMALL, now=MORNING)
    turned = replace(SMALL, parts=(*SMALL.parts[3:], *SMALL.parts[:3]))
    assert store_edition(database, turned, now=MORNING) == first
