"""Comma-separated tables to rows, with every fault at ``file:row:column``.

Rows count as a spreadsheet shows them: the header is row 1, a blank line is a row. Quoting
is that of RFC 4180. Cells are texts: one that looks like a formula is just a text.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from io import StringIO
from typing import TypeVar

from rules.catalog_faults.wording import nearest, quoted
from rules.folder.cells import UnreadableError, read_line
from rules.folder.report import Report

T = TypeVar("T")
B = TypeVar("B")

MOST_ROWS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """What the header of a table may hold. ``optional`` columns may be left out."""

    needed: Sequence[str]
    optional: Sequence[str] = field(default=())

    @property
    def known(self) -> list[str]:
        return [*self.needed, *self.optional]


class Row:
    """One row of a table. ``where`` is ``file:row``."""

    def __init__(self, where: str, cells: Mapping[str, str], report: Report) -> None:
        self.where = where
        self._cells = cells
        self._report = report

    def has(self, column: str) -> bool:
        """Whether the cell holds something."""
        return bool(self._cells.get(column))

    def fault(self, column: str, problem: str, mend: str) -> None:
        self._report.add(f"{self.where}:{column}", problem, mend)

    def read(self, column: str, reader: Callable[[str], T], blank: B) -> T | B:
        """The cell's value; ``blank`` when it is empty, not a column here, or unreadable."""
        text = self._cells.get(column, "")
        if not text:
            return blank
        try:
            return reader(text)
        except UnreadableError as error:
            for problem, mend in error.faults:
                self.fault(column, problem, mend)
            return blank

    def need(self, column: str, reader: Callable[[str], T], placeholder: B) -> T | B:
        """Like ``read``, for a cell that must not be empty."""
        if column in self._cells and not self.has(column):
            self.fault(column, "the cell is empty", f"Write {column}.")
        return self.read(column, reader, placeholder)

    def line(self, column: str) -> str:
        """A text on one line that must be there."""
        return self.need(column, read_line, "")


def read_table(file: str, text: str, columns: Columns, report: Report) -> list[Row]:
    """The rows of a table; faults of the header, of quoting and of row lengths are reported."""
    rows = _split(file, text, report)
    header = [cell.strip() for cell in rows[0]] if rows else []
    if not _header_stands(file, header, columns, report):
        return []
    return list(_rows(file, header, rows[1:], report))


def _split(file: str, text: str, report: Report) -> list[list[str]]:
    rows: list[list[str]] = []
    try:
        for row in csv.reader(StringIO(text, newline=""), strict=True):
            rows.append(row)
            if len(rows) > MOST_ROWS:
                report.add_break(file, f"more than {MOST_ROWS} rows", "Split the table.")
                break
    except csv.Error as error:
        report.add_break(
            f"{file}:{len(rows) + 1}",
            f"the row cannot be split into cells: {error}",
            'Put a cell with a quote or comma in quotes and double each quote inside: "a ""b""".',
        )
    return rows


def _header_stands(file: str, header: list[str], columns: Columns, report: Report) -> bool:
    where = f"{file}:1"
    if not any(header):
        report.add_break(where, "there is no header", f"Write {','.join(columns.needed)} in row 1.")
        return False
    if len(header) == 1 and (";" in header[0] or "\t" in header[0]):
        report.add_break(
            where,
            "the cells are not separated by commas",
            "Save the table as comma-separated values.",
        )
        return False
    known = columns.known
    for column, count in Counter(header).items():
        if column not in known:
            near = nearest(column, known)
            report.add(
                f"{where}:{column}",
                f"unknown column {quoted(column)}" if column else "a column without a name",
                (f"Did you mean {quoted(near)}? " if near else "")
                + f"Known here: {', '.join(known)}.",
            )
        elif count > 1:
            report.add_break(
                f"{where}:{column}",
                f"the column {quoted(column)} is there {count} times",
                "Keep one of them.",
            )
    for column in columns.needed:
        if column not in header:
            report.add_break(
                f"{where}:{column}", f"the column {quoted(column)} is missing", "Add the column."
            )
    return len(set(header)) == len(header)


def _rows(file: str, header: list[str], rows: list[list[str]], report: Report) -> Iterator[Row]:
    for number, row in enumerate(rows, start=2):
        cells = [cell.strip() for cell in row]
        if not any(cells):
            continue
        where = f"{file}:{number}"
        stands = len(cells) == len(header)
        if not stands:
            report.add(
                where,
                f"the row has {len(cells)} cells, the header {len(header)}",
                "Give every column a cell (empty ones too), and quote cells that hold a comma.",
            )
        # The first cells of a row of the wrong length still say what it is about.
        yield Row(where, dict(zip(header, cells, strict=stands)), report if stands else Report())


def write_table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """The table as text; quotes only where a cell needs them, ``\\n`` line ends."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()
