"""What the counter looks up: machines, jobs, parts, places, tools and facts, a line each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from api.paging import words_match
from rules.catalog import Part
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.identify import close_names, near
from rules.money import decimal_text
from rules.values import Value
from rules.vehicle_search import Known, matching

near_words: Final = 3


@dataclass(frozen=True, slots=True)
class Row:
    """``shown``: the line; ``texts``: what is searched."""

    shown: str
    texts: tuple[str, ...]


def machines(compiled: CompiledCatalog, facts: dict[str, Value]) -> Iterator[Row]:
    """The configurations that the facts do not contradict."""
    for vehicle in matching(compiled, Known(facts)):
        years = f"{vehicle.model_year_from} to {vehicle.model_year_to}"
        texts = (vehicle.id, vehicle.label, *map(str, vehicle.facts.values()))
        yield Row(f"{vehicle.id:28} {years:13} {vehicle.label}", texts)


def jobs(compiled: CompiledCatalog) -> Iterator[Row]:
    """Id, title and wish."""
    for job in compiled.jobs.values():
        yield Row(f"{job.id:28} {job.title}: {job.wish}", (job.id, job.title, job.wish))


def parts(compiled: CompiledCatalog, part_type: str | None) -> Iterator[Row]:
    """Parts, of one place or of all, and kits, with their prices before tax.

    Raises Faulty when there is no such place.
    """
    if part_type is not None and part_type not in compiled.part_types:
        mend = near(part_type, compiled.part_types)
        raise Faulty([Fault("--place", f"no part type is called {part_type!r}", mend)])
    for part in sorted(compiled.parts.values(), key=lambda part: part.key):
        if part_type in (None, part.part_type):
            yield _part(compiled, part)
    for key, kit in sorted(compiled.kits.items()):
        if part_type is None:
            shown = f"{key!s:28} {'kit':24} {_price(compiled, kit.price):>10}  {kit.title}"
            yield Row(shown, (str(key), "kit", kit.title))


def _part(compiled: CompiledCatalog, part: Part) -> Row:
    price = _price(compiled, part.price)
    note = "" if part.status == "current" else f" ({part.status})"
    shown = f"{part.key!s:28} {part.part_type:24} {price:>10}  {part.title}{note}"
    return Row(shown, (str(part.key), part.part_type, part.title))


def _price(compiled: CompiledCatalog, minor: int) -> str:
    return decimal_text(minor, compiled.catalog.currency_exponent)


def places(compiled: CompiledCatalog) -> Iterator[Row]:
    """Part types, as --keep, --fitted and --add-on name them."""
    for part_type in compiled.part_types.values():
        measured = ", ".join(field.name for field in part_type.properties)
        shown = f"{part_type.id:28} {part_type.label}{f' ({measured})' if measured else ''}"
        yield Row(shown, (part_type.id, part_type.label))


def tools(compiled: CompiledCatalog) -> Iterator[Row]:
    """Special tools, as --tool names them."""
    for tool in compiled.catalog.tools:
        shown = f"{tool.id:28} {tool.title}: {tool.purpose}"
        yield Row(shown, (tool.id, tool.title, tool.purpose))


def facts(compiled: CompiledCatalog) -> Iterator[Row]:
    """Facts of a machine, as --fact names them."""
    for fact in compiled.facts.values():
        values = ", ".join(map(str, fact.values)) or f"{fact.kind} {fact.unit or ''}".strip()
        yield Row(f"{fact.name:28} {fact.label}: {values}", (fact.name, fact.label))


def found(rows: Iterable[Row], words: Iterable[str]) -> tuple[list[str], str]:
    """The lines in which all words occur; and, when there are none, what to say instead."""
    every = list(rows)
    query = " ".join(words)
    lines = [row.shown for row in every if words_match(query, *row.texts)]
    return lines, "" if lines else _nothing(every, query)


def _nothing(rows: Iterable[Row], query: str) -> str:
    known = {word.strip(",.:()") for row in rows for text in row.texts for word in text.split()}
    close = dict.fromkeys(
        name
        for word in query.split()
        if not any(words_match(word, text) for text in known)
        for name in close_names(word, known)[:near_words]
    )
    hint = f" Did you mean {' or '.join(close)}?" if close else ""
    return f"Nothing found{f' for {query!r}' if query else ''}.{hint}"
