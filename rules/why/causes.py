"""What brings each thing of a plan about: every link is a row or a rule that holds in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass
from typing import Final, NamedTuple

from rules.catalog import Recommendation
from rules.compiled import CompiledRule
from rules.demand import Wanted
from rules.listing.context import Context
from rules.listing.sides import shortfall
from rules.model.assignment import Assignment
from rules.model.checks import Check, fires
from rules.speech import in_a_sentence, stopped
from rules.values import Unknown
from rules.why.answer import LinkKind


class Node(NamedTuple):
    """Something in the plan, or a wish, by kind and id (kits and wishes: brand and number)."""

    kind: LinkKind
    ref: str
    mended_by: str = ""
    """Of a rule that would be broken otherwise: the place or step that mends it."""


@dataclass(frozen=True, slots=True)
class Cause:
    """``sentence``: how the effect follows from ``node``."""

    node: Node
    sentence: str


NOTHING: Final[frozenset[str]] = frozenset()


class Causes:
    """Direct causes within one plan."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.plan = context.plan
        self.compiled = context.compiled
        self.machine = Node("machine", _machine_ref(context))
        self._rules: dict[str, Check] = {c.origin[1]: c for c in self.compiled.checks}

    def of(self, node: Node) -> list[Cause]:
        """Direct causes, in a fixed order; none of what was asked or told."""
        if node.kind == "rule":
            return list(self._of_rule(node))
        found = {
            "part": self._of_place,
            "operation": self._of_operation,
            "step": self._of_step,
            "sent_out": self._of_sent_out,
            "tool": self._of_tool,
            "consumable": self._of_consumable,
            "kit": self._of_kit,
            "add_on": self._of_add_on,
        }.get(node.kind)
        return [] if found is None else list(found(node.ref))

    def opening(self, node: Node) -> str:
        """The sentence of what a chain starts from."""
        if node.kind == "job":
            return f"Asked for: {in_a_sentence(self.compiled.jobs[node.ref].title)}."
        if node.kind == "wanted":
            return _wanted_sentence(self._wanted(node.ref))
        if node.kind == "taken":
            return f"Taken as an add-on: {self.label(node.ref)}."
        return "The machine as it came in."

    def label(self, place: str) -> str:
        """The part type within a sentence."""
        return in_a_sentence(self.context.label(place))

    # -- places --------------------------------------------------------------------

    def _of_place(self, place: str) -> Iterator[Cause]:
        label, part = self.label(place), self.plan.target[place]
        demand = self.context.model.demand
        for job in demand.jobs:
            if place in job.renew:
                yield Cause(Node("job", job.id), f"It renews the {label}.")
        for wanted in demand.wanted:
            if part.key in wanted.parts:
                yield Cause(Node("wanted", str(wanted.asked)), f"So the {label} is renewed.")
        if place in demand.add_ons:
            yield Cause(Node("taken", place), f"So the {label} is renewed.")
        yield from self._rules_for_place(place)
        yield from self._spending_steps(place)

    def _spending_steps(self, place: str) -> Iterator[Cause]:
        if not self.context.model.reach.has_fitted(place):
            return
        for name in self.plan.steps:
            if place in self.compiled.steps[name].spends:
                sentence = f"The {self.label(place)} is not used again after it and is renewed."
                yield Cause(Node("step", name), sentence)

    def _rules_for_place(self, place: str) -> Iterator[Cause]:
        """Requirements to renew it, and rules that would be broken if it were kept."""
        label = self.label(place)
        kept = self.context.assignment(without=place)
        for check in self.compiled.checks:
            rule = Node("rule", check.origin[1])
            if check.renew == place:
                if check.broken(self.context.seen) is not False:
                    yield Cause(rule, f"So the {label} is renewed.")
            elif place in check.places and self._violated(
                check, self._places({place}), self._steps()
            ):
                rule = Node("rule", check.origin[1], place)
                yield Cause(rule, self._with_the_old_part(check, place, kept))

    def _with_the_old_part(self, check: Check, place: str, kept: Assignment) -> str:
        label = self.label(place)
        compiled = self.compiled.rules[check.origin[1]]
        if isinstance(check.broken(kept), Unknown):
            return f"Whether the {label} fitted now does is not known, so it is renewed."
        numbers = ""
        if compiled.parts:
            unit = getattr(compiled.rule, "unit", None)
            numbers = shortfall(compiled.parts[0], kept, self.context.seen, label, unit)
        if place not in self.context.model.machine.fitted:
            return f"{numbers} There is no {label} yet, so one is fitted.".lstrip()
        told = numbers or f"It would not hold with the {label} kept as it is."
        return f"{told} So the {label} is renewed."

    def _places(self, without: Set[str] = NOTHING) -> set[str]:
        return self.plan.target.keys() - without

    def _steps(self, without: Set[str] = NOTHING) -> set[str]:
        return self.plan.minutes.keys() - without

    def _violated(self, check: Check, places: set[str], steps: set[str]) -> bool:
        """Whether the plan, changed to these places and steps, breaks the check."""
        met = check.renew in places or check.do in steps
        return not met and self._asks_of(check, places, steps)

    def _asks_of(self, check: Check, places: set[str], steps: set[str]) -> bool:
        """Whether the check fires there. One that is not known of a machine in which nothing
        that it reads is touched says nothing (docs/model.md, section 5)."""
        outcome = check.broken(self._env(places, steps))
        if isinstance(outcome, Unknown):
            return bool(places.intersection(check.places) or steps.intersection(check.steps))
        return outcome

    # -- work ------------------------------------------------------------------------

    def _of_operation(self, name: str) -> Iterator[Cause]:
        operation = self.compiled.operations[name]
        way = next(w for w in operation.ways if w.id == self.plan.ways[name])
        done = f"{in_a_sentence(operation.title)}; the way: {in_a_sentence(way.title)}"
        for place in self.plan.target:
            if place in operation.renews:
                yield Cause(Node("part", place), f"The work for it: {done}.")
        for job in self.context.model.demand.jobs:
            if name in job.operations:
                yield Cause(Node("job", job.id), f"It includes the work: {done}.")

    def _of_step(self, name: str) -> Iterator[Cause]:
        title = in_a_sentence(self.compiled.steps[name].title)
        for operation, way_id in sorted(self.plan.ways.items()):
            ways = self.compiled.operations[operation].ways
            if any(way.id == way_id and name in way.steps for way in ways):
                yield Cause(Node("operation", operation), f"That takes this step: {title}.")
        for other in self.plan.steps:
            if name in self.compiled.steps[other].needs:
                yield Cause(Node("step", other), f"First, to get at it: {title}.")
        yield from self._rules_for_step(name, title)

    def _rules_for_step(self, name: str, title: str) -> Iterator[Cause]:
        for check in self.compiled.checks:
            rule = Node("rule", check.origin[1])
            if check.do == name:
                if check.broken(self.context.seen) is not False:
                    yield Cause(rule, f"So this is done: {title}.")
            elif name in check.steps and self._violated(check, self._places(), self._steps({name})):
                rule = Node("rule", check.origin[1], name)
                yield Cause(rule, f"It would not hold without this step: {title}.")

    def _of_sent_out(self, name: str) -> Iterator[Cause]:
        send_out = self.compiled.steps[name].send_out
        if send_out is not None:
            sentence = f"It is sent out: {in_a_sentence(send_out.title)}."
            yield Cause(Node("step", name), sentence)

    def _of_tool(self, tool: str) -> Iterator[Cause]:
        title = self.compiled.tools[tool].title
        for name in self.plan.steps:
            if tool in self.compiled.steps[name].tools and name not in self.plan.sent_out:
                yield Cause(Node("step", name), f"It takes the tool: {title}.")

    def _of_consumable(self, consumable: str) -> Iterator[Cause]:
        title = in_a_sentence(self.compiled.consumables[consumable].title)
        for name in self.plan.steps:
            if consumable in self.compiled.steps[name].consumables:
                yield Cause(Node("step", name), f"It uses: {title}.")

    # -- kits and wishes ---------------------------------------------------------------

    def _of_kit(self, ref: str) -> Iterator[Cause]:
        key = next(key for key in self.plan.kits if str(key) == ref)
        title = self.compiled.kits[key].title
        for wanted in self.context.model.demand.wanted:
            if key in wanted.kits:
                yield Cause(Node("wanted", str(wanted.asked)), f"So the kit is bought: {title}.")
        for place, supplied_by in sorted(self.plan.kit_of.items()):
            if supplied_by == key:
                yield Cause(Node("part", place), f"It comes in this kit: {title} ({key}).")

    def _wanted(self, asked: str) -> Wanted:
        return next(w for w in self.context.model.demand.wanted if str(w.asked) == asked)

    # -- rules -------------------------------------------------------------------------

    def _of_rule(self, node: Node) -> Iterator[Cause]:
        sentence = stopped(self.compiled.rules[node.ref].rule.sentence)
        for trigger in self._triggers(self._rules[node.ref], node.mended_by):
            yield Cause(trigger, sentence)

    def _triggers(self, check: Check, mended_by: str) -> list[Node]:
        """What in the plan makes the rule ask for something: it asks for nothing without any
        one of these, or where none does it alone, without all. Else it is the machine itself."""
        places = self.plan.target.keys() & set(check.places) - {mended_by, check.renew}
        steps = self.plan.minutes.keys() & set(check.steps) - {mended_by, check.do}
        nodes = [
            *(Node("part", place) for place in sorted(places)),
            *(Node("step", step) for step in sorted(steps)),
        ]
        return self._deciding(nodes, lambda without: self._asks(check, mended_by, without))

    def _deciding(self, nodes: list[Node], asks: Callable[[set[Node]], bool]) -> list[Node]:
        alone = [node for node in nodes if not asks({node})]
        if alone:
            return alone
        return nodes if nodes and not asks(set(nodes)) else [self.machine]

    def _asks(self, check: Check, mended_by: str, without: set[Node]) -> bool:
        """Whether the rule asks for something with these, and what mends it, left as found."""
        return self._asks_of(check, *self._left_out(without, {mended_by}))

    def _left_out(self, without: set[Node], more: set[str]) -> tuple[set[str], set[str]]:
        """The plan's places and steps without these."""
        kept = {node.ref for node in without if node.kind == "part"} | more
        undone = {node.ref for node in without if node.kind == "step"} | more
        return self._places(kept), self._steps(undone)

    def _env(self, places: set[str], steps: set[str]) -> Assignment:
        chosen = {place: self.plan.target[place].key for place in places}
        return Assignment(self.context.model.machine, self.compiled.properties, chosen, steps)

    # -- add-ons ----------------------------------------------------------------------

    def _of_add_on(self, place: str) -> Iterator[Cause]:
        """The recommendation that offers it, through what makes its condition hold."""
        for compiled in self.compiled.recommendations:
            rule = compiled.rule
            if isinstance(rule, Recommendation) and rule.renew == place:
                sentence = f"{stopped(rule.sentence)} So the {self.label(place)} is offered."
                for node in self._recommended_by(compiled):
                    yield Cause(node, sentence)

    def _recommended_by(self, compiled: CompiledRule) -> list[Node]:
        when = compiled.when
        if fires(when, self.context.seen) is False:
            return []
        if when is None:
            return [self.machine]
        reads = when.reads
        places = {t for t, _ in reads.target} | reads.renewed | reads.present
        nodes = [
            *(Node("part", p) for p in sorted(places & self.plan.target.keys())),
            *(Node("step", s) for s in sorted(reads.doing & self.plan.minutes.keys())),
        ]
        return self._deciding(
            nodes,
            lambda without: fires(when, self._env(*self._left_out(without, set()))) is not False,
        )


def _machine_ref(context: Context) -> str:
    vehicle = context.model.machine.vehicle
    return vehicle.id if vehicle else ""


def _wanted_sentence(wanted: Wanted) -> str:
    if not wanted.current.changed:
        return f"Asked for: {wanted.asked}."
    now = " and ".join(map(str, wanted.current.current))
    return f"Asked for: {wanted.asked}, an old number; today {now}."
