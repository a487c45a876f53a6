"""What every part of the answer needs: the model, the plan, and the target as rules see it."""

from __future__ import annotations

from dataclasses import dataclass, field

from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.model.assignment import Assignment
from rules.model.plan import Plan
from rules.model.plan_model import PlanModel
from rules.money import Money


@dataclass(slots=True)
class Context:
    """``seen``: the finished target; ``found``: the machine as it came in."""

    model: PlanModel
    plan: Plan
    seen: Assignment = field(init=False)
    found: Assignment = field(init=False)
    saved_by_kits: dict[frozenset[PartKey], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.seen = self.assignment()
        self.found = Assignment(self.model.machine, {}, {}, ())

    @property
    def compiled(self) -> CompiledCatalog:
        return self.model.compiled

    def assignment(self, without: str | None = None) -> Assignment:
        """The target as an environment; ``without``: with that place kept as found."""
        chosen = {p: part.key for p, part in self.plan.target.items() if p != without}
        return Assignment(
            self.model.machine, self.compiled.properties, chosen, frozenset(self.plan.steps)
        )

    def money(self, minor: int) -> Money:
        """Minor units in the catalog's currency."""
        return money(self.compiled, minor)

    def depth(self, layer: str) -> int:
        """How deep a layer lies."""
        return self.compiled.layers[layer].depth

    def label(self, part_type: str) -> str:
        """The part type's name for people."""
        return self.compiled.part_types[part_type].label


def money(compiled: CompiledCatalog, minor: int) -> Money:
    """Minor units in the catalog's currency."""
    catalog = compiled.catalog
    return Money(minor, catalog.currency, catalog.currency_exponent)
