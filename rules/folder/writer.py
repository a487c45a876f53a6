"""A catalog to the one canonical text of its folder.

Equal catalogs give equal bytes: the digest of an edition is taken over them. Empty files
and columns that no row uses are left out, and so is every value that is the default.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from operator import attrgetter
from typing import Final

from rules.catalog import (
    Catalog,
    Kit,
    Part,
    PartType,
    Rule,
    Step,
    Tool,
)
from rules.folder.cells import number_text, value_text
from rules.folder.conditions import condition_cells, used_columns
from rules.folder.read_sold import (
    FACTORY_COLUMNS,
    KIT_COLUMNS,
    KIT_CONTENT_COLUMNS,
    MODEL_YEAR,
    PART_COLUMNS,
    SUPERSESSION_COLUMNS,
    TOOL_COLUMNS,
    VEHICLE_COLUMNS,
)
from rules.folder.tables import write_table
from rules.folder.write_yaml_files import RULE_SECTIONS, write_yaml_files
from rules.money import decimal_text
from rules.values import Value
