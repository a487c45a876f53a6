"""A pasted list read line by line: a number, perhaps its brand, perhaps a quantity.

One line, one number. Blank lines are passed over, list marks (``-``, ``*``, ``3.``) dropped.
The quantity, 1 when none is given, is written ``x2``, ``2 x``, ``(2)``, ``qty 2``, ``2 pcs``
or plainly at the end, or stands in a cell of its own; cells end with a tab, a semicolon or a
comma. A brand of the catalog may stand before or behind the number or in a cell of its own.
What else stands there (a title) is passed over. Nothing is guessed: a line with two
quantities or none that is whole and above nil is not read, and its trouble says why.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Final

from rules.bundle.request import MOST_PACKS, BundleLine

LONGEST_NUMBER: Final = 100

_LINE_END: Final = re.compile(r"\r\n|\r|\n")
_LIST_MARK: Final = re.compile(r"^(?:[-*\u2022\u2013]\s+|[0-9]{1,3}[.)]\s+)")
_CELL_END: Final = re.compile(r"[\t;,]")
_TIMES: Final = "[x×*]"
_COUNT: Final = r"([+-]?[0-9]+(?:[.,][0-9]+)?)"
_UNITS: Final = r"(?:pcs?|pieces?|packs?|off)\.?"
_DECIMAL: Final = re.compile(
    rf"(?:^|\s)(?:{_TIMES}\s*([0-9]+[.,][0-9]+)|([0-9]+[.,][0-9]+)\s*{_TIMES})(?=\s|$)", re.I
)
_ALONE: Final = re.compile(
    rf"^(?:{_TIMES}|qty[:.]?|quantity[:.]?)?\s*{_COUNT}\s*(?:{_TIMES}|{_UNITS})?$", re.I
)
_BEFORE: Final = re.compile(rf"^(?:{_COUNT}\s*{_TIMES}|{_TIMES}\s*{_COUNT})\s+(?P<rest>.+)$", re.I)
_BEHIND: Final = tuple(
    re.compile(rf"^(?P<rest>.+?){pattern}$", re.I)
    for pattern in (
        rf"\s+{_TIMES}\s*{_COUNT}",
        rf"\s+{_COUNT}\s*(?:{_TIMES}|{_UNITS})",
        rf"\s*\(\s*{_TIMES}?\s*{_COUNT}\s*{_TIMES}?\s*\)",
        rf"\s+(?:qty|quantity)[:.]?\s*{_COUNT}",
        r"\s+([+-]?[0-9]{1,4})",
    )
)
_GLUED: Final = re.compile(r"^(?P<rest>.+?)[x×]([0-9]{1,4})$", re.I)


def read_paste(
    text: str, brands: Collection[str], numbers: Collection[str]
) -> tuple[BundleLine, ...]:
    """The lines of ``text`` that are not blank. ``numbers``: known ones, in capitals."""
    reader = _Reader({brand.casefold(): brand for brand in brands}, frozenset(numbers))
    lines = enumerate(_LINE_END.split(text), start=1)
    return tuple(reader.line(at, line) for at, line in lines if line.strip())


def count_lines(text: str) -> int:
    """Lines of ``text`` that are not blank."""
    return sum(1 for line in _LINE_END.split(text) if line.strip())


@dataclass(frozen=True, slots=True)
class _Reader:
    brands: dict[str, str]
    numbers: frozenset[str]

    def line(self, at: int, text: str) -> BundleLine:
        read = BundleLine(at=at, written=shown(text))
        if any(unicodedata.category(c) in ("Cc", "Cf", "Cs") for c in text if c != "\t"):
            return replace(read, trouble="it holds a control character")
        rest = _LIST_MARK.sub("", text.strip())
        part_count = _DECIMAL.search(rest)
        if part_count is not None:
            return replace(read, trouble=f"{part_count[1] or part_count[2]} is not a whole number")
        brand, texts, counts = self._cells(rest)
        if not texts:
            return replace(read, trouble="it holds no part number")
        found_brand, number, count = self._number(texts)
        counts += [count] if count else []
        if len(number) > LONGEST_NUMBER:
            return replace(read, trouble=f"the number is longer than {LONGEST_NUMBER} characters")
        if len(counts) > 1:
            return replace(read, trouble=f"both {' and '.join(counts)} could be the quantity")
        trouble = _count_trouble(counts[0]) if counts else ""
        quantity = int(counts[0]) if counts and not trouble else 1
        return replace(
            read, brand=brand or found_brand, number=number, quantity=quantity, trouble=trouble
        )

    def _cells(self, text: str) -> tuple[str, list[str], list[str]]:
        """The brand, the texts that may hold a number, and the quantities among the cells."""
        if self._known(text):
            return "", [text], []
        brand, texts, counts = "", [], []
        for cell in filter(None, (cell.strip() for cell in _CELL_END.split(text))):
            alone = _ALONE.match(cell)
            if alone is not None and not self._known(cell):
                counts.append(alone[1])
            elif cell.casefold() in self.brands and not brand:
                brand = self.brands[cell.casefold()]
            else:
                texts.append(cell)
        return brand, texts, counts

    def _number(self, texts: list[str]) -> tuple[str, str, str]:
        """Brand, number and quantity in the text that looks most like a number."""
        read = [self._one(text) for text in texts]
        known = (one for one in read if self._known(one[1]))
        likely = (one for one in read if any(c.isdigit() for c in one[1]))
        return next(known, None) or next(likely, None) or read[0]

    def _one(self, text: str) -> tuple[str, str, str]:
        if self._known(text):
            return "", text, ""
        rest, count = self._without_count(text)
        brand, rest = self._without_brand(rest)
        words = rest.split()
        if not self._known(rest) and len(words) > 1:
            known = (word for word in words if self._known(word))
            likely = (word for word in words if any(c.isdigit() for c in word))
            rest = next(known, None) or next(likely, None) or rest
        return brand, rest, count

    def _without_count(self, text: str) -> tuple[str, str]:
        """The text without its quantity, the one way that leaves a known number before others."""
        ways = []
        before = _BEFORE.match(text)
        if before is not None:
            ways.append((before["rest"].strip(), before[1] or before[2]))
        for pattern in _BEHIND:
            behind = pattern.match(text)
            if behind is not None:
                ways.append((behind["rest"].strip(), behind[2]))
        glued = _GLUED.match(text)
        if glued is not None and self._known(glued["rest"]):
            ways.append((glued["rest"], glued[2]))
        known = (way for way in ways if self._known(self._without_brand(way[0])[1]))
        return next(known, None) or next(iter(ways), (text, ""))

    def _without_brand(self, text: str) -> tuple[str, str]:
        folded = text.casefold()
        for brand in sorted(self.brands, key=lambda name: (-len(name), name)):
            if folded.startswith((f"{brand} ", f"{brand}:")):
                return self.brands[brand], text[len(brand) + 1 :].strip()
            if folded.endswith(f" {brand}"):
                return self.brands[brand], text[: -len(brand)].strip()
        return "", text

    def _known(self, text: str) -> bool:
        return text.strip().upper() in self.numbers


def _count_trouble(count: str) -> str:
    if "." in count or "," in count:
        return f"{count} is not a whole number"
    if len(count) > 9 or int(count) > MOST_PACKS:
        return f"{count[:20]} is more than {MOST_PACKS}, the most that one line may hold"
    return f"{count} is not a quantity to buy" if int(count) < 1 else ""


def shown(text: str, most: int = 120) -> str:
    """What somebody wrote, fit to be shown: one line, no control characters, not too long."""
    spaced = " ".join(text.split())
    clean = "".join("?" if unicodedata.category(c) in ("Cc", "Cf", "Cs") else c for c in spaced)
    return clean if len(clean) <= most else f"{clean[: most - 1]}…"
