"""The catalog edition at hand: compiled once, replaced when a newer one is published."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from rules.catalog import Catalog, PartKey
from rules.compiled import CompiledCatalog


class NoEdition(LookupError):
    """The database holds no published edition, or cannot be read."""


@dataclass(frozen=True)
class OpenEdition:
    """A published edition in memory. ``digest`` is the SHA-256 of its content."""

    edition: str
    digest: str
    compiled: CompiledCatalog

    @property
    def catalog(self) -> Catalog:
        return self.compiled.catalog

    @cached_property
    def replaces(self) -> dict[PartKey, list[PartKey]]:
        """The old numbers that each number stands for directly."""
        backwards: dict[PartKey, list[PartKey]] = {}
        for old, news in sorted(self.compiled.replaced_by.items()):
            for new in news:
                backwards.setdefault(new, []).append(old)
        return backwards


class Editions(Protocol):
    """Where the service gets the edition that is published now."""

    def current(self) -> OpenEdition:
        """Raises NoEdition."""
        ...

    def close(self) -> None:
        """Give back what is held open."""
        ...


@dataclass(frozen=True)
class FixedEdition:
    """One edition for good: a folder on the command line, a test."""

    edition: OpenEdition

    def current(self) -> OpenEdition:
        return self.edition

    def close(self) -> None:
        """Nothing is held open."""
