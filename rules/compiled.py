"""A catalog made ready for questions: indexes and checked expressions, in one canonical order.

Everything is sorted by id or by brand and number here, once, so that the order of rows in
the keeper's files can never change an answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Protocol, TypeVar

from rules.catalog import (
    Catalog,
    Caution,
    Exclusion,
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Fitment,
    Job,
    Kit,
    Limit,
    Operation,
    Part,
    PartKey,
    PartType,
    Recommendation,
    Requirement,
    Rule,
    Step,
    Tool,
    Vehicle,
)
from rules.expressions import Allow, Expression, Scope, compile_expression
from rules.model.checks import checks_of
from rules.model.memory import Memory, SharedTables
from rules.supersession import Replacements, replacements
from rules.values import Value, ValueKind

T = TypeVar("T")
K = TypeVar("K")

LIMIT_TOLERANCE = 1e-9
"""Comparisons in limits forgive this much, so that no rounding in the last digit says no."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CompiledRule:
    """A rule with its expressions. ``parts``: limit, not_together or where, by kind of rule."""

    rule: Rule
    when: Expression | None
    parts: tuple[Expression, ...]
    quantity: Expression | int | None = None


class CompiledCatalog:
    """Indexes over one catalog. Build with ``compile_catalog``."""

    def __init__(self, catalog: Catalog) -> None:
        self.catalog = catalog
        self.facts: dict[str, FieldDefinition] = {f.name: f for f in catalog.facts}
        self.fact_labels = {f.name: f.label for f in catalog.facts}
        self.layers = {layer.id: layer for layer in catalog.layers}
        self.part_types: dict[str, PartType] = _by_id(catalog.part_types)
        self.vehicles: dict[str, Vehicle] = _by_id(catalog.vehicles)
        self.jobs: dict[str, Job] = _by_id(catalog.jobs)
        self.steps: dict[str, Step] = _by_id(catalog.steps)
        self.operations: dict[str, Operation] = _by_id(catalog.operations)
        self.tools: dict[str, Tool] = _by_id(catalog.tools)
        self.consumables = _by_id(catalog.consumables)
        self.tax_classes = _by_id(catalog.tax_classes)
        self.parts: dict[PartKey, Part] = {p.key: p for p in sorted(catalog.parts, key=_key)}
        self.kits: dict[PartKey, Kit] = {k.key: k for k in sorted(catalog.kits, key=_key)}
        self.replaced_by: Replacements = replacements(catalog.supersessions)
        self._index_parts(catalog)
        self._compile(catalog)
        self.checks = checks_of(self)
        self.memory = Memory()
        self.tables = SharedTables()
        self.checks_by_place = _grouped_by_many(self.checks, lambda check: check.places)
        self.checks_by_step = _grouped_by_many(self.checks, lambda check: check.steps)

    # -- indexes -----------------------------------------------------------------

    def _index_parts(self, catalog: Catalog) -> None:
        self.parts_of: dict[str, tuple[Part, ...]] = {
            name: tuple(p for p in self.parts.values() if p.part_type == name)
            for name in self.part_types
        }
        self.properties = {key: properties_of(part) for key, part in self.parts.items()}
        self.rank = {
            part.key: rank
            for parts in self.parts_of.values()
            for rank, part in enumerate(parts, start=1)
        }
        self.fitment: dict[PartKey, list[Fitment]] = _grouped(catalog.fitment, lambda f: f.part)
        self.factory: dict[str, list[FactoryPart]] = _grouped(
            catalog.factory_parts, lambda f: f.part_type
        )
        self.kits_with: dict[PartKey, list[Kit]] = {}
        for kit in self.kits.values():
            for content in kit.contents:
                self.kits_with.setdefault(content.part, []).append(kit)
        self.operation_of = {
            part_type: operation
            for operation in self.operations.values()
            for part_type in operation.renews
        }
        self.keys_by_number: dict[str, list[PartKey]] = {}
        for key in sorted({*self.parts, *self.kits, *self.replaced_by}):
            self.keys_by_number.setdefault(key.number.upper(), []).append(key)

    # -- which values of a fact anything in the catalog can tell apart ----------------

    @cached_property
    def opaque_facts(self) -> frozenset[str]:
        """Facts that enter arithmetic, so that no list of values stands for all of them."""
        return frozenset().union(*(e.opaque_facts for e in self._expressions))

    def telling_values(self, fact: str) -> set[Value]:
        """Values of a number fact of which every other value behaves like one."""
        bounds: set[float] = set()
        for expression in self._expressions:
            constants = expression.compared_with.get(fact, frozenset())
            bounds |= {c for c in constants if not isinstance(c, str)}
        for condition in self._conditions():
            if condition.fact == fact:
                bounds |= {v for v in condition.values if not isinstance(v, str)}
                bounds |= {v for v in (condition.low, condition.high) if v is not None}
        if self.facts[fact].kind == "whole":
            return {int(b) + d for b in bounds for d in (-1, 0, 1)}
        between = sorted(bounds)
        middles = [(a + b) / 2 for a, b in pairwise(between)]
        ends = [between[0] - 1.0, between[-1] + 1.0] if between else []
        return {*map(float, between), *middles, *ends}

    def _conditions(self) -> Iterator[FactCondition]:
        for fitment in self.catalog.fitment:
            yield from fitment.conditions
        for factory in self.catalog.factory_parts:
            yield from factory.conditions

    def tax_basis_points(self, line_kind: str) -> int:
        """The tax rate of a kind of line, 725 for 7.25 %."""
        return self.tax_classes[self.catalog.policy.tax_of[line_kind]].basis_points

    # -- expressions ---------------------------------------------------------------

    def _compile(self, catalog: Catalog) -> None:
        self.scope = scope_of(catalog)
        self._expressions: list[Expression] = []
        self.quantity = {t.id: self._whole(t.quantity, t.id) for t in self.part_types.values()}
        self.minutes = {s.id: self._whole(s.minutes, s.id) for s in self.steps.values()}
        self.step_when = {s.id: self._flag(s.when, s.id) for s in self.steps.values()}
        self.way_when = {
            (operation.id, way.id): self._flag(way.when, way.id)
            for operation in self.operations.values()
            for way in operation.ways
        }
        self.job_when = {j.id: self._flag(j.when, j.id) for j in self.jobs.values()}
        self.job_where = {
            j.id: {
                t: self._expression(text, "flag", j.id, Allow.ALL)
                for t, text in sorted(j.where.items())
            }
            for j in self.jobs.values()
        }
        self.figures = [
            (
                figure,
                self._expression(figure.value, "number", figure.id, Allow.ALL),
                self._flag(figure.when, figure.id, Allow.ALL),
            )
            for figure in catalog.figures
        ]
        compiled = [self._rule(rule) for rule in sorted(catalog.rules, key=lambda r: r.id)]
        self.limits = [c for c in compiled if isinstance(c.rule, Limit)]
        self.requirements = [c for c in compiled if isinstance(c.rule, Requirement)]
        self.exclusions = [c for c in compiled if isinstance(c.rule, Exclusion)]
        self.recommendations = [c for c in compiled if isinstance(c.rule, Recommendation)]
        self.cautions = [c for c in compiled if isinstance(c.rule, Caution)]
        self.rules = {c.rule.id: c for c in compiled}

    def _whole(self, text: int | str, where: str) -> Expression | int:
        if isinstance(text, int):
            return text
        return self._expression(text, "whole", where, Allow.FACTS)

    def _flag(
        self, text: str | None, where: str, allow: Allow = Allow.FACTS, tolerance: float = 0.0
    ) -> Expression | None:
        return None if text is None else self._expression(text, "flag", where, allow, tolerance)

    def _expression(
        self, text: str, kind: ValueKind, where: str, allow: Allow, tolerance: float = 0.0
    ) -> Expression:
        expression = compile_expression(
            text, self.scope, kind=kind, where=where, allow=allow, tolerance=tolerance
        )
        self._expressions.append(expression)
        return expression

    def _rule(self, rule: Rule) -> CompiledRule:
        texts: tuple[str, ...] = ()
        quantity: Expression | int | None = None
        if isinstance(rule, Limit):
            texts = (rule.limit,)
        elif isinstance(rule, Exclusion):
            texts = rule.not_together
        elif isinstance(rule, Requirement):
            texts = (rule.where,) if rule.where is not None else ()
            quantity = None if rule.quantity is None else self._whole(rule.quantity, rule.id)
        tolerance = LIMIT_TOLERANCE if isinstance(rule, Limit) else 0.0
        parts = (self._flag(text, rule.id, Allow.ALL, tolerance) for text in texts)
        return CompiledRule(
            rule=rule,
            when=self._flag(rule.when, rule.id, Allow.ALL),
            parts=tuple(part for part in parts if part is not None),
            quantity=quantity,
        )


def compile_catalog(catalog: Catalog) -> CompiledCatalog:
    """Make a checked catalog ready. Raises Faulty when an expression does not compile."""
    return CompiledCatalog(catalog)


def scope_of(catalog: Catalog) -> Scope:
    """The names that expressions of this catalog may use."""
    return Scope(
        facts={fact.name: fact for fact in catalog.facts},
        part_types={
            part_type.id: {field.name: field for field in part_type.properties}
            for part_type in catalog.part_types
        },
        steps=frozenset(step.id for step in catalog.steps),
    )


def _key(record: Part | Kit) -> PartKey:
    return record.key


def properties_of(part: Part) -> dict[str, Value | None]:
    """A part's declared properties and those that every part has."""
    return {
        **part.properties,
        "brand": part.key.brand,
        "number": part.key.number,
        "condition": part.condition,
        "emission_class": part.emission_class,
        "life_km": part.life_km,
    }


class _Named(Protocol):
    @property
    def id(self) -> str: ...


N = TypeVar("N", bound=_Named)


def _by_id(records: Iterable[N]) -> dict[str, N]:
    return {record.id: record for record in sorted(records, key=lambda r: r.id)}


def _grouped(records: Iterable[T], by: Callable[[T], K]) -> dict[K, list[T]]:
    groups: dict[K, list[T]] = {}
    for record in records:
        groups.setdefault(by(record), []).append(record)
    return groups


def _grouped_by_many(records: Iterable[T], by: Callable[[T], Iterable[K]]) -> dict[K, list[T]]:
    groups: dict[K, list[T]] = {}
    for record in records:
        for key in by(record):
            groups.setdefault(key, []).append(record)
    return groups
