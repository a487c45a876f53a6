"""One application over the small catalog for the tests that only read."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.api.harness import Client, client, service


@pytest.fixture(scope="session")
def web() -> Iterator[Client]:
    with client(service()) as asked:
        yield asked
