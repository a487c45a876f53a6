"""Lines of fixed width: wrapped text on the left, figures in columns on the right."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Final

from rules.money import Money

money_width: Final = 11
"""Room for ``-999999.99`` and a blank."""

_unsafe: Final = frozenset({"Cc", "Cf", "Cs"})
"""Unicode general categories: control, format (direction marks among them), surrogate."""


def clean(text: str) -> str:
    """One line without control characters: text from a catalog must not steer a terminal."""
    spaced = " ".join(text.split())
    return "".join("?" if unicodedata.category(c) in _unsafe else c for c in spaced)


def heading(title: str, width: int, columns: Sequence[tuple[str, int]] = ()) -> list[str]:
    """The title in capitals, with the names of the columns over their figures."""
    names = "".join(name.rjust(size) for name, size in columns)
    return [f"{title.upper():{width - len(names)}}{names}".rstrip(), "-" * width]


def entry(
    text: str,
    width: int,
    columns: Sequence[tuple[str, int]] = (),
    *,
    mark: str = " ",
) -> list[str]:
    """``text`` wrapped after its ``mark``; the columns stand at the end of its first line."""
    figures = "".join(figure.rjust(size) for figure, size in columns)
    room = width - len(figures) - (1 if figures else 0)
    first, *rest = filled(text, room, mark, hang=max(len(mark), 3))
    return [f"{first:{width - len(figures)}}{figures}".rstrip(), *rest]


def filled(text: str, width: int, mark: str = "", hang: int = 0) -> list[str]:
    """``text`` after ``mark`` in lines of at most ``width``, later ones ``hang`` in. Never none."""
    lines = textwrap.wrap(
        clean(text),
        width=width,
        initial_indent=mark,
        subsequent_indent=" " * hang,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return lines or [mark.rstrip()]


def notes(sentences: Iterable[str], width: int, indent: int = 4) -> list[str]:
    """Each sentence below its entry, further in."""
    return [
        line
        for text in sentences
        if text.strip()
        for line in filled(text, width, " " * indent, hang=indent + 2)
    ]


def numbered(place: int) -> str:
    """The mark of an entry in a numbered list: `` 7. ``."""
    return f"{place:2d}. "


def titled(label: str, text: str, width: int, column: int = 12) -> list[str]:
    """A label in a column of its own, the text beside it."""
    first, *rest = filled(text, width - column)
    return [f"{label:{column}}{first}".rstrip(), *(f"{'':{column}}{line}" for line in rest)]


def amount(money: Money) -> tuple[str, int]:
    """An amount as a column."""
    return money.amount, money_width


def hours(minutes: int) -> str:
    """Minutes as people say them: ``2 h 05 min``, ``45 min``."""
    sign, size = ("-" if minutes < 0 else ""), abs(minutes)
    if size < 60:
        return f"{sign}{size} min"
    return f"{sign}{size // 60} h {size % 60:02d} min"


def listed(words: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    *most, last = [*words] or [""]
    return f"{', '.join(most)} and {last}" if most else last


def plural(count: int, one: str, many: str | None = None) -> str:
    """``1 pack``, ``2 packs``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def spoken(identifier: str) -> str:
    """An id of the catalog in words: ``cam_bearing_inner`` -> ``cam bearing inner``."""
    return identifier.replace("_", " ")


def sourced(sentence: str, basis: str) -> str:
    """A sentence with what it rests on."""
    stopped = sentence if sentence.rstrip().endswith((".", "!", "?")) else f"{sentence.rstrip()}."
    return f"{stopped} [{basis}]" if basis else stopped
