"""Minutes and quantities that come out as no amount on some configuration."""

from __future__ import annotations

from collections.abc import Iterator

from rules.catalog import Requirement
from rules.catalog_faults.places import rule_place, work_place
from rules.expressions import Environment, Expression
from rules.fitment import Trilean
from rules.rule_checks.asked import asked_of
from rules.rule_checks.checking import Checking
from rules.rule_checks.search import Fittings
from rules.values import Failure, Unknown


def check_amounts(checking: Checking) -> None:
    """Every minutes and quantity expression, on every configuration."""
    for where, amount in _amounts(checking):
        if isinstance(amount, Expression):
            _check(checking, where, amount)


def _amounts(checking: Checking) -> Iterator[tuple[str, Expression | int | None]]:
    compiled = checking.compiled
    for part_type, quantity in compiled.quantity.items():
        yield f"catalog.yaml:part_types.{part_type}:quantity", quantity
    for step in compiled.steps.values():
        yield f"{work_place(step)}:minutes", compiled.minutes[step.id]
    for requirement in compiled.requirements:
        if isinstance(requirement.rule, Requirement):
            yield f"{rule_place(requirement.rule)}:quantity", requirement.quantity


def _check(checking: Checking, where: str, amount: Expression) -> None:
    asked = asked_of([amount])
    situations = checking.configurations.situations(asked)

    def wrong(env: Environment) -> Trilean:
        outcome = amount.evaluate(env)
        if isinstance(outcome, Unknown):
            return outcome
        return isinstance(outcome, Failure) or (isinstance(outcome, int) and outcome < 0)

    case = checking.find(where, wrong, asked, situations, [Fittings.FACTORY]).case
    if case is None:
        return
    outcome = amount.evaluate(case.seen)
    comes = f"no number ({outcome.reason})" if isinstance(outcome, Failure) else str(outcome)
    checking.report.fault(
        where,
        f"it comes out as {comes} on {checking.machine(case.situation)}",
        "Mend the expression, so that it gives 0 or more on every configuration.",
    )
