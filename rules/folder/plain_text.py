"""Text as it comes out of editors and spreadsheets, made plain before it is parsed."""

from __future__ import annotations

import re
from unicodedata import name as character_name
from unicodedata import normalize

from rules.folder.report import Report

LARGEST_FILE_CHARACTERS = 8_000_000
"""About 8 MB: forty thousand part rows. More than that in one file is a mistake."""

BYTE_ORDER_MARK = "\ufeff"

_REFUSED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff\ufffe\uffff]")
"""Control characters, line separators that editors do not show, lone surrogates, marks."""


def refused_character(text: str) -> str | None:
    """The first character that no text of a catalog may hold, named; None when all are fine."""
    found = _REFUSED.search(text)
    if found is None:
        return None
    code = ord(found.group())
    return f"U+{code:04X} {character_name(found.group(), 'control character')}"


def composed(text: str) -> str:
    """Unicode normalisation form C: ``e`` + accent and ``é`` become one spelling."""
    return normalize("NFC", text)


def plain_text(file: str, text: str, report: Report) -> str | None:
    """Drop a byte order mark, make line ends ``\\n``, compose accents; None when refused.

    Spreadsheets write a mark and ``\\r\\n`` unasked, so both are accepted.
    """
    if len(text) > LARGEST_FILE_CHARACTERS:
        report.add_break(
            file,
            f"the file has {len(text)} characters, more than {LARGEST_FILE_CHARACTERS}",
            "Split it, or take out what does not belong there.",
        )
        return None
    plain = text.removeprefix(BYTE_ORDER_MARK).replace("\r\n", "\n")
    if refused := refused_character(plain):
        line = plain.count("\n", 0, _first_refused(plain)) + 1
        report.add_break(f"{file}:{line}", f"holds the character {refused}", "Take it out.")
        return None
    return composed(plain)


def _first_refused(text: str) -> int:
    found = _REFUSED.search(text)
    return found.start() if found else 0
