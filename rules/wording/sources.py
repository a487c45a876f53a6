"""What sentences rest on, as numbers in brackets and one list at the end."""

from __future__ import annotations

from collections.abc import Iterator

from rules.answer import BuildList
from rules.speech import stopped
from rules.wording.layout import entry, heading, numbered


def _bases(build: BuildList) -> Iterator[str]:
    """In the order in which the text comes to them."""
    yield from (line.basis for line in build.add_ons if line.basis)
    yield from (line.basis for line in build.cautions if line.basis)
    yield from (line.basis for line in build.margins if line.basis)


def _numbers(build: BuildList) -> dict[str, int]:
    return {basis: place for place, basis in enumerate(dict.fromkeys(_bases(build)), start=1)}


def cited(build: BuildList, sentence: str, basis: str) -> str:
    """A sentence with the number of what it rests on."""
    return f"{stopped(sentence)} [{_numbers(build)[basis]}]" if basis else stopped(sentence)


def sources(build: BuildList, width: int) -> list[str]:
    """The list that the numbers in brackets point to."""
    numbers = _numbers(build)
    if not numbers:
        return []
    lines = heading("What [1] and the like rest on", width)
    for basis, place in numbers.items():
        lines += entry(basis, width, mark=numbered(place))
    return lines
