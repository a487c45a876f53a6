"""docs/model.md as a CP-SAT model, for catalogs that are too large to enumerate.

One worker and a fixed seed. The four figures of the key are minimised one after another.
"""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from rules.catalog import Part, PartKey, Requirement

from .brute_force import Best
from .judge import Plan, cost_of, judge, step_cost
from .problem import Problem
from .scope import Assignment, failing, firing, forbidden

Sum = cp_model.LinearExprT


def solve(problem: Problem, *, figures: int = 4) -> Best | None:
    """The best valid plan or None. ``figures``: how many figures of the key are minimised."""
    if problem.demands.impossible:
        return None
    return _Model(problem).best(figures)


class _Model:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        self.cost: list[Sum] = []
        self.minutes: list[Sum] = []
        self.lost: list[Sum] = []
        self.ranks: list[Sum] = []
        self._places()
        self._steps()
        self._ways()
        self._levels()
        self._supply()
        self._rules()
        self._demands()

    def flag(self, name: str) -> cp_model.IntVar:
        return self.model.new_bool_var(name)

    def _places(self) -> None:
        self.pick: dict[PartKey, cp_model.IntVar] = {}
        self.renewed: dict[str, cp_model.IntVar] = {}
        for place in self.problem.places:
            choices = self.problem.candidates[place]
            everything = sorted(
                part.key for part in self.problem.catalog.parts if part.part_type == place
            )
            longest = max((part.life_km or 0 for part in choices), default=0)
            for part in choices:
                taken = self.pick[part.key] = self.flag(f"pick {part.key}")
                self.lost.append((longest - (part.life_km or 0)) * taken)
                self.ranks.append(everything.index(part.key) * taken)
            renewed = self.renewed[place] = self.flag(f"renew {place}")
            self.model.add(sum(self.pick[part.key] for part in choices) == renewed)

    def _steps(self) -> None:
        problem = self.problem
        self.done = {one: self.flag(f"do {one}") for one in problem.works}
        self.sent = {one: self.flag(f"send {one}") for one in problem.works}
        self.tool = {one: self.flag(f"have {one}") for one in problem.tool_price}
        for name, work in problem.works.items():
            shop = self.flag(f"shop {name}")
            self.model.add(shop + self.sent[name] == self.done[name])
            self._priced(name, shop, sent_out=False)
            if work.sent_price is None:
                self.model.add(self.sent[name] == 0)
            else:
                self._priced(name, self.sent[name], sent_out=True)
            for need in work.needs:
                self.model.add_implication(self.done[name], self.done[need])
            for place in work.spends & set(problem.found):
                self.model.add_implication(self.done[name], self.renewed[place])
            for tool in work.tools:
                self.model.add_implication(shop, self.tool[tool])
        for tool, price in problem.tool_price.items():
            if price is None:
                self.model.add(self.tool[tool] == 0)
            else:
                self.cost.append(problem.exact("tool", price) * self.tool[tool])

    def _priced(self, step: str, where: cp_model.IntVar, *, sent_out: bool) -> None:
        cost, minutes = step_cost(self.problem, self.problem.works[step], sent_out=sent_out)
        self.cost.append(cost * where)
        self.minutes.append(minutes * where)

    def _ways(self) -> None:
        for operation, ways in self.problem.ways.items():
            used = {}
            for way, steps in ways.items():
                used[way] = self.flag(f"{operation} by {way}")
                order = sorted(self.problem.all_ways[operation])
                self.ranks.append(order.index(way) * used[way])
                for step in steps:
                    self.model.add_implication(used[way], self.done[step])
            for place, one in self.problem.operation_of.items():
                if one == operation:
                    self.model.add_bool_or([self.renewed[place].negated(), *used.values()])
            if operation in self.problem.demands.operations:
                self.model.add_bool_or(list(used.values()))

    def _levels(self) -> None:
        """For each place, more than its own quantity: is at least that much needed?"""
        problem = self.problem
        self.levels: dict[str, dict[int, cp_model.IntVar]] = {one: {} for one in problem.places}
        for rule in problem.rules:
            if not isinstance(rule, Requirement) or rule.renew is None or rule.quantity is None:
                continue
            raised = problem.whole(rule.quantity)
            if raised <= problem.quantity[rule.renew]:
                continue
            levels = self.levels[rule.renew]
            level = levels.setdefault(raised, self.flag(f"{rule.renew} at least {raised}"))
            for row in firing(problem, rule):
                self.model.add_bool_or([level, *self._not(row)])

    def _supply(self) -> None:
        problem = self.problem
        self.kit = {kit.key: self.flag(f"buy {kit.key}") for kit in problem.kits}
        self.filled: dict[PartKey, dict[PartKey, cp_model.IntVar]] = {}
        for kit in problem.kits:
            self.cost.append(problem.exact("kit", kit.price) * self.kit[kit.key])
        for place in problem.places:
            for part in problem.candidates[place]:
                self._supply_one(place, part)

    def _supply_one(self, place: str, part: Part) -> None:
        problem = self.problem
        ways = self.filled[part.key] = {}
        for kit in problem.kits:
            pieces = problem.pieces(kit, part.key)
            if pieces < problem.quantity[place]:
                continue
            used = ways[kit.key] = self.flag(f"{part.key} from {kit.key}")
            self.model.add_implication(used, self.kit[kit.key])
            for level, reached in self.levels[place].items():
                if level > pieces:
                    self.model.add_bool_or([used.negated(), reached.negated()])
        single = self.flag(f"{part.key} in packs")
        self.model.add(single + sum(ways.values()) == self.pick[part.key])
        self._packs(place, part, single)

    def _packs(self, place: str, part: Part, single: cp_model.IntVar) -> None:
        """The packs of the place's own quantity, and more for each level that is reached."""
        before = -(-self.problem.quantity[place] // part.pack_quantity)
        self.cost.append(self.problem.exact("part", before * part.price) * single)
        for level, reached in sorted(self.levels[place].items(), key=lambda pair: pair[0]):
            packs = -(-level // part.pack_quantity)
            more = self.flag(f"{part.key} packs for {level}")
            self.model.add_bool_or([more, single.negated(), reached.negated()])
            # A higher level includes the lower ones.
            for higher, other in self.levels[place].items():
                if higher > level:
                    self.model.add_bool_or([more, single.negated(), other.negated()])
            self.cost.append(self.problem.exact("part", (packs - before) * part.price) * more)
            before = packs

    def _not(self, row: Assignment) -> list[cp_model.LiteralT]:
        """Literals one of which must be true unless the row is what is chosen."""
        literals: list[cp_model.LiteralT] = [
            self.renewed[place] if part is None else self.pick[part.key].negated()
            for place, part in row.choices
        ]
        return literals + [
            self.done[step].negated() if done else self.done[step] for step, done in row.steps
        ]

    def _rules(self) -> None:
        for rule in self.problem.rules:
            for row in forbidden(self.problem, rule):
                self.model.add_bool_or(self._not(row))

    def _demands(self) -> None:
        demands = self.problem.demands
        for place in demands.renew:
            self.model.add(self.renewed[place] == 1)
        for place in demands.keep:
            self.model.add(self.renewed[place] == 0)
        for key in demands.targets.values():
            self._require(self.pick.get(key))
        for kit in demands.kits:
            self._require(self.kit.get(kit))
        for place, term in demands.wheres:
            for row in failing(self.problem, place, term.text):
                self.model.add_bool_or(self._not(row))

    def _require(self, variable: cp_model.IntVar | None) -> None:
        if variable is None:
            self.model.add_bool_or([])
        else:
            self.model.add(variable == 1)

    def best(self, figures: int) -> Best | None:
        """Minimise one figure after the other."""
        by_aim = {
            "cost": [self.cost, self.minutes],
            "hours": [self.minutes, self.cost],
            "life": [self.lost, self.cost],
        }[self.problem.aim]
        wanted: list[Iterable[Sum]] = [*by_aim, self.renewed.values(), self.ranks]
        solver = _solver()
        for terms in wanted[:figures]:
            total = sum(terms)
            self.model.minimize(total)
            status = solver.solve(self.model)
            if status == cp_model.INFEASIBLE:
                return None
            assert status == cp_model.OPTIMAL, solver.status_name(status)
            self.model.add(total <= round(solver.objective_value))
        return self._read(solver)

    def _read(self, solver: cp_model.CpSolver) -> Best:
        problem = self.problem
        on = solver.boolean_value
        target = {
            place: part.key
            for place in problem.places
            for part in problem.candidates[place]
            if on(self.pick[part.key])
        }
        supply = {
            place: next((kit for kit, used in self.filled[key].items() if on(used)), None)
            for place, key in target.items()
        }
        plan = Plan(
            target=target,
            steps=frozenset(one for one, done in self.done.items() if on(done)),
            sent_out=frozenset(one for one, sent in self.sent.items() if on(sent)),
            kits=frozenset(one for one, bought in self.kit.items() if on(bought)),
            supply=supply,
        )
        cost, minutes = cost_of(problem, plan)
        return Best(judge(problem, plan), cost, minutes, plan)


def _solver() -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    return solver
