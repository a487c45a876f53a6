"""Sections 1 to 3 of docs/model.md on one request: what may be chosen and what it takes.

Everything that depends on facts alone is settled here, so that the solvers only see
choices. All facts must be known.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rules.catalog import (
    Catalog,
    FactCondition,
    Kit,
    Operation,
    Part,
    PartKey,
    PartType,
    Rule,
    Step,
    Tool,
)
from rules.money import half_up
from rules.request import Aim, BuildRequest
from rules.values import Value

from .generator import Generated
from .terms import Occupant, Term, World


@dataclass(frozen=True)
class Work:
    """A step that is something on this machine. ``sent_minutes`` None: cannot be sent out."""

    id: str
    minutes: int
    needs: frozenset[str]
    spends: frozenset[str]
    tools: frozenset[str]
    consumables: Mapping[str, int]
    sent_price: int | None
    sent_minutes: int | None


@dataclass(frozen=True)
class Demands:
    """What the request fixes. ``impossible``: something that no plan can ever meet."""

    renew: frozenset[str]
    targets: Mapping[str, PartKey]
    kits: frozenset[PartKey]
    keep: frozenset[str]
    operations: frozenset[str]
    wheres: tuple[tuple[str, Term], ...]
    impossible: bool


@dataclass(frozen=True)
class Problem:
    """One machine and one wish. ``ways`` holds, for an operation, the steps of each usable way;
    ``all_ways`` the ids of all of them. ``tax``: basis points by line kind. ``occupants``:
    each part as it sits in its place. ``on_hand``: pieces that are paid for."""

    catalog: Catalog
    terms: Mapping[str, Term]
    aim: Aim
    facts: Mapping[str, Value]
    found: Mapping[str, Occupant]
    places: tuple[str, ...]
    candidates: Mapping[str, tuple[Part, ...]]
    quantity: Mapping[str, int]
    works: Mapping[str, Work]
    ways: Mapping[str, Mapping[str, frozenset[str]]]
    all_ways: Mapping[str, tuple[str, ...]]
    operation_of: Mapping[str, str]
    tool_price: Mapping[str, int | None]
    kits: tuple[Kit, ...]
    demands: Demands
    tax: Mapping[str, int]
    occupants: Mapping[PartKey, Occupant]
    on_hand: Mapping[PartKey, int]

    @property
    def rules(self) -> tuple[Rule, ...]:
        """Every rule of the catalog."""
        return self.catalog.rules

    def term(self, text: str) -> Term:
        """The function that means the same as this text."""
        return self.terms[text]

    def holds(self, text: str | None, world: World) -> bool:
        """A condition that is not there always holds; a failure does not."""
        return text is None or self.term(text).read(world) is True

    def whole(self, value: int | str) -> int:
        """A whole number, or what an expression over facts gives."""
        if isinstance(value, int):
            return value
        number = self.term(value).read(World(self.facts, {}, {}))
        assert isinstance(number, int)
        return number

    def exact(self, kind: str, amount: int) -> int:
        """An amount with the tax of its line kind, in ten-thousandths of a minor unit."""
        return amount * (10_000 + self.tax[kind])

    def labour(self, minutes: int) -> int:
        """What one step's minutes cost, rounded half up."""
        return half_up(minutes * self.catalog.policy.labour_rate_per_hour, 60)

    def price(self, consumable: str) -> int:
        """The price of one use."""
        return next(one.price for one in self.catalog.consumables if one.id == consumable)

    def short(self, part: PartKey, quantity: int) -> int:
        """How many pieces are still needed beside those on hand."""
        return max(0, quantity - self.on_hand.get(part, 0))

    def packs(self, part: Part, quantity: int) -> int:
        """How many packs hold what is still needed."""
        return -(-self.short(part.key, quantity) // part.pack_quantity)

    def pieces(self, kit: Kit, part: PartKey) -> int:
        """How many pieces of a part a kit holds."""
        return sum(row.quantity for row in kit.contents if row.part == part)


def pose(generated: Generated, request: BuildRequest | None = None) -> Problem:
    """Read a catalog and a request by the written definition. Raises KeyError on unknown names."""
    return _Reading(generated, request or generated.request).problem()


class _Reading:
    def __init__(self, generated: Generated, request: BuildRequest) -> None:
        self.catalog = generated.catalog
        self.terms = generated.terms
        self.request = request
        self.vehicle = next(one for one in self.catalog.vehicles if one.id == request.vehicle_id)
        self.facts: dict[str, Value] = {**self.vehicle.facts, **request.facts}
        self.parts = {part.key: part for part in self.catalog.parts}
        self.places = {one.id: one for one in self.catalog.part_types}
        self.machine = World(self.facts, {}, {})
        self.refused = {
            one for asked in request.parts_refused for one in sold_as(self.catalog, asked)
        }

    def problem(self) -> Problem:
        places = tuple(sorted(one.id for one in self.catalog.part_types))
        return Problem(
            catalog=self.catalog,
            terms=self.terms,
            aim=self.request.aim,
            facts=self.facts,
            found=self._found(),
            places=places,
            candidates={place: self._candidates(place) for place in places},
            quantity={one.id: self._whole(one.quantity) for one in self.catalog.part_types},
            works={one.id: self._work(one) for one in self.catalog.steps if self._is(one.when)},
            ways={one.id: self._ways(one) for one in self.catalog.operations},
            all_ways={one.id: tuple(way.id for way in one.ways) for one in self.catalog.operations},
            operation_of={place: one.id for one in self.catalog.operations for place in one.renews},
            tool_price={one.id: self._tool_price(one) for one in self.catalog.tools},
            kits=tuple(one for one in self.catalog.kits if one.key not in self.refused),
            demands=self._demands(),
            tax=self._tax(),
            occupants={
                part.key: Occupant(_properties(part, self.places[part.part_type]))
                for part in self.catalog.parts
            },
            on_hand=self.request.parts_on_hand,
        )

    def _tax(self) -> dict[str, int]:
        classes = {one.id: one.basis_points for one in self.catalog.tax_classes}
        return {kind: classes[name] for kind, name in self.catalog.policy.tax_of.items()}

    def _is(self, text: str | None) -> bool:
        return text is None or self.terms[text].read(self.machine) is True

    def _whole(self, value: int | str) -> int:
        number = self.terms[value].read(self.machine) if isinstance(value, str) else value
        assert isinstance(number, int)
        return number

    def _matches(self, conditions: tuple[FactCondition, ...]) -> bool:
        return all(self._matches_one(one) for one in conditions)

    def _matches_one(self, condition: FactCondition) -> bool:
        value = self.facts[condition.fact]
        if condition.values and value not in condition.values:
            return False
        if condition.low is None and condition.high is None:
            return True
        assert not isinstance(value, str)
        low, high = condition.low, condition.high
        return (low is None or low <= value) and (high is None or value <= high)

    # Section 1: the machine

    def _found(self) -> dict[str, Occupant]:
        said = {one.part_type: one for one in self.request.fitted}
        found = {}
        for place in self.catalog.part_types:
            if place.id in said:
                one = said[place.id]
                listed = _properties(self.parts[one.part], place) if one.part else {}
                found[place.id] = Occupant({**listed, **one.properties}, one.run_km)
            elif (factory := self._factory(place.id)) is not None:
                run = self.facts["odometer_km"]
                assert isinstance(run, int)
                found[place.id] = Occupant(_properties(self.parts[factory], place), run)
        return found

    def _factory(self, place: str) -> PartKey | None:
        rows = [
            row.part
            for row in self.catalog.factory_parts
            if row.part_type == place and self._matches(row.conditions)
        ]
        assert len(rows) <= 1
        return rows[0] if rows else None

    # Section 2: the candidates

    def _candidates(self, place: str) -> tuple[Part, ...]:
        old = {row.old for row in self.catalog.supersessions}
        fitting = [
            part
            for part in self.catalog.parts
            if part.part_type == place
            and part.status == "current"
            and part.key not in old
            and part.key not in self.refused
            and self._fits(part.key)
        ]
        return tuple(sorted(fitting, key=lambda part: part.key))

    def _fits(self, part: PartKey) -> bool:
        said = [
            row.fits
            for row in self.catalog.fitment
            if row.part == part and self._matches(row.conditions)
        ]
        return bool(said) and all(said)

    # Section 3: the work

    def _work(self, step: Step) -> Work:
        nothing = {one.id for one in self.catalog.steps if not self._is(one.when)}
        return Work(
            id=step.id,
            minutes=self._whole(step.minutes),
            needs=frozenset(step.needs) - nothing,
            spends=frozenset(step.spends),
            tools=frozenset(step.tools),
            consumables=step.consumables,
            sent_price=step.send_out.price if step.send_out else None,
            sent_minutes=step.send_out.minutes if step.send_out else None,
        )

    def _ways(self, operation: Operation) -> dict[str, frozenset[str]]:
        something = {one.id for one in self.catalog.steps if self._is(one.when)}
        return {
            way.id: frozenset(way.steps) & something for way in operation.ways if self._is(way.when)
        }

    def _tool_price(self, tool: Tool) -> int | None:
        own = self.request.tools_owned
        if tool.owned if own is None else tool.id in own:
            return 0
        offers = [] if tool.hire_price is None else [tool.hire_price]
        if tool.buy_price is not None:
            offers.append(max(0, tool.buy_price - (tool.resale_price or 0)))
        return min(offers, default=None)

    # Section 4: what is asked

    def _demands(self) -> Demands:
        jobs = [one for one in self.catalog.jobs if one.id in self.request.jobs]
        targets, kits, clash = self._wanted()
        return Demands(
            renew=frozenset(place for job in jobs for place in job.renew)
            | frozenset(self.request.add_ons),
            targets=targets,
            kits=kits,
            keep=frozenset(self.request.keep),
            operations=frozenset(one for job in jobs for one in job.operations),
            wheres=tuple(
                (place, self.terms[text]) for job in jobs for place, text in job.where.items()
            ),
            impossible=clash
            or any(not self._is(job.when) for job in jobs)
            or bool(kits & self.refused),
        )

    def _wanted(self) -> tuple[dict[str, PartKey], frozenset[PartKey], bool]:
        """The targets and kits wanted, after supersession; and whether two are for one place."""
        kits = {kit.key: kit for kit in self.catalog.kits}
        current = [
            one for asked in self.request.parts_wanted for one in sold_as(self.catalog, asked)
        ]
        wanted_kits = frozenset(one for one in current if one in kits)
        singles = [one for one in current if one not in kits]
        for key in wanted_kits:
            singles += [row.part for row in kits[key].contents]
        targets: dict[str, PartKey] = {}
        clash = False
        for one in singles:
            place = self.parts[one].part_type
            clash = clash or targets.setdefault(place, one) != one
        return targets, wanted_kits, clash


def sold_as(catalog: Catalog, key: PartKey) -> list[PartKey]:
    """What a number is sold as today: itself, or what its supersessions end in."""
    following = [row.new for row in catalog.supersessions if row.old == key]
    if not following:
        return [key]
    return [end for new in following for end in sold_as(catalog, new)]


def _properties(part: Part, place: PartType) -> dict[str, Value]:
    named = {one.name for one in place.properties}
    known = {name: value for name, value in part.properties.items() if value is not None}
    life: dict[str, Value] = {} if part.life_km is None else {"life_km": part.life_km}
    return {
        **{name: value for name, value in known.items() if name in named},
        **life,
        "brand": part.key.brand,
        "number": part.key.number,
        "condition": part.condition,
        "emission_class": part.emission_class,
    }
