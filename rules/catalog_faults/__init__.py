"""What is wrong with a catalog as a whole, wherever it came from.

``reference_faults`` looks at names, numbers and references, ``expression_faults`` at the
expressions one by one. Whether rules make sense on the machines of the catalog (never fire,
bind nothing) is asked afterwards, by ``rules.rule_checks``.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from rules.catalog import Catalog
from rules.catalog_faults.definitions import settings_faults
from rules.catalog_faults.expressions import expression_faults
from rules.catalog_faults.factory import factory_faults
from rules.catalog_faults.places import Places, canonical_places
from rules.catalog_faults.sold import sold_faults
from rules.catalog_faults.stated import stated_faults
from rules.catalog_faults.work import work_faults
from rules.faults import Fault

__all__ = ["Places", "check_catalog", "expression_faults", "reference_faults"]


def reference_faults(catalog: Catalog, places: Places | None = None) -> Iterator[Fault]:
    """Everything but expressions. ``places``: where the table rows are written; by default
    where the canonical form of the folder has them."""
    at = canonical_places(catalog) if places is None else places
    return chain(
        settings_faults(catalog),
        sold_faults(catalog, at),
        factory_faults(catalog, at),
        work_faults(catalog),
        stated_faults(catalog),
    )


def check_catalog(catalog: Catalog) -> tuple[Fault, ...]:
    """Every fault of a catalog that is not from a folder, or that was changed since."""
    return (*reference_faults(catalog), *expression_faults(catalog))
