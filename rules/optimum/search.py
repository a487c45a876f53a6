"""Exact search: unit propagation and branch and bound, with "false" as the default.

A clause *presses* when every variable it negates is true and none of its positive
literals is. Where no clause presses, setting all open variables false is the cheapest
way on, because costs are never negative. So the search branches only on clauses that
press and still leave a choice; everything else is forced or stays false.

The lower bound adds, over the clauses that press, the least cost that any of their
literals drags in through implications, counting no variable twice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from rules.optimum.clauses import ClauseModel, Origin

_OPEN, _TRUE, _FALSE = 0, 1, 2
_DECIDED = -1
_EXCLUDED = -2


class TooHard(Exception):
    """The search met its node limit; nothing is proven yet."""


class Search:
    """One model, many questions: assume literals, minimise, take them back."""

    def __init__(self, model: ClauseModel, without: Collection[Origin] = ()) -> None:
        self.model = model
        self._costs = model.costs
        size = model.size + 1
        self._value = bytearray(size)
        self._reason: list[int] = [_DECIDED] * size
        self._because: list[int] = [0] * size
        self._needs: list[list[int]] = [[] for _ in range(size)]
        self._offers: list[list[int]] = [[] for _ in range(size)]
        self._rivals: list[list[int]] = [[] for _ in range(size)]
        self._clauses = model.clauses
        self._pressing: list[int] = []
        self._load(without)
        self._trail: list[int] = []
        self._cost = 0
        self._implied: dict[int, tuple[int, ...]] = {}
        self._closures: dict[int, frozenset[int]] = {}
        self.nodes = 0
        self.core: set[Origin] = set()
        self.consistent = self._propagate_units(without)

    # -- setting up ------------------------------------------------------------

    def _load(self, without: Collection[Origin]) -> None:
        """Occurrence lists and counters; clauses of left-out origins are not there."""
        count = len(self._clauses)
        self._negated_open = [0] * count
        self._positive_open = [0] * count
        self._satisfied = [0] * count
        origins = self.model.origins
        for index, clause in enumerate(self._clauses):
            if without and origins[index] in without:
                continue
            for literal in clause:
                if literal > 0:
                    self._offers[literal].append(index)
                    self._positive_open[index] += 1
                else:
                    self._needs[-literal].append(index)
                    self._negated_open[index] += 1
        self._pressing = [
            index
            for index, clause in enumerate(self._clauses)
            if len(clause) > 1 and self._positive_open[index] > 1 and not self._negated_open[index]
        ]
        for group, _ in self.model.at_most_one:
            for variable in group:
                self._rivals[variable].extend(other for other in group if other != variable)

    def _propagate_units(self, without: Collection[Origin]) -> bool:
        """Set what clauses of one literal (or none) say outright."""
        origins = self.model.origins
        for index, clause in enumerate(self._clauses):
            if len(clause) > 1 or (without and origins[index] in without):
                continue
            if not clause:
                self._blame(index)
                return False
            if not self._set(clause[0], index):
                return False
        return True

    # -- assignment ------------------------------------------------------------

    def _set(self, literal: int, reason: int, because: int = 0) -> bool:
        """Make a literal hold and everything that follows at once. False: contradiction."""
        queue = [(literal, reason, because)]
        value = self._value
        while queue:
            literal, reason, because = queue.pop()
            variable = literal if literal > 0 else -literal
            wanted = _TRUE if literal > 0 else _FALSE
            if value[variable]:
                if value[variable] == wanted:
                    continue
                self._blame_meeting(variable, reason, because)
                return False
            value[variable] = wanted
            self._reason[variable] = reason
            self._because[variable] = because
            self._trail.append(literal)
            if not (
                self._on_true(variable, queue) if literal > 0 else self._on_false(variable, queue)
            ):
                return False
        return True

    def _on_true(self, variable: int, queue: list[tuple[int, int, int]]) -> bool:
        self._cost += self._costs[variable]
        satisfied, negated, positive = self._satisfied, self._negated_open, self._positive_open
        for index in self._offers[variable]:
            satisfied[index] += 1
            positive[index] -= 1
        consistent = True
        for index in self._needs[variable]:
            negated[index] -= 1
            if negated[index] == 0:
                self._pressing.append(index)
            if not satisfied[index] and negated[index] + positive[index] <= 1:
                consistent &= self._tighten(index, queue)
        for rival in self._rivals[variable]:
            if self._value[rival] != _FALSE:
                queue.append((-rival, _EXCLUDED, variable))
        return consistent

    def _on_false(self, variable: int, queue: list[tuple[int, int, int]]) -> bool:
        satisfied, negated, positive = self._satisfied, self._negated_open, self._positive_open
        for index in self._needs[variable]:
            satisfied[index] += 1
            negated[index] -= 1
        consistent = True
        for index in self._offers[variable]:
            positive[index] -= 1
            if not satisfied[index] and negated[index] + positive[index] <= 1:
                consistent &= self._tighten(index, queue)
        return consistent

    def _tighten(self, index: int, queue: list[tuple[int, int, int]]) -> bool:
        """A clause with at most one open literal: that literal must hold."""
        value = self._value
        for literal in self._clauses[index]:
            if not value[literal if literal > 0 else -literal]:
                queue.append((literal, index, 0))
                return True
        self._blame(index)
        return False

    def _undo(self, length: int, pressing: int) -> None:
        value, satisfied = self._value, self._satisfied
        negated, positive = self._negated_open, self._positive_open
        trail = self._trail
        while len(trail) > length:
            literal = trail.pop()
            if literal > 0:
                value[literal] = _OPEN
                self._cost -= self._costs[literal]
                for index in self._offers[literal]:
                    satisfied[index] -= 1
                    positive[index] += 1
                for index in self._needs[literal]:
                    negated[index] += 1
            else:
                variable = -literal
                value[variable] = _OPEN
                for index in self._needs[variable]:
                    satisfied[index] -= 1
                    negated[index] += 1
                for index in self._offers[variable]:
                    positive[index] += 1
        del self._pressing[pressing:]

    # -- why it is impossible ----------------------------------------------------

    def _blame_meeting(self, variable: int, reason: int, because: int) -> None:
        """Both values of ``variable`` follow: collect what each of them follows from."""
        self._trace([variable, *self._antecedents(variable, reason, because)])

    def _antecedents(self, variable: int, reason: int, because: int) -> list[int]:
        if reason == _EXCLUDED:
            return [because]
        if reason < 0:
            return []
        self.core.add(self.model.origins[reason])
        return [abs(literal) for literal in self._clauses[reason] if abs(literal) != variable]

    def _blame(self, index: int) -> None:
        self.core.add(self.model.origins[index])
        self._trace([abs(literal) for literal in self._clauses[index]])

    def _trace(self, start: list[int]) -> None:
        seen: set[int] = set()
        stack = start
        while stack:
            variable = stack.pop()
            if variable in seen or not self._value[variable]:
                continue
            seen.add(variable)
            stack += self._antecedents(variable, self._reason[variable], self._because[variable])

    # -- questions -------------------------------------------------------------

    def assume(self, literals: Iterable[int]) -> bool:
        """Let ``literals`` hold from here on. False: they contradict what already holds."""
        if self.consistent:
            self.consistent = all(self._set(literal, _DECIDED) for literal in literals)
        return self.consistent

    def mark(self) -> tuple[int, int, bool]:
        """A point to come back to with ``back``."""
        return len(self._trail), len(self._pressing), self.consistent

    def back(self, mark: tuple[int, int, bool]) -> None:
        """Take back everything assumed since ``mark``."""
        self._undo(mark[0], mark[1])
        self.consistent = mark[2]

    def held(self) -> list[int]:
        """Literals that hold at this point."""
        return list(self._trail)

    def true_now(self) -> list[int]:
        """Variables that are true at this point."""
        return [literal for literal in self._trail if literal > 0]

    def settle(self) -> bool:
        """Let hold what every option of some pressing clause drags in. False: contradiction.

        Two ways of doing the same operation share most of their steps: those are certain
        before anybody chooses between the ways.
        """
        while self.consistent:
            certain = self._certain()
            if not certain:
                break
            self.assume(certain)
        return self.consistent

    def _certain(self) -> list[int]:
        value = self._value
        found: set[int] = set()
        for index in dict.fromkeys(self._pressing):
            if self._satisfied[index]:
                continue
            options = [lit for lit in self._clauses[index] if lit > 0 and not value[lit]]
            shared = set(self._follows_from(options[0]))
            for option in options[1:]:
                shared &= self._follows_from(option)
            found |= shared
        return [variable for variable in sorted(found) if value[variable] != _TRUE]

    def next_options(self, start: int = 0) -> tuple[list[int], int]:
        """Open literals of the first clause that presses and still leaves a choice, and where
        it stands; ``start``: where the one before stood."""
        pressing, satisfied = self._pressing, self._satisfied
        for place in range(start, len(pressing)):
            index = pressing[place]
            if not satisfied[index]:
                value = self._value
                return [lit for lit in self._clauses[index] if lit > 0 and not value[lit]], place
        return [], len(pressing)

    def open_choices(self) -> int:
        """How many clauses press and still leave a choice."""
        return sum(1 for index in self._pressing if not self._satisfied[index])

    def minimise(self, node_limit: int | None = None) -> list[int] | None:
        """The true variables of a cheapest choice, or None when there is none.

        The search order is fixed by the model, so equal models give equal answers.
        Raises TooHard past ``node_limit`` branchings.
        """
        if not self.consistent:
            return None
        self.nodes = 0
        self._limit = node_limit
        self._best_cost: int | None = None
        self._best: list[int] | None = None
        mark = self.mark()
        try:
            self._branch()
        finally:
            self.back(mark)
        return self._best

    def possible(self, node_limit: int | None = None) -> bool:
        """Whether any choice satisfies the clauses. Otherwise ``core`` holds origins that clash."""
        return self.example(node_limit) is not None

    def example(self, node_limit: int | None = None) -> list[int] | None:
        """The true variables of the first choice found that satisfies the clauses, or None.

        Then ``core`` has the origins of clauses that clash added to it.
        """
        if not self.consistent:
            return None
        self.nodes = 0
        self._limit = node_limit
        mark = self.mark()
        try:
            return self.true_now() if self._any() else None
        finally:
            self.back(mark)

    def _branch(self) -> None:
        if not self.settle():
            self.consistent = True
            return
        clause, bound = self._next_choice()
        if self._best_cost is not None and bound >= self._best_cost:
            return
        if clause < 0:
            self._best_cost = self._cost
            self._best = [literal for literal in self._trail if literal > 0]
            return
        self._count_node()
        length, pressing = len(self._trail), len(self._pressing)
        for literal in self._by_cost(clause):
            if self._value[literal]:
                continue
            inner = len(self._trail), len(self._pressing)
            if self._set(literal, _DECIDED):
                self._branch()
            self._undo(*inner)
            if not self._set(-literal, _DECIDED):
                break
            if self._satisfied[clause]:
                self._branch()
                break
        self._undo(length, pressing)

    def _any(self) -> bool:
        clause, _ = self._next_choice()
        if clause < 0:
            return True
        self._count_node()
        self.core.add(self.model.origins[clause])
        length, pressing = len(self._trail), len(self._pressing)
        for literal in self._by_cost(clause):
            if self._value[literal]:
                continue
            inner = len(self._trail), len(self._pressing)
            if self._set(literal, _DECIDED) and self._any():
                return True
            self._undo(*inner)
            if not self._set(-literal, _DECIDED):
                break
            if self._satisfied[clause]:
                if self._any():
                    return True
                break
        self._trace([abs(literal) for literal in self._clauses[clause]])
        self._undo(length, pressing)
        return False

    def _count_node(self) -> None:
        self.nodes += 1
        if self._limit is not None and self.nodes > self._limit:
            raise TooHard

    # -- choosing and bounding -----------------------------------------------------

    def _next_choice(self) -> tuple[int, int]:
        """The pressing clause whose options differ most in cost (-1: none), and a lower bound.

        The cost of a variable that several clauses could drag in is split evenly between
        them: however they are decided, it is paid at most once.
        """
        value = self._value
        open_: list[tuple[int, list[tuple[int, ...]]]] = []
        claims: dict[int, int] = {}
        for index in dict.fromkeys(self._pressing):
            if self._satisfied[index]:
                continue
            options = [
                tuple(v for v in self._implied_by(lit) if value[v] != _TRUE)
                for lit in self._clauses[index]
                if lit > 0 and not value[lit]
            ]
            open_.append((index, options))
            for variable in {v for option in options for v in option}:
                claims[variable] = claims.get(variable, 0) + 1
        if not open_:
            return -1, self._cost
        costs = self._costs
        share = {v: costs[v] // count for v, count in claims.items()}
        bound, chosen, widest = self._cost, -1, (-1, 0)
        for index, options in open_:
            shares = sorted(sum(share[v] for v in option) for option in options)
            bound += shares[0]
            spread = (shares[1] - shares[0], -len(options))
            if spread > widest:
                chosen, widest = index, spread
        return chosen, bound

    def _by_cost(self, clause: int) -> list[int]:
        """Open literals of a clause, the one that drags in least first."""
        value, costs = self._value, self._costs
        options = [lit for lit in self._clauses[clause] if lit > 0 and not value[lit]]
        return sorted(
            options,
            key=lambda lit: (
                sum(costs[v] for v in self._implied_by(lit) if value[v] != _TRUE),
                lit,
            ),
        )

    def _implied_by(self, literal: int) -> tuple[int, ...]:
        """Variables with a cost that must be true with ``literal``, by clauses of two literals."""
        found = self._implied.get(literal)
        if found is None:
            every = self._follows_from(literal)
            found = tuple(sorted(variable for variable in every if self._costs[variable]))
            self._implied[literal] = found
        return found

    def _follows_from(self, literal: int) -> frozenset[int]:
        """All variables that must be true with ``literal``, by clauses of two literals."""
        found = self._closures.get(literal)
        if found is None:
            found = self._closures[literal] = self._closure(literal)
        return found

    def _closure(self, literal: int) -> frozenset[int]:
        seen = {literal}
        stack = [literal]
        while stack:
            for index in self._needs[stack.pop()]:
                clause = self._clauses[index]
                if len(clause) != 2:
                    continue
                other = clause[0] if clause[0] > 0 else clause[1]
                if other > 0 and other not in seen:
                    seen.add(other)
                    stack.append(other)
        return frozenset(seen)
