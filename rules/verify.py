"""A second look at every plan: each rule evaluated directly over the finished target.

The clauses were made from tables; this check does not use them. It is cheap, and it means
that an answer called valid has been judged valid twice.
"""

from __future__ import annotations

from rules.listing.context import Context
from rules.model.checks import Check
from rules.model.tables import can_be_asked
from rules.values import Unknown


class NotValid(RuntimeError):
    """The plan breaks a rule: a fault of the engine, never of the request."""


def verify(context: Context) -> None:
    """Raises NotValid when any rule is broken in the plan."""
    broken = [check.origin[1] for check in context.compiled.checks if _breaks(context, check)]
    if broken:
        raise NotValid(f"the plan breaks {', '.join(sorted(broken))}")


def _breaks(context: Context, check: Check) -> bool:
    outcome = check.broken(context.seen)
    if isinstance(outcome, Unknown):
        # A rule that the build does not touch may stay unknown; so may one that is asked about.
        return not all(map(can_be_asked, outcome.missing)) and any(
            place in context.plan.target for place in check.places
        )
    if not outcome:
        return False
    if check.renew is not None:
        return check.renew not in context.plan.target
    if check.do is not None:
        return check.do not in context.plan.minutes and context.model.reach.is_something(check.do)
    return True
