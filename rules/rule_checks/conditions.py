"""Conditions that never hold, and conditions that say nothing."""

from __future__ import annotations

from typing import Final

from rules.expressions import Expression
from rules.fitment import Trilean
from rules.model.checks import fires
from rules.rule_checks.alone import always
from rules.rule_checks.asked import asked_of
from rules.rule_checks.checking import Checking
from rules.rule_checks.search import Answer, Fittings
from rules.values import Unknown

ALL_FITTINGS: Final = (Fittings.FACTORY, Fittings.LISTED, Fittings.ANYTHING)


def check_condition(checking: Checking, where: str, when: Expression | None, what: str) -> bool:
    """Report a condition that never holds or always does. ``what``: the rule, the step.

    Returns whether it may hold, so that looking at what follows from it makes sense.
    """
    if when is None:
        return True
    asked = asked_of([when])
    situations = checking.configurations.situations(asked)
    answer = checking.find(where, lambda env: fires(when, env), asked, situations, ALL_FITTINGS)
    if answer.case is None:
        return _not_found(checking, where, when, what, answer)
    if always(when, lambda env: fires(when, env)):
        checking.report.warning(
            where,
            "the condition always holds, so it says nothing",
            "Leave it out, or mend it.",
        )
    elif answer.case.is_unlisted and not answer.capped:
        _warn_of_nothing(checking, where, what)
    return True


def _not_found(checking: Checking, where: str, when: Expression, what: str, answer: Answer) -> bool:
    if always(when, lambda env: negated(fires(when, env))):
        checking.report.fault(
            where,
            f"the condition contradicts itself, so {what} never applies",
            "Mend the condition; no values of what it reads can meet it.",
        )
        return False
    if answer.certain:
        checking.report.fault(
            where,
            f"the condition holds on no configuration and with no part, so {what} never applies",
            "Mend the condition, add what it speaks of to the catalog, or take it out.",
        )
        return False
    if not answer.capped:
        _warn_of_nothing(checking, where, what)
    return True


def _warn_of_nothing(checking: Checking, where: str, what: str) -> None:
    checking.report.warning(
        where,
        f"nothing that the catalog lists meets the condition, so {what} hardly ever applies",
        "Check its numbers and names against those in the tables.",
    )


def negated(holds: Trilean) -> Trilean:
    """Three-valued not."""
    return holds if isinstance(holds, Unknown) else not holds
