"""docs/model.md as a 0-1 programme, for catalogs that are too large to enumerate."""

from __future__ import annotations

from collections.abc import Collection

from rules.catalog import Part, PartKey, Requirement

from .judge import Plan, step_cost
from .problem import Problem
from .program import Program, Sum, Variable
from .scope import Assignment, failing, firing, forbidden


class Formulation:
    """``program`` has the four figures of the key as its objectives.

    ``unfilled``: places that may be renewed with no part in particular, which is how a
    conflict is asked what would be without the statement that a part must be chosen.
    """

    def __init__(self, problem: Problem, unfilled: frozenset[str] = frozenset()) -> None:
        self.problem = problem
        self.unfilled = unfilled
        self.program = Program()
        self.cost: Sum = []
        self.minutes: Sum = []
        self.lost: Sum = []
        self.ranks: Sum = []
        self._places()
        self._tools()
        self._steps()
        self._ways()
        self._levels()
        self._supply()
        self._rules()
        self._demands()
        first, second = {
            "cost": (self.cost, self.minutes),
            "hours": (self.minutes, self.cost),
            "life": (self.lost, self.cost),
        }[problem.aim]
        places: Sum = [(1, one) for one in self.renewed.values()]
        self.program.objectives = [first, second, places, self.ranks]

    def _places(self) -> None:
        self.pick: dict[PartKey, Variable] = {}
        self.renewed: dict[str, Variable] = {}
        for place in self.problem.places:
            choices = self.problem.candidates[place]
            everything = sorted(
                part.key for part in self.problem.catalog.parts if part.part_type == place
            )
            longest = max((part.life_km or 0 for part in choices), default=0)
            for part in choices:
                taken = self.pick[part.key] = self.program.flag(f"pick {part.key}")
                self.lost.append((longest - (part.life_km or 0), taken))
                self.ranks.append((everything.index(part.key), taken))
            self.renewed[place] = self.program.flag(f"renew {place}")
            chosen = [self.pick[part.key] for part in choices]
            if place in self.unfilled:
                chosen.append(self.program.flag(f"renew {place} with nothing"))
            self.program.sums_to(chosen, self.renewed[place])

    def _tools(self) -> None:
        self.tool = {one: self.program.flag(f"have {one}") for one in self.problem.tool_price}
        for tool, price in self.problem.tool_price.items():
            if price is None:
                self.program.either([-self.tool[tool]])
            else:
                self.cost.append((self.problem.exact("tool", price), self.tool[tool]))

    def _steps(self) -> None:
        problem, program = self.problem, self.program
        self.done = {one: program.flag(f"do {one}") for one in problem.works}
        self.sent = {one: program.flag(f"send {one}") for one in problem.works}
        for name, work in problem.works.items():
            done = self.done[name]
            shop = program.flag(f"shop {name}")
            program.sums_to([shop, self.sent[name]], done)
            self._priced(name, shop, sent_out=False)
            if work.sent_price is None:
                program.either([-self.sent[name]])
            else:
                self._priced(name, self.sent[name], sent_out=True)
            for need in work.needs:
                program.implies(done, self.done[need])
            for place in work.spends & set(problem.found):
                program.implies(done, self.renewed[place])
            for tool in work.tools:
                program.implies(shop, self.tool[tool])

    def _priced(self, step: str, where: Variable, *, sent_out: bool) -> None:
        cost, minutes = step_cost(self.problem, self.problem.works[step], sent_out=sent_out)
        self.cost.append((cost, where))
        self.minutes.append((minutes, where))

    def _ways(self) -> None:
        for operation, ways in self.problem.ways.items():
            used = {}
            for way, steps in ways.items():
                used[way] = self.program.flag(f"{operation} by {way}")
                order = sorted(self.problem.all_ways[operation])
                self.ranks.append((order.index(way), used[way]))
                for step in steps:
                    self.program.implies(used[way], self.done[step])
            for place, one in self.problem.operation_of.items():
                if one == operation:
                    self.program.either([-self.renewed[place], *used.values()])
            if operation in self.problem.demands.operations:
                self.program.either(used.values())

    def _levels(self) -> None:
        """For each place, more than its own quantity: is at least that much needed?"""
        problem = self.problem
        self.levels: dict[str, dict[int, Variable]] = {one: {} for one in problem.places}
        for rule in problem.rules:
            if not isinstance(rule, Requirement) or rule.renew is None or rule.quantity is None:
                continue
            raised = problem.whole(rule.quantity)
            if raised <= problem.quantity[rule.renew]:
                continue
            levels = self.levels[rule.renew]
            if raised not in levels:
                levels[raised] = self.program.flag(f"{rule.renew} at least {raised}")
            for row in firing(problem, rule):
                self.program.either([levels[raised], *self._not(row)])

    def _supply(self) -> None:
        problem = self.problem
        self.kit = {kit.key: self.program.flag(f"buy {kit.key}") for kit in problem.kits}
        self.filled: dict[PartKey, dict[PartKey, Variable]] = {}
        for kit in problem.kits:
            self.cost.append((problem.exact("kit", kit.price), self.kit[kit.key]))
        for place in problem.places:
            for part in problem.candidates[place]:
                self._supply_one(place, part)

    def _supply_one(self, place: str, part: Part) -> None:
        problem, program = self.problem, self.program
        ways = self.filled[part.key] = {}
        for kit in problem.kits:
            pieces = problem.pieces(kit, part.key)
            if pieces < problem.short(part.key, problem.quantity[place]):
                continue
            used = ways[kit.key] = program.flag(f"{part.key} from {kit.key}")
            program.implies(used, self.kit[kit.key])
            for level, reached in self.levels[place].items():
                if problem.short(part.key, level) > pieces:
                    program.implies(used, -reached)
        single = program.flag(f"{part.key} in packs")
        program.sums_to([single, *ways.values()], self.pick[part.key])
        self._packs(place, part, single)

    def _packs(self, place: str, part: Part, single: Variable) -> None:
        """The packs of the place's own quantity, and more for each level that is reached."""
        before = self.problem.packs(part, self.problem.quantity[place])
        self.cost.append((self.problem.exact("part", before * part.price), single))
        for level in sorted(self.levels[place]):
            packs = self.problem.packs(part, level)
            if packs == before:
                continue
            more = self.program.flag(f"{part.key} packs for {level}")
            for other, reached in self.levels[place].items():
                if other >= level:
                    self.program.either([more, -single, -reached])
            self.cost.append((self.problem.exact("part", (packs - before) * part.price), more))
            before = packs

    def _not(self, row: Assignment) -> list[int]:
        """Literals one of which is so unless the row is what is chosen."""
        literals = [
            self.renewed[place] if part is None else -self.pick[part.key]
            for place, part in row.choices
        ]
        return literals + [
            -self.done[step] if done else self.done[step] for step, done in row.steps
        ]

    def _rules(self) -> None:
        for rule in self.problem.rules:
            for row in forbidden(self.problem, rule):
                self.program.either(self._not(row))

    def _demands(self) -> None:
        demands = self.problem.demands
        for place in demands.renew:
            self.program.either([self.renewed[place]])
        for place in demands.keep:
            self.program.either([-self.renewed[place]])
        for wanted in demands.targets.values():
            self.program.either([self.pick[wanted]] if wanted in self.pick else [])
        for kit in demands.kits:
            self.program.either([self.kit[kit]] if kit in self.kit else [])
        for place, term in demands.wheres:
            for row in failing(self.problem, place, term.text):
                self.program.either(self._not(row))
        if demands.impossible:
            self.program.either([])

    def plan(self, true: Collection[int]) -> Plan:
        """The plan in which exactly these variables are 1."""
        target = {
            place: part.key
            for place in self.problem.places
            for part in self.problem.candidates[place]
            if self.pick[part.key] in true
        }
        return Plan(
            target=target,
            steps=frozenset(one for one, done in self.done.items() if done in true),
            sent_out=frozenset(one for one, sent in self.sent.items() if sent in true),
            kits=frozenset(one for one, bought in self.kit.items() if bought in true),
            supply={
                place: next((kit for kit, used in self.filled[key].items() if used in true), None)
                for place, key in target.items()
            },
        )
