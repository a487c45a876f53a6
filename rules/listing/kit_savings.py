"""What kits save: against the cheapest plan that does without them, not against list prices."""

from __future__ import annotations

from collections.abc import Iterable

from rules.catalog import PartKey
from rules.listing.charges import charges
from rules.listing.context import Context
from rules.model.plan import read_plan


def saved_by(context: Context, kits: Iterable[PartKey]) -> int:
    """Minor units before tax that ``kits`` save; 0 where no plan does without them.

    Single packs of the same parts would be the wrong measure: without the kit, other parts
    might be the cheaper choice.
    """
    without = frozenset(kits)
    if without not in context.saved_by_kits:
        context.saved_by_kits[without] = _saved(context, without)
    return context.saved_by_kits[without]


def _saved(context: Context, kits: frozenset[PartKey]) -> int:
    model = context.model
    off = [-model.kit[key] for key in sorted(kits)]
    if not off:
        return 0
    solution = model.solver.minimise([*model.taken, *off])
    if solution is None:
        return 0
    without = sum(charge.amount for charge in charges(model, read_plan(model, solution)))
    return without - sum(charge.amount for charge in charges(model, context.plan))
