"""Every expression of a catalog compiled, each for the place it stands in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Final

from rules.catalog import (
    Catalog,
    Exclusion,
    Limit,
    Requirement,
    Rule,
    ValueKind,
)
from rules.catalog_faults.places import rule_place, work_place
from rules.compiled import LIMIT_TOLERANCE, scope_of
from rules.expressions import Allow, Reads, Scope, compile_expression
from rules.faults import Fault, Faulty

MOST_TARGETS: Final = 4
"""Part types whose target a rule may read. The engine goes through their candidates together,
so ten candidates each make ten thousand cases at four."""

MOST_ATOMS: Final = 4
"""``renewed()`` and ``doing()`` that a rule may ask, each of which doubles its cases."""

_JOB_WHERE: Final = Allow.FACTS | Allow.TARGET | Allow.FITTED
_MACHINE: Final = Allow.FACTS | Allow.TARGET | Allow.FITTED | Allow.PRESENT


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One expression text and what it must be where it stands."""

    where: str
    text: str
    kind: ValueKind
    allow: Allow
    tolerance: float = 0.0


def expression_faults(catalog: Catalog) -> Iterator[Fault]:
    """Faults of every expression, at ``file:id:field``, and of rules that read too much."""
    scope = scope_of(catalog)
    for place in chain(_settings(catalog), _work(catalog)):
        yield from _compiled(place, scope)[1]
    for rule in catalog.rules:
        yield from _rule_faults(rule, scope)


def _compiled(place: Place, scope: Scope) -> tuple[Reads, tuple[Fault, ...]]:
    try:
        expression = compile_expression(
            place.text,
            scope,
            kind=place.kind,
            where=place.where,
            allow=place.allow,
            tolerance=place.tolerance,
        )
    except Faulty as faulty:
        return Reads(), faulty.faults
    return expression.reads, ()


def _whole(where: str, text: int | str | None) -> Iterator[Place]:
    """A quantity or minutes: a number needs no compiling."""
    if isinstance(text, str):
        yield Place(where=where, text=text, kind="whole", allow=Allow.FACTS)


def _flag(where: str, text: str | None, allow: Allow = Allow.FACTS) -> Iterator[Place]:
    if text is not None:
        yield Place(where=where, text=text, kind="flag", allow=allow)


def _settings(catalog: Catalog) -> Iterator[Place]:
    for part_type in catalog.part_types:
        yield from _whole(f"catalog.yaml:part_types.{part_type.id}:quantity", part_type.quantity)
    for figure in catalog.figures:
        where = f"catalog.yaml:figures.{figure.id}"
        yield Place(where=f"{where}:value", text=figure.value, kind="number", allow=_MACHINE)
        yield from _flag(f"{where}:when", figure.when, _MACHINE)


def _work(catalog: Catalog) -> Iterator[Place]:
    for step in catalog.steps:
        yield from _whole(f"{work_place(step)}:minutes", step.minutes)
        yield from _flag(f"{work_place(step)}:when", step.when)
    for operation in catalog.operations:
        for way in operation.ways:
            yield from _flag(f"{work_place(operation)}.ways.{way.id}:when", way.when)
    for job in catalog.jobs:
        yield from _flag(f"{work_place(job)}:when", job.when)
        for text in job.where.values():
            yield from _flag(f"{work_place(job)}:where", text, _JOB_WHERE)


def _rule(rule: Rule) -> Iterator[Place]:
    where = rule_place(rule)
    yield from _flag(f"{where}:when", rule.when, Allow.ALL)
    if isinstance(rule, Limit):
        yield Place(
            where=f"{where}:limit",
            text=rule.limit,
            kind="flag",
            allow=Allow.ALL,
            tolerance=LIMIT_TOLERANCE,
        )
    elif isinstance(rule, Exclusion):
        for text in rule.not_together:
            yield from _flag(f"{where}:not_together", text, Allow.ALL)
    elif isinstance(rule, Requirement):
        yield from _flag(f"{where}:where", rule.where, Allow.ALL)
        yield from _whole(f"{where}:quantity", rule.quantity)


def _rule_faults(rule: Rule, scope: Scope) -> Iterator[Fault]:
    targets: set[str] = set()
    atoms: set[tuple[str, str]] = set()
    for place in _rule(rule):
        reads, faults = _compiled(place, scope)
        yield from faults
        targets |= {part_type for part_type, _ in reads.target} | reads.present
        atoms |= {("renewed", name) for name in reads.renewed}
        atoms |= {("doing", name) for name in reads.doing}
        if isinstance(rule, Requirement) and place.where.endswith(":where"):
            yield from _about(rule, place, reads)
    yield from _too_much(rule_place(rule), sorted(targets), len(atoms))


def _about(rule: Requirement, place: Place, reads: Reads) -> Iterator[Fault]:
    about = {part_type for part_type, _ in reads.target}
    if rule.part_type is not None and reads != Reads() and rule.part_type not in about:
        yield Fault(
            place.where,
            f"the condition does not read the part type {rule.part_type!r}",
            f"Write it about {rule.part_type}, as in {rule.part_type}.brand == '...'.",
        )


def _too_much(where: str, targets: list[str], atoms: int) -> Iterator[Fault]:
    if len(targets) > MOST_TARGETS:
        yield Fault(
            f"{where}:when",
            f"the rule reads the target of {len(targets)} part types: {', '.join(targets)}",
            f"At most {MOST_TARGETS} can be looked at together; split the rule.",
        )
    if atoms > MOST_ATOMS:
        yield Fault(
            f"{where}:when",
            f"the rule asks {atoms} times renewed() or doing()",
            f"At most {MOST_ATOMS} can be looked at together; split the rule.",
        )
