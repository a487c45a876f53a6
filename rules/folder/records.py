"""Records with named fields, read so that every fault names its field.

A reader asks for each field it knows; whatever was not asked for is unknown and reported
by ``close``. A field that cannot be read is reported and stands in as a placeholder, so
that reading goes on and later references to the record are not reported as unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from rules.catalog_faults.wording import nearest, quoted
from rules.folder.cells import UnreadableError
from rules.folder.report import Report

T = TypeVar("T")
A = TypeVar("A")


class Record:
    """A YAML mapping at ``file`` and ``path`` (its id, or the names that lead to it)."""

    def __init__(
        self, file: str, path: str, values: Mapping[str, object], report: Report, own: str = ""
    ) -> None:
        self.file = file
        self.path = path
        self._own = own
        self._values = values
        self._report = report
        self._asked: list[str] = []

    def where(self, field: str) -> str:
        return f"{self.file}:{self.path}:{field}" if self.path else f"{self.file}:{field}"

    def fault(self, field: str, problem: str, mend: str) -> None:
        self._report.add(self.where(field), problem, mend)

    def has(self, field: str) -> bool:
        return self._values.get(field) is not None

    def read(self, field: str, reader: Callable[[object], T], absent: A) -> T | A:
        """The field's value; ``absent`` when it is not there, is null or is unreadable."""
        self._asked.append(field)
        value = self._values.get(field)
        if value is None:
            return absent
        try:
            return reader(value)
        except UnreadableError as error:
            for problem, mend in error.faults:
                self.fault(field, problem, mend)
            return absent

    def need(self, field: str, reader: Callable[[object], T], placeholder: A) -> T | A:
        """Like ``read``, for a field that must be there."""
        if not self.has(field):
            self.fault(field, f"{quoted(field)} is missing", f"Write {field}.")
        return self.read(field, reader, placeholder)

    def child(self, field: str) -> Record | None:
        """The mapping under ``field``; None when absent or not a mapping (reported)."""
        values = self.read(field, _read_mapping, None)
        path = f"{self.path}.{field}".removeprefix(".")
        return None if values is None else Record(self.file, path, values, self._report)

    def empty_child(self, field: str) -> Record:
        """A record without fields in place of one that is not there: each is missed by name."""
        return Record(self.file, f"{self.path}.{field}".removeprefix("."), {}, self._report)

    def name(self, field: str) -> str:
        """The name the record goes by: its own, or its position when it has none (reported)."""
        return self.need(field, _read_name, self._own)

    def children(self, field: str, *, key: str = "id", under: str | None = None) -> list[Record]:
        """The list of mappings under ``field``, each with the path ``under.<its key>``."""
        prefix = under if under is not None else f"{self.path}.{field}"
        records = []
        for index, item in enumerate(self._list(field), start=1):
            if isinstance(item, dict):
                name = item.get(key)
                position = f"{field}.{index}" if under == "" else str(index)
                own = name.strip() if isinstance(name, str) and name.strip() else position
                path = f"{prefix}.{own}".removeprefix(".")
                records.append(Record(self.file, path, item, self._report, own))
            else:
                self._report.add_break(
                    self.where(f"{field}.{index}"),
                    f"{quoted(item)} is not a record",
                    f"Write it as {{{key}: ..., ...}}.",
                )
        return records

    def _list(self, field: str) -> list[object]:
        self._asked.append(field)
        value = self._values.get(field)
        if value is not None and not isinstance(value, list):
            self._report.add_break(
                self.where(field), f"{quoted(value)} is not a list", "Write a list of records."
            )
        return value if isinstance(value, list) else []

    def close(self) -> None:
        """Report the fields that nobody asked for. At the top of a file they are sections,
        and what is in them was not read."""
        add = self._report.add if self.path else self._report.add_break
        for field in self._values:
            if field not in self._asked:
                near = nearest(field, self._asked)
                hint = f"Did you mean {quoted(near)}? " if near else ""
                add(
                    self.where(field),
                    f"unknown field {quoted(field)}",
                    f"{hint}Known here: {', '.join(self._asked)}.",
                )


def _read_name(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise UnreadableError(f"{quoted(value)} is not a name", "Write a word in lower case.")
    return value.strip()


def _read_mapping(value: object) -> dict[str, object]:
    if not isinstance(value, dict):
        raise UnreadableError(f"{quoted(value)} is not a record", "Write names and values.")
    return value
