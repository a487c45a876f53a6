"""A catalog folder to a catalog: all of it, or every fault."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Final, TypeVar

from rules.catalog import Case, Catalog, Job, Operation, Part, Rule, Step
from rules.catalog_faults import expression_faults, reference_faults
from rules.catalog_faults.names import Known
from rules.catalog_faults.places import Places
from rules.catalog_faults.wording import nearest, quoted
from rules.faults import Faulty
from rules.folder.plain_text import plain_text
from rules.folder.read_settings import MOST_CURRENCY_DECIMALS, Settings, read_settings
from rules.folder.read_sold import (
    KIT_COLUMNS,
    KIT_CONTENT_COLUMNS,
    SUPERSESSION_COLUMNS,
    TOOL_COLUMNS,
    factory_columns,
    fitment_columns,
    part_columns,
    read_factory_part,
    read_fitment,
    read_kits,
    read_part,
    read_supersession,
    read_tool,
    read_vehicle,
    vehicle_columns,
)
from rules.folder.read_work import read_cases_file, read_rules_file, read_work_file
from rules.folder.records import Record
from rules.folder.report import Report
from rules.folder.tables import Columns, Row, read_table
from rules.folder.yaml_text import parse_yaml

T = TypeVar("T")

SETTINGS_FILE: Final = "catalog.yaml"
TABLES: Final = (
    "vehicles.csv",
    "factory_parts.csv",
    "fitment.csv",
    "supersessions.csv",
    "kits.csv",
    "kit_contents.csv",
    "tools.csv",
)
_STEMS: Final = {file.partition(".")[0]: file for file in (SETTINGS_FILE, *TABLES)}
_IN_FOLDER: Final = re.compile(r"(parts)/([^/]+)\.csv|(work|rules|cases)/([^/]+)\.yaml")
FILE_NAME: Final = re.compile(r"[a-z0-9]+([_-][a-z0-9]+)*")
"""Names of files under work, rules and cases, so that they are the same on every disk."""


def read_catalog(files: Mapping[str, str]) -> Catalog:
    """Read a catalog folder: relative path (``parts/camshaft.csv``) to text.

    Raises Faulty with every fault found. When a file cannot be taken apart at all (bad
    YAML, a missing column), references are not checked until that is mended; when it is
    ``catalog.yaml``, tables are not read either.
    """
    return read_located(files)[0]


def read_located(files: Mapping[str, str]) -> tuple[Catalog, Places]:
    """As ``read_catalog``, with the places of its table rows in these files."""
    report = Report()
    read = _Reading(files, report).catalog()
    if report.faults or read is None:
        raise Faulty(report.faults)
    return read


class _Reading:
    """One run over the files of a folder."""

    def __init__(self, files: Mapping[str, str], report: Report) -> None:
        self._report = report
        self._check_names(files)
        plain = {path: plain_text(path, text, report) for path, text in sorted(files.items())}
        self._texts = {path: text for path, text in plain.items() if text is not None}
        self._trees = dict(self._parsed())
        self._there = set(files)

    def _check_names(self, files: Mapping[str, str]) -> None:
        for path in sorted(files):
            inside = _IN_FOLDER.fullmatch(path)
            if path == SETTINGS_FILE or path in TABLES:
                continue
            if inside is None:
                self._unknown_file(path)
            elif inside[3] and not FILE_NAME.fullmatch(inside[4]):
                self._report.add(
                    path,
                    f"the file name {quoted(inside[4])} is not plain",
                    "Use lower-case letters, digits, _ and -.",
                )

    def _unknown_file(self, path: str) -> None:
        if path.endswith(".yml"):
            mend = f"Call it {path.removesuffix('.yml')}.yaml."
        elif near := nearest(path.partition(".")[0], _STEMS):
            mend = f"Did you mean {_STEMS[near]}?"
        else:
            mend = "Put it under parts, work, rules or cases, or take it out of the folder."
        self._report.add(path, "a catalog has no such file", mend)

    def _parsed(self) -> Iterator[tuple[str, Record]]:
        for path, text in self._texts.items():
            if not path.endswith(".yaml"):
                continue
            read, value = parse_yaml(path, text, self._report)
            if isinstance(value, dict):
                yield path, Record(path, "", value, self._report)
            elif read and value is not None:
                self._report.add_break(path, "the file is not a record", "Write names and values.")
            elif read and path == SETTINGS_FILE:
                yield path, Record(path, "", {}, self._report)

    def catalog(self) -> tuple[Catalog, Places] | None:
        """The catalog, placeholders in it where something could not be read, and its rows."""
        record = self._trees.get(SETTINGS_FILE)
        if record is None:
            if SETTINGS_FILE not in self._there:
                self._report.add(SETTINGS_FILE, "the file is missing", "Write catalog.yaml.")
            return None
        settings = read_settings(record)
        catalog, places = self._assembled(settings)
        if not self._report.broken:
            self._report.add_new([*self._strays, *reference_faults(catalog, places)])
        if not self._report.broken and not self._report.touches(SETTINGS_FILE):
            self._report.add_new(expression_faults(catalog))
        return catalog, places

    def _assembled(self, settings: Settings) -> tuple[Catalog, Places]:
        facts = settings.facts
        decimals = min(max(settings.currency_exponent, 0), MOST_CURRENCY_DECIMALS)
        vehicles = self._table("vehicles.csv", vehicle_columns(facts))
        factory_parts = self._table("factory_parts.csv", factory_columns(facts))
        parts, part_rows = self._parts(settings, decimals)
        fitment = self._table("fitment.csv", fitment_columns(facts))
        supersessions = self._table("supersessions.csv", SUPERSESSION_COLUMNS)
        tools = self._table("tools.csv", TOOL_COLUMNS)
        kits = read_kits(
            self._table("kits.csv", KIT_COLUMNS),
            self._table("kit_contents.csv", KIT_CONTENT_COLUMNS),
            decimals,
        )
        self._strays = kits.strays
        steps, operations, jobs = self._work(decimals)
        catalog = Catalog(
            name=settings.name,
            shop=settings.shop,
            currency=settings.currency,
            currency_exponent=settings.currency_exponent,
            policy=settings.policy,
            facts=facts,
            layers=settings.layers,
            part_types=settings.part_types,
            tax_classes=settings.tax_classes,
            consumables=settings.consumables,
            figures=settings.figures,
            vehicles=tuple(read_vehicle(row, facts) for row in vehicles),
            factory_parts=tuple(read_factory_part(row, facts) for row in factory_parts),
            parts=tuple(parts),
            fitment=tuple(read_fitment(row, facts) for row in fitment),
            supersessions=tuple(read_supersession(row) for row in supersessions),
            kits=tuple(kits.kits),
            tools=tuple(read_tool(row, decimals) for row in tools),
            steps=steps,
            operations=operations,
            jobs=jobs,
            rules=self._rules(),
            cases=self._cases(),
        )
        places = Places(
            vehicles=_wheres(vehicles),
            factory_parts=_wheres(factory_parts),
            parts=part_rows,
            fitment=_wheres(fitment),
            supersessions=_wheres(supersessions),
            kits=kits.rows,
            kit_contents=kits.content_rows,
            tools=_wheres(tools),
        )
        return catalog, places

    def _table(self, file: str, columns: Columns) -> list[Row]:
        text = self._texts.get(file)
        return [] if text is None else read_table(file, text, columns, self._report)

    def _parts(self, settings: Settings, decimals: int) -> tuple[list[Part], list[str]]:
        parts: list[Part] = []
        places: list[str] = []
        types = {part_type.id: part_type for part_type in reversed(settings.part_types)}
        for name in dict.fromkeys(part_type.id for part_type in settings.part_types):
            rows = self._table(f"parts/{name}.csv", part_columns(types[name]))
            parts.extend(read_part(row, types[name], decimals) for row in rows)
            places.extend(_wheres(rows))
        self._refuse_unknown_types(types)
        return parts, places

    def _refuse_unknown_types(self, types: Collection[str]) -> None:
        known = Known("part type", types, f"Declare it in {SETTINGS_FILE}.")
        for path in self._texts:
            inside = _IN_FOLDER.fullmatch(path)
            if inside and inside[1] and inside[2] not in types:
                self._report.add_break(path, *known.unknown(inside[2]))

    def _under(self, folder: str) -> Iterator[tuple[Record, str]]:
        for path, record in sorted(self._trees.items()):
            if path.startswith(f"{folder}/"):
                yield record, path.removeprefix(f"{folder}/").removesuffix(".yaml")

    def _work(
        self, decimals: int
    ) -> tuple[tuple[Step, ...], tuple[Operation, ...], tuple[Job, ...]]:
        read = [read_work_file(record, file, decimals) for record, file in self._under("work")]
        return (
            tuple(step for steps, _, _ in read for step in steps),
            tuple(operation for _, operations, _ in read for operation in operations),
            tuple(job for _, _, jobs in read for job in jobs),
        )

    def _rules(self) -> tuple[Rule, ...]:
        return self._all("rules", read_rules_file)

    def _cases(self) -> tuple[Case, ...]:
        return self._all("cases", read_cases_file)

    def _all(self, folder: str, reader: Callable[[Record, str], tuple[T, ...]]) -> tuple[T, ...]:
        return tuple(one for record, file in self._under(folder) for one in reader(record, file))


def _wheres(rows: list[Row]) -> list[str]:
    return [row.where for row in rows]
