"""Rules as checks over a target: what each reads, and whether an assignment breaks it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

from rules.catalog import Exclusion, Requirement
from rules.expressions import Environment, Expression, Reads
from rules.fitment import Trilean
from rules.values import Failure, Outcome, Unknown

if TYPE_CHECKING:
    from rules.compiled import CompiledCatalog, CompiledRule

Origin = tuple[str, str]
"""Kind and id of what a clause follows from, such as ("rule", "cam_lift_limit")."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Check:
    """``broken(env)``: whether the rule's condition for trouble holds.

    For a requirement that renews or does something, "broken" means that it fires;
    ``renew`` or ``do`` is then what it asks for. ``places`` and ``steps`` are all that the
    outcome can depend on besides facts and fitted parts.
    """

    origin: Origin
    broken: Callable[[Environment], Trilean]
    places: tuple[str, ...]
    properties: dict[str, tuple[str, ...]]
    splits_keep: frozenset[str]
    presence: frozenset[str]
    steps: tuple[str, ...]
    facts: tuple[str, ...]
    as_found: bool
    """Reads ``fitted.`` or ``run_km``, so that it can change when the fitted parts change."""
    renew: str | None = None
    do: str | None = None
    quantity: Expression | int | None = None

    @property
    def key(self) -> tuple[Origin, tuple[str, ...]]:
        """Tells checks apart: one job may have a wish for each of several part types."""
        return self.origin, self.places


def checks_of(compiled: CompiledCatalog) -> tuple[Check, ...]:
    """All limits, exclusions and requirements as checks, by rule id."""
    rules = [*compiled.limits, *compiled.exclusions, *compiled.requirements]
    return tuple(_check(rule) for rule in sorted(rules, key=lambda c: c.rule.id))


def where_check(origin: Origin, part_type: str, where: Expression) -> Check:
    """A wish that the target part of a type must satisfy."""

    def broken(env: Environment) -> Trilean:
        return unmet(where.evaluate(env))

    return _with_reads(origin, broken, [where.reads], extra=part_type)


def _check(compiled_rule: CompiledRule) -> Check:
    rule = compiled_rule.rule
    origin = ("rule", rule.id)
    when = compiled_rule.when
    expressions = [e for e in (when, *compiled_rule.parts) if e is not None]
    reads = [expression.reads for expression in expressions]
    if isinstance(rule, Requirement):
        if rule.part_type is not None:
            broken = _unmet_where(when, compiled_rule.parts[0])
            return _with_reads(origin, broken, reads, extra=rule.part_type)
        return _with_reads(
            origin,
            lambda env: fires(when, env),
            reads,
            renew=rule.renew,
            do=rule.do,
            quantity=compiled_rule.quantity,
        )
    if isinstance(rule, Exclusion):
        return _with_reads(origin, _all_true(expressions), reads)
    return _with_reads(origin, _limit_broken(when, compiled_rule.parts[0]), reads)


def _with_reads(
    origin: Origin,
    broken: Callable[[Environment], Trilean],
    reads: Iterable[Reads],
    *,
    extra: str | None = None,
    renew: str | None = None,
    do: str | None = None,
    quantity: Expression | int | None = None,
) -> Check:
    listed = list(reads)
    targets = {pair for r in listed for pair in r.target}
    renewed = frozenset(name for r in listed for name in r.renewed)
    presence = frozenset(name for r in listed for name in r.present)
    places = sorted({t for t, _ in targets} | renewed | presence | ({extra} if extra else set()))
    return Check(
        origin=origin,
        broken=broken,
        places=tuple(places),
        properties={
            place: tuple(sorted(name for t, name in targets if t == place)) for place in places
        },
        splits_keep=renewed,
        presence=presence,
        steps=tuple(sorted({step for r in listed for step in r.doing})),
        facts=tuple(sorted({fact for r in listed for fact in r.facts})),
        as_found=any(r.fitted or r.run_km for r in listed),
        renew=renew,
        do=do,
        quantity=quantity,
    )


# -- three-valued verdicts ------------------------------------------------------------


def fires(when: Expression | None, env: Environment) -> Trilean:
    """Whether a condition holds; one that meets an empty place does not apply."""
    return True if when is None else _truth(when.evaluate(env))


def _truth(outcome: Outcome) -> Trilean:
    if isinstance(outcome, Failure):
        return False if outcome.absent is not None else Unknown(frozenset())
    return outcome if isinstance(outcome, Unknown) else bool(outcome)


def unmet(outcome: Outcome) -> Trilean:
    """Whether a ``where`` is not met; one that meets an empty place is not."""
    if isinstance(outcome, Failure):
        return True if outcome.absent is not None else Unknown(frozenset())
    return outcome if isinstance(outcome, Unknown) else not outcome


def both(one: Trilean, other: Trilean) -> Trilean:
    """Three-valued and."""
    if one is False or other is False:
        return False
    if isinstance(one, Unknown):
        return one | other if isinstance(other, Unknown) else one
    return other


def _limit_broken(when: Expression | None, limit: Expression) -> Callable[[Environment], Trilean]:
    def broken(env: Environment) -> Trilean:
        applies = fires(when, env)
        if applies is False:
            return False
        return both(applies, limit_broken(limit, env))

    return broken


def limit_broken(limit: Expression, env: Environment) -> Trilean:
    """Whether a limit is broken, leaving its ``when`` aside."""
    outcome = limit.evaluate(env)
    if isinstance(outcome, Failure):
        return False if outcome.absent is not None else Unknown(frozenset())
    return outcome if isinstance(outcome, Unknown) else not outcome


def _all_true(expressions: list[Expression]) -> Callable[[Environment], Trilean]:
    def broken(env: Environment) -> Trilean:
        return reduce(both, (fires(expression, env) for expression in expressions))

    return broken


def _unmet_where(when: Expression | None, where: Expression) -> Callable[[Environment], Trilean]:
    def broken(env: Environment) -> Trilean:
        applies = fires(when, env)
        if applies is False:
            return False
        return both(applies, unmet(where.evaluate(env)))

    return broken
