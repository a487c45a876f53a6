"""The clause model of one machine and one demand: every clause with what it follows from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from rules.catalog import Kit, Part, PartKey, Step
from rules.compiled import CompiledCatalog
from rules.demand import Demand
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.model.checks import Check, fires, where_check
from rules.model.costs import Prices, Weights, packs, tool_choice
from rules.model.dominance import undominated
from rules.model.looks import Looks
from rules.model.reach import Reach
from rules.model.tables import Combination, Group, Table, Tables, places_of
from rules.optimum import ClauseModel, Solver
from rules.values import Unknown

Place = str


@dataclass(slots=True)
class PlanModel:
    """Variables by meaning. ``unpriced``: minutes or quantities that are not known."""

    compiled: CompiledCatalog
    machine: Machine
    demand: Demand
    reach: Reach
    prices: Prices
    weights: Weights
    clauses: ClauseModel = field(default_factory=ClauseModel)
    renew: dict[Place, int] = field(default_factory=dict)
    choose: dict[tuple[Place, PartKey], int] = field(default_factory=dict)
    operation: dict[str, int] = field(default_factory=dict)
    way: dict[tuple[str, str], int] = field(default_factory=dict)
    step: dict[str, int] = field(default_factory=dict)
    in_shop: dict[str, int] = field(default_factory=dict)
    sent_out: dict[str, int] = field(default_factory=dict)
    tool: dict[str, int] = field(default_factory=dict)
    kit: dict[PartKey, int] = field(default_factory=dict)
    supply: dict[tuple[PartKey, Place, PartKey], int] = field(default_factory=dict)
    single: dict[tuple[Place, PartKey], int] = field(default_factory=dict)
    fires: dict[str, int] = field(default_factory=dict)
    quantity: dict[Place, int] = field(default_factory=dict)
    raised: dict[Place, dict[str, int]] = field(default_factory=dict)
    minutes: dict[str, int] = field(default_factory=dict)
    unpriced: dict[int, Unknown] = field(default_factory=dict)
    take: dict[Place, int] = field(default_factory=dict)
    shared_groups: dict[tuple[Place, tuple[object, ...]], int] = field(default_factory=dict)
    solver: Solver = field(init=False)

    @property
    def taken(self) -> list[int]:
        """Literals that hold while every add-on taken is in the plan."""
        return list(self.take.values())


def build_model(
    compiled: CompiledCatalog,
    machine: Machine,
    demand: Demand,
    *,
    strict: bool = True,
    after: PlanModel | None = None,
    changed: frozenset[str] = frozenset(),
) -> PlanModel:
    """The model of ``demand`` on ``machine``, closed over all that it can touch.

    ``after``: a model of the same machine before the places ``changed`` were renewed, whose
    work is used again.
    """
    if after is not None and not after.demand.wanted:
        before = after.reach.tables
        tables = Tables(
            machine,
            compiled.properties,
            compiled.memory,
            strict=strict,
            before=before,
            changed=changed,
        )
    else:
        tables = _tables(compiled, machine, demand, strict)
    reach = Reach(compiled, machine, demand, strict, tables)
    reach.close(_wishes(compiled, demand))
    prices = Prices(compiled, Assignment(machine, {}, {}, ()))
    model = PlanModel(compiled, machine, demand, reach, prices, Weights(demand.aim))
    _Builder(model, tables).build()
    model.solver = Solver(model.clauses, model.weights.objectives())
    return model


def _tables(
    compiled: CompiledCatalog, machine: Machine, demand: Demand, strict: bool
) -> Tables:
    """Tables for this machine: those of an earlier request where nothing they show differs."""
    tables = Tables(machine, compiled.properties, compiled.memory, strict=strict)
    if machine.signature is None:
        return tables
    wanted = tuple(sorted(key for w in demand.wanted for key in w.parts))
    # A job's own wishes stand beside the rules under the job's name, so jobs may share tables.
    return compiled.tables.shared((machine.signature, wanted, strict), tables)


def _wishes(compiled: CompiledCatalog, demand: Demand) -> list[Check]:
    return [
        where_check(("job", job.id), part_type, where)
        for job in demand.jobs
        for part_type, where in compiled.job_where[job.id].items()
    ]


class _Builder:
    """Fills a PlanModel, subject by subject."""

    def __init__(self, model: PlanModel, tables: Tables) -> None:
        self.m = model
        self.tables = tables
        self.add = model.clauses.add
        self.variable = model.clauses.variable
        self.wanted = {key for w in model.demand.wanted for key in w.parts}

    def build(self) -> None:
        self._quantities()
        self.kits = self._useful_kits()
        self.candidates = self._candidates()
        self._steps()
        self._operations()
        self._places()
        self._kits()
        self._demand()
        for check in self.m.reach.active_checks:
            self._check(check)

    # -- work -----------------------------------------------------------------------

    def _steps(self) -> None:
        m = self.m
        for name in sorted(m.reach.steps):
            m.step[name] = self.variable()
        for name in sorted(m.reach.steps):
            self._step(m.reach.steps[name])
        for name, variable in m.tool.items():
            choice = tool_choice(m.compiled.tools[name], name in m.demand.tools_owned)
            if choice.price is None:
                self.add((-variable,), ("tool", name))
            else:
                weight = m.weights.pack(exact=m.prices.exact(choice.price, "tool"))
                m.clauses.costs[variable] = weight

    def _step(self, step: Step) -> None:
        m = self.m
        doing = m.step[step.id]
        for needed in step.needs:
            if needed in m.step:
                self.m.clauses.implies(doing, m.step[needed], ("step", step.id))
        consumables = sum(
            uses * m.compiled.consumables[name].price for name, uses in step.consumables.items()
        )
        m.clauses.costs[doing] = m.weights.pack(exact=m.prices.exact(consumables, "consumable"))
        minutes = m.prices.minutes(step)
        m.minutes[step.id] = 0 if isinstance(minutes, Unknown) else minutes
        shop = m.in_shop[step.id] = self.variable(self._labour(m.minutes[step.id]))
        if isinstance(minutes, Unknown):
            m.unpriced[shop] = minutes
        ways = [shop]
        if step.send_out is not None:
            price = m.prices.exact(step.send_out.price, "sent_out")
            weight = m.weights.pack(exact=price, rank=1) + self._labour(step.send_out.minutes)
            m.sent_out[step.id] = self.variable(weight)
            ways.append(m.sent_out[step.id])
        self.add((-doing, *ways))
        for tool in step.tools:
            variable = m.tool.get(tool)
            if variable is None:
                variable = m.tool[tool] = self.variable()
            self.m.clauses.implies(shop, variable, ("step", step.id))

    def _labour(self, minutes: int) -> int:
        labour = self.m.prices.exact(self.m.prices.labour(minutes), "labour")
        return self.m.weights.pack(exact=labour, minutes=minutes)

    def _operations(self) -> None:
        m = self.m
        for name, ways in sorted(m.reach.ways.items()):
            doing = m.operation[name] = self.variable()
            for rank, way in enumerate(ways):
                variable = m.way[name, way.id] = self.variable(m.weights.pack(rank=rank))
                for step in way.steps:
                    if step in m.step:
                        m.clauses.implies(variable, m.step[step], ("operation", name))
            self.add((-doing, *(m.way[name, way.id] for way in ways)), ("operation", name))

    # -- places ----------------------------------------------------------------------

    def _quantities(self) -> None:
        m = self.m
        for place in m.reach.candidates:
            quantity = m.prices.quantity(place)
            # Not known: the hopeful reading must not be dearer than any truth, and nil is one.
            m.quantity[place] = int(m.reach.strict) if isinstance(quantity, Unknown) else quantity
        for check in m.reach.active_checks:
            if check.quantity is None or check.renew is None:
                continue
            quantity = m.prices.whole(check.quantity)
            if isinstance(quantity, Unknown):
                m.unpriced[self._fires(check.origin[1])] = quantity
                quantity = m.quantity[check.renew]
            elif quantity <= m.quantity[check.renew]:
                continue
            m.raised.setdefault(check.renew, {})[check.origin[1]] = quantity

    def levels(self, place: Place) -> list[int]:
        """The quantities that the place may need, least first."""
        return sorted({self.m.quantity[place], *self.m.raised.get(place, {}).values()})

    def _candidates(self) -> dict[Place, tuple[Part, ...]]:
        m = self.m
        in_kits = {content.part for kit in self.kits for content in kit.contents}
        looks = Looks(m.reach.active_checks, self.tables, m.reach)
        return {
            place: undominated(
                m.reach.candidates[place],
                look=lambda part, place=place: looks.of(place, part),  # type: ignore[misc]
                weights=lambda part, place=place: tuple(  # type: ignore[misc]
                    self._part_weight(place, part, level) for level in self.levels(place)
                ),
                protected=self.wanted | in_kits | m.demand.refused,
                usable=m.reach.offered,
            )
            for place in sorted(m.reach.candidates)
        }

    def _part_weight(self, place: Place, part: Part, quantity: int) -> int:
        """Weight of supplying the place with packs of the part, and of choosing it."""
        return self._buy_weight(part, quantity) + self._choice_weight(place, part)

    def _buy_weight(self, part: Part, quantity: int) -> int:
        short = max(0, quantity - self._on_hand(part.key))
        price = self.m.prices.exact(packs(part, short) * part.price, "part")
        return self.m.weights.pack(exact=price)

    def _on_hand(self, key: PartKey) -> int:
        return self.m.demand.on_hand.get(key, 0)

    def _choice_weight(self, place: Place, part: Part) -> int:
        m = self.m
        lost = self._longest_life(place) - (part.life_km or 0) if m.demand.aim == "life" else 0
        return m.weights.pack(lost_km=max(lost, 0), rank=m.compiled.rank[part.key])

    def _longest_life(self, place: Place) -> int:
        m = self.m
        offered = (p for p in m.reach.candidates[place] if m.reach.offered(p))
        return max((p.life_km or 0 for p in offered), default=0)

    def _places(self) -> None:
        m = self.m
        for place in sorted(m.reach.candidates):
            m.renew[place] = self.variable(m.weights.pack(renewed=1))
        for place, parts in self.candidates.items():
            self._place(place, parts)
        for name, step in sorted(m.reach.steps.items()):
            for place in step.spends:
                if place in m.renew and m.reach.has_fitted(place):
                    m.clauses.implies(m.step[name], m.renew[place], ("step", name))

    def _place(self, place: Place, parts: tuple[Part, ...]) -> None:
        m = self.m
        renewed = m.renew[place]
        operation = m.compiled.operation_of.get(place)
        if operation is not None:
            m.clauses.implies(renewed, m.operation[operation.id])
        choices = []
        for part in parts:
            variable = self.variable(self._choice_weight(place, part))
            m.choose[place, part.key] = variable
            choices.append(variable)
            if part.key in m.demand.refused:
                self.add((-variable,), ("refused", str(part.key)))
            if not m.reach.fits(part):
                self.add((-variable,), ("not_offered", str(part.key)))
        m.clauses.exclusive(choices, renewed)
        self.add((-renewed, *choices), ("no_candidate", place))
        quantity = m.prices.quantity(place)
        if isinstance(quantity, Unknown):
            m.unpriced[renewed] = quantity

    # -- kits ------------------------------------------------------------------------

    def _useful_kits(self) -> list[Kit]:
        """Kits that could beat single packs of what they hold, and those asked for."""
        m = self.m
        within = {part.key: place for place, parts in m.reach.candidates.items() for part in parts}
        wanted = {key for w in m.demand.wanted for key in w.kits}
        kits = {kit.key: kit for key in within for kit in m.compiled.kits_with.get(key, ())}
        return [
            kit
            for key, kit in sorted(kits.items())
            if key in wanted or (self._sold(kit) and self._may_save(kit, within))
        ]

    def _sold(self, kit: Kit) -> bool:
        return kit.key not in self.m.demand.refused and kit.key not in self.m.compiled.replaced_by

    def _may_save(self, kit: Kit, within: Mapping[PartKey, Place]) -> bool:
        singles = 0
        for content in kit.contents:
            place = within.get(content.part)
            held = content.quantity + self._on_hand(content.part)
            if place is not None and held >= self.m.quantity[place]:
                part = self.m.compiled.parts[content.part]
                short = max(0, self.levels(place)[-1] - self._on_hand(part.key))
                singles += packs(part, short) * part.price
        prices = self.m.prices
        return prices.exact(kit.price, "kit") < prices.exact(singles, "part")

    def _kits(self) -> None:
        m = self.m
        for kit in self.kits:
            weight = m.weights.pack(exact=m.prices.exact(kit.price, "kit"))
            variable = m.kit[kit.key] = self.variable(weight)
            if not self._sold(kit):
                self.add((-variable,), ("not_offered", str(kit.key)))
        for (place, key), chosen in list(m.choose.items()):
            self._supply(place, key, chosen)

    def _supply(self, place: Place, key: PartKey, chosen: int) -> None:
        m = self.m
        part = m.compiled.parts[key]
        levels = self.levels(place)
        kits = [
            (kit, content.quantity + self._on_hand(key))
            for kit in self.kits
            for content in kit.contents
            if content.part == key and content.quantity + self._on_hand(key) >= levels[0]
        ]
        buy = self._buy_weight(part, levels[0])
        if not kits and len(levels) == 1:
            m.clauses.costs[chosen] += buy
            return
        single = m.single[place, key] = self.variable(buy)
        sources = [single]
        for kit, held in kits:
            source = m.supply[kit.key, place, key] = self.variable()
            m.clauses.implies(source, m.kit[kit.key])
            sources.append(source)
            for rule, quantity in m.raised.get(place, {}).items():
                if held < quantity:
                    self.add((-source, -self._fires(rule)))
        self.add((-chosen, *sources))
        self._raise(place, part, single)

    def _raise(self, place: Place, part: Part, single: int) -> None:
        """More packs where a rule that fires raises the quantity, level by level."""
        m = self.m
        levels = self.levels(place)
        for lower, higher in pairwise(levels):
            more = self._buy_weight(part, higher) - self._buy_weight(part, lower)
            if not more:
                continue
            extra = self.variable(more)
            for rule, quantity in m.raised.get(place, {}).items():
                if quantity >= higher:
                    self.add((-single, -self._fires(rule), extra))

    def _fires(self, rule: str) -> int:
        if rule not in self.m.fires:
            self.m.fires[rule] = self.variable()
        return self.m.fires[rule]

    # -- demand ----------------------------------------------------------------------

    def _demand(self) -> None:
        m, demand = self.m, self.m.demand
        for job in demand.jobs:
            origin = ("job", job.id)
            if not m.reach.taken(_offered_job(m, job.id)):
                self.add((), origin)
            for place in job.renew:
                self.add((m.renew[place],), origin)
            for name in job.operations:
                self.add((m.operation[name],), origin)
        for wanted in demand.wanted:
            origin = ("wanted", str(wanted.asked))
            for key in wanted.parts:
                place = m.compiled.parts[key].part_type
                self.add((m.choose[place, key],), origin)
            for key in wanted.kits:
                self.add((m.kit[key],), origin)
        for place in demand.keep:
            if place in m.renew:
                self.add((-m.renew[place],), ("keep", place))
        for place in demand.add_ons:
            taken = m.take[place] = self.variable()
            self.add((-taken, m.renew[place]), ("add_on", place))

    # -- rules -----------------------------------------------------------------------

    def _check(self, check: Check) -> None:
        table = self.tables.table(check, self.m.reach)
        consequence = self._consequence(check)
        if consequence is None:
            return
        for literals in self._nogoods(table):
            self.add((*literals, *consequence), check.origin)

    def _consequence(self, check: Check) -> tuple[int, ...] | None:
        """Literals, one of which must hold where the check fires; None: it asks nothing."""
        m = self.m
        if check.do is not None:
            return (m.step[check.do],) if check.do in m.step else None
        if check.renew is None:
            return ()
        if check.origin[1] in m.raised.get(check.renew, {}):
            for literals in self._nogoods(self.tables.table(check, m.reach)):
                self.add((*literals, self._fires(check.origin[1])))
        return (m.renew[check.renew],)

    def _nogoods(self, table: Table) -> list[tuple[int, ...]]:
        """Clauses that rule the broken combinations out, those alike but for one axis merged."""
        if not table.axes:
            return [()] if table.broken else []
        widest = max(range(len(table.axes)), key=lambda i: len(table.axes[i].groups))
        merged: dict[Combination, list[Group]] = {}
        for combination in table.broken:
            rest = combination[:widest] + combination[widest + 1 :]
            merged.setdefault(rest, []).append(combination[widest])
        others = table.axes[:widest] + table.axes[widest + 1 :]
        clauses = []
        for rest, groups in merged.items():
            literals: list[int] | None = self._outside(
                table.axes[widest].name, table.axes[widest].is_step, groups
            )
            for axis, group in places_of(rest, others):
                out = self._outside(axis.name, axis.is_step, [group])
                literals = None if literals is None or out is None else [*literals, *out]
            if literals is not None:
                clauses.append(tuple(dict.fromkeys(literals)))
        return clauses

    def _outside(self, name: str, is_step: bool, groups: list[Group]) -> list[int] | None:
        """Literals of which one holds exactly when the choice is outside ``groups``.

        None: no candidate of the model is inside, so nothing needs ruling out.
        """
        members = [member for group in groups for member in group.members]
        if is_step:
            return self._outside_step(name, members)
        m = self.m
        if name not in m.renew:
            return [] if None in members else None
        inside = [
            m.choose[name, k] for k in members if isinstance(k, PartKey) and (name, k) in m.choose
        ]
        if None in members:
            chosen = set(inside)
            # Where there are none, renewing would do: that it cannot be done is said apart.
            everything = [v for _, v in self._of(name)] or [m.renew[name]]
            return [v for v in everything if v not in chosen]
        if not inside:
            return None
        if len(inside) == len(self.candidates[name]):
            return [-m.renew[name]]
        return [-self._group(name, inside)]

    def _outside_step(self, name: str, members: list[PartKey | bool | None]) -> list[int] | None:
        variable = self.m.step.get(name)
        if variable is None:
            return [] if False in members else None
        if len(set(members)) == 2:
            return []
        return [-variable] if True in members else [variable]

    def _of(self, place: Place) -> list[tuple[tuple[Place, PartKey], int]]:
        return [((place, p.key), self.m.choose[place, p.key]) for p in self.candidates[place]]

    def _group(self, place: Place, inside: list[int]) -> int:
        """A variable that is true when one of several candidates is chosen."""
        if len(inside) == 1:
            return inside[0]
        key = (place, tuple(sorted(inside)))
        found = self.m.shared_groups.get(key)
        if found is None:
            found = self.m.shared_groups[key] = self.variable()
            self.m.clauses.exclusive(inside, found)
        return found


def _offered_job(model: PlanModel, job: str) -> bool | Unknown:
    return fires(model.compiled.job_when[job], Assignment(model.machine, {}, {}, ()))
