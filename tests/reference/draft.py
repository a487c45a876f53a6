"""What the generator's parts share: its dice, its sizes and the expressions written so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random
from typing import TypeVar

from rules.catalog import (
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Fitment,
    Job,
    Kit,
    Operation,
    Part,
    PartKey,
    PartType,
    Rule,
    Step,
    Supersession,
    Tool,
    Vehicle,
)

from .terms import Term, above, at_most, choose, fact, literal, same

Item = TypeVar("Item")


@dataclass(frozen=True)
class Shape:
    """How large a generated catalog is. ``jobs``: the most that one request asks for.
    ``lawful``: of the class of the add-on law (section 7)."""

    part_types: int
    candidates: int
    steps: int
    kits: int
    rules: int
    tools: int
    recommendations: int = 2
    jobs: int = 2
    lawful: bool = False


TINY = Shape(part_types=5, candidates=3, steps=8, kits=2, rules=4, tools=3)
SMALL = Shape(part_types=12, candidates=5, steps=22, kits=4, rules=12, tools=6, recommendations=4)
MEDIUM = Shape(
    part_types=30,
    candidates=10,
    steps=60,
    kits=10,
    rules=26,
    tools=10,
    recommendations=16,
    jobs=4,
)


@dataclass
class Draft:
    """A catalog on its way: everything the later parts of the generator look back at."""

    rng: Random
    shape: Shape
    terms: dict[str, Term] = field(default_factory=dict)
    part_types: list[PartType] = field(default_factory=list)
    seals: list[str] = field(default_factory=list)
    vehicles: list[Vehicle] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    factory: list[FactoryPart] = field(default_factory=list)
    fitment: list[Fitment] = field(default_factory=list)
    supersessions: list[Supersession] = field(default_factory=list)
    kits: list[Kit] = field(default_factory=list)
    tools: list[Tool] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    loose_steps: list[str] = field(default_factory=list)
    operations: list[Operation] = field(default_factory=list)
    jobs: list[Job] = field(default_factory=list)
    rules: list[Rule] = field(default_factory=list)

    def chance(self, share: float) -> bool:
        """True in ``share`` of the calls."""
        return self.rng.random() < share

    def some(self, items: Sequence[Item], most: int) -> list[Item]:
        """Up to ``most`` different items, in the order they are listed."""
        count = min(len(items), self.rng.randint(0, most))
        return [items[index] for index in sorted(self.rng.sample(range(len(items)), count))]

    def say(self, term: Term) -> str:
        """The text of an expression, remembered so that the references can read it."""
        self.terms[term.text] = term
        return term.text

    def fact_test(self) -> Term:
        """A condition that speaks of the machine only."""
        return self.rng.choice(
            [
                same(fact("cooling"), literal("liquid")),
                same(fact("market"), literal("home")),
                above(fact("model_year"), literal(2003)),
                at_most(fact("bore_mm"), literal(95.0)),
            ]
        )

    def fact_conditions(self) -> tuple[FactCondition, ...]:
        """The same as condition columns: often none, sometimes one."""
        columns = [
            FactCondition(fact="cooling", values=(self.rng.choice(["air", "liquid"]),)),
            FactCondition(fact="market", values=("home", "export")),
            FactCondition(fact="model_year", low=float(self.rng.choice([1999, 2003]))),
            FactCondition(fact="bore_mm", high=float(self.rng.choice([92, 97]))),
        ]
        return (self.rng.choice(columns),) if self.chance(0.2) else ()

    def whole(self, usual: int, other: int, share: float) -> int | str:
        """A whole number, or in ``share`` of the cases an expression over facts."""
        if not self.chance(share):
            return usual
        return self.say(choose(self.fact_test(), literal(other), literal(usual)))

    def type_of(self, place: str) -> PartType:
        """The part type with this id."""
        return next(part_type for part_type in self.part_types if part_type.id == place)

    def parts_of(self, place: str) -> list[Part]:
        """Every part of a part type, old and withdrawn ones too."""
        return [part for part in self.parts if part.part_type == place]

    def numbers_of(self, place: str) -> list[FieldDefinition]:
        """The number properties of a part type."""
        return [one for one in self.type_of(place).properties if one.kind == "number"]

    def superseded(self) -> set[PartKey]:
        """Every old number."""
        return {row.old for row in self.supersessions}
