"""Where each record of a catalog is written, so that a fault can say it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rules.catalog import Case, Catalog, Job, Operation, Rule, Step

HEADER_ROWS = 1
"""Row 1 of every table is its header; the first record is in row 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """``file:row`` of each table record, in the order of the catalog's tuples.

    ``kit_contents`` runs through the kits in order, and through the contents of each.
    """

    vehicles: Sequence[str]
    factory_parts: Sequence[str]
    parts: Sequence[str]
    fitment: Sequence[str]
    supersessions: Sequence[str]
    kits: Sequence[str]
    kit_contents: Sequence[str]
    tools: Sequence[str]


def canonical_places(catalog: Catalog) -> Places:
    """The rows where the canonical form of the folder has the records."""
    contents = sum(len(kit.contents) for kit in catalog.kits)
    return Places(
        vehicles=_rows("vehicles.csv", len(catalog.vehicles)),
        factory_parts=_rows("factory_parts.csv", len(catalog.factory_parts)),
        parts=_part_rows(catalog),
        fitment=_rows("fitment.csv", len(catalog.fitment)),
        supersessions=_rows("supersessions.csv", len(catalog.supersessions)),
        kits=_rows("kits.csv", len(catalog.kits)),
        kit_contents=_rows("kit_contents.csv", contents),
        tools=_rows("tools.csv", len(catalog.tools)),
    )


def _rows(file: str, count: int) -> list[str]:
    return [f"{file}:{index + 1 + HEADER_ROWS}" for index in range(count)]


def _part_rows(catalog: Catalog) -> list[str]:
    last_row: Counter[str] = Counter()
    rows = []
    for part in catalog.parts:
        last_row[part.part_type] += 1
        rows.append(f"parts/{part.part_type}.csv:{last_row[part.part_type] + HEADER_ROWS}")
    return rows


def work_place(record: Step | Operation | Job) -> str:
    """``work/engine.yaml:cam_cover_off``"""
    return f"work/{record.file}.yaml:{record.id}"


def rule_place(rule: Rule) -> str:
    """``rules/valve_train.yaml:cam_lift_limit``"""
    return f"rules/{rule.file}.yaml:{rule.id}"


def case_place(case: Case) -> str:
    """``cases/cam_chest.yaml:cam_needs_springs``"""
    return f"cases/{case.file}.yaml:{case.id}"
