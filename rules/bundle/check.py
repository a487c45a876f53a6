"""The bundle check: parts bought elsewhere, judged line by line and as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rules.answer import AskedFact, BuildList, MachineFacts, PartLine
from rules.bundle.answer import BundleCheck, BundleStatus, LineVerdict, MissingPart, SpareLine
from rules.bundle.fitting import Bench, Fitting
from rules.bundle.judge import Judge
from rules.bundle.needed import needed_places
from rules.bundle.paid import completed, own_parts
from rules.bundle.request import MOST_LINES, BundleRequest
from rules.bundle.resolve import Resolved, Resolver
from rules.bundle.stock import Stock, stock_of
from rules.bundle.words import joined, packs
from rules.compiled import CompiledCatalog
from rules.demand import resolve
from rules.faults import Fault, Faulty
from rules.identify import identify
from rules.listing.wish import told_facts
from rules.machine import Machine
from rules.model.assignment import Assignment
from rules.model.costs import Prices
from rules.unknown import asked
from rules.values import Unknown


def check_bundle(
    compiled: CompiledCatalog, request: BundleRequest, *, today: date, edition: str
) -> BundleCheck:
    """Judge every line, say what is missing, what is too much and what conflicts, and complete
    the bundle at least cost.

    Raises Faulty (JSON Pointers into the request) when machine, jobs, tools or the length of
    the list are wrong; a line that cannot be used is a verdict, not an error.
    """
    machine = _machine(compiled, request)
    resolver = Resolver(compiled, machine)
    lines = tuple(resolver.resolve(line) for line in request.lines)
    stock = stock_of(compiled, lines, any_job=bool(request.build.jobs))
    bench = Bench(compiled, request.build, stock, today, edition)
    fitting = bench.fit()
    return _Answer(compiled, request, machine, lines, stock, bench, fitting).check()


def _machine(compiled: CompiledCatalog, request: BundleRequest) -> Machine:
    faults: list[Fault] = []
    machine: Machine | None = None
    try:
        machine = identify(compiled, request.build)
    except Faulty as error:
        faults.extend(error.faults)
    try:
        resolve(compiled, request.build)
    except Faulty as error:
        faults.extend(error.faults)
    if not request.lines:
        mend = "Give at least one part number."
        faults.append(Fault("/lines", "the list is empty", mend))
    if len(request.lines) > MOST_LINES:
        problem = f"the list has {len(request.lines)} lines"
        mend = f"Give at most {MOST_LINES} lines at once."
        faults.append(Fault("/lines", problem, mend))
    if faults or machine is None:
        raise Faulty(faults)
    return machine


@dataclass
class _Answer:
    compiled: CompiledCatalog
    request: BundleRequest
    machine: Machine
    lines: tuple[Resolved, ...]
    stock: Stock
    bench: Bench
    fitting: Fitting

    def check(self) -> BundleCheck:
        build = self.fitting.build
        priced = None if build is None or build.totals is None else build
        needed = None
        if priced is not None and self.request.build.jobs:
            priced, needed = self._only_needed(priced)
        completion = None if priced is None else completed(priced)
        judge = self._judge(priced, needed)
        verdicts = tuple(judge.verdict(line) for line in self.lines)
        missing = () if completion is None else tuple(self._missing(completion))
        asks = self._asks(priced or build)
        spare = tuple(judge.spare())
        status = self._status(asks, missing, completion)
        return BundleCheck(
            status=status,
            summary=self._summary(status, verdicts, missing, spare),
            edition=self.bench.edition,
            catalog=self.compiled.catalog.name,
            made_on=self.bench.today,
            machine=self._machine_facts(),
            jobs=tuple(sorted(set(self.request.build.jobs))),
            lines=verdicts,
            missing=missing,
            spare=spare,
            conflicts=tuple(clash.conflict for clash in self.fitting.clashes),
            set_aside=self.fitting.set_aside,
            asks=asks,
            own_parts=None if priced is None else own_parts(self.compiled, priced),
            completion=completion,
        )

    def _judge(self, build: BuildList | None, needed: frozenset[str] | None) -> Judge:
        parts = () if build is None else build.parts
        target = {line.part_type: line.part for line in parts}
        return Judge(
            compiled=self.compiled,
            lines=self.lines,
            stock=self.stock,
            needs={**self._usual_needs(), **{line.part_type: line.quantity for line in parts}},
            target=target,
            needed=needed,
            clashes=self.fitting.clashes,
            aside=frozenset(self.fitting.set_aside) - set(target.values()),
        )

    def _usual_needs(self) -> dict[str, int]:
        prices = Prices(self.compiled, Assignment(self.machine, {}, {}, ()))
        quantities = {place: prices.quantity(place) for place in self.compiled.part_types}
        return {p: q for p, q in quantities.items() if not isinstance(q, Unknown)}

    def _only_needed(self, build: BuildList) -> tuple[BuildList, frozenset[str]]:
        """The build without the wishes that its jobs do not need, and the places that they do.

        What the reasons call unneeded is tried: without those wishes the place must stay.
        """
        places = needed_places(self.compiled, self.request.build, build)
        kept = {k for k in self.fitting.wanted if self.compiled.parts[k].part_type in places}
        if len(kept) == len(self.fitting.wanted):
            return build, frozenset(line.part_type for line in build.parts)
        without = self.bench.build(kept)
        if without is None or without.totals is None:
            return build, frozenset(line.part_type for line in build.parts)
        return without, frozenset(line.part_type for line in without.parts)

    # -- what is missing -----------------------------------------------------------------

    def _missing(self, completion: BuildList) -> Iterator[MissingPart]:
        for kit in completion.kits:
            supplied = [self.compiled.part_types[p].label.lower() for p in kit.supplies]
            yield MissingPart(
                part=kit.kit,
                title=kit.title,
                part_type="",
                kit=True,
                packs=1,
                pack_quantity=1,
                quantity=1,
                on_hand=0,
                counted_in="piece",
                amount=kit.amount,
                sentence=f"Supplies {', '.join(supplied)}.",
            )
        for line in completion.parts:
            if line.from_kit is None and line.packs:
                yield MissingPart(
                    part=line.part,
                    title=line.title,
                    part_type=line.part_type,
                    kit=False,
                    packs=line.packs,
                    pack_quantity=line.pack_quantity,
                    quantity=line.quantity,
                    on_hand=self.stock.on_hand.get(line.part, 0),
                    counted_in=line.counted_in,
                    amount=line.amount,
                    sentence=_why_missing(line),
                )

    def _asks(self, build: BuildList | None) -> tuple[AskedFact, ...]:
        """What the build depends on, and what the fit of a line depends on."""
        found = {ask.fact: ask for ask in (build.asks if build else ())}
        open_: set[str] = set()
        for line in self.lines:
            for verdict in line.fits.values():
                if isinstance(verdict.fits, Unknown):
                    open_ |= verdict.fits.missing
        rest = tuple(sorted(open_ - found.keys()))
        return (*found.values(), *asked(self.compiled, rest))

    # -- the whole ------------------------------------------------------------------------

    def _status(
        self,
        asks: tuple[AskedFact, ...],
        missing: tuple[MissingPart, ...],
        completion: BuildList | None,
    ) -> BundleStatus:
        if self.fitting.clashes:
            return "conflict"
        if asks:
            return "needs_facts"
        return "incomplete" if missing or completion is None else "complete"

    def _summary(
        self,
        status: BundleStatus,
        verdicts: tuple[LineVerdict, ...],
        missing: tuple[MissingPart, ...],
        spare: tuple[SpareLine, ...],
    ) -> str:
        said = [self._verdict_sentence(status, missing)]
        unused = [str(v.at) for v in verdicts if v.verdict in _UNUSABLE]
        if unused:
            said.append(f"Line{'' if len(unused) == 1 else 's'} {_some(unused)} cannot be used.")
        if spare:
            said.append("Some of it can go back.")
        return " ".join(said)

    def _verdict_sentence(self, status: BundleStatus, missing: tuple[MissingPart, ...]) -> str:
        count = packs(len(missing), 1, "piece")
        number = f"{count} number{'' if len(missing) == 1 else 's'}"
        if status == "conflict":
            return "Not everything on the list can be fitted together."
        if status == "needs_facts":
            return "Not settled: it depends on what is asked below."
        if status == "complete":
            return "Complete: nothing is missing."
        if missing:
            return f"Incomplete: {number} still to buy."
        return "Nothing on the list can be used on this machine."

    def _machine_facts(self) -> MachineFacts:
        build = self.fitting.build
        if build is not None:
            return build.machine
        vehicle = self.machine.vehicle
        count = len(self.machine.candidates)
        return MachineFacts(
            vehicle_id=vehicle.id if vehicle else None,
            label=vehicle.label if vehicle else f"one of {count} configurations",
            facts=tuple(sorted(self.machine.facts.items())),
            told=told_facts(self.compiled, self.request.build.facts),
        )


def _some(places: list[str], most: int = 12) -> str:
    """``2, 3 and 7``; of a long list the first few and how many more there are."""
    if len(places) <= most:
        return joined(places)
    return f"{', '.join(places[:most])} and {len(places) - most} more"


def _why_missing(line: PartLine) -> str:
    """The first reason that is not the list itself."""
    said = (reason.sentence for reason in line.reasons if reason.kind != "wanted")
    return next(said, "More of what is on the list.")


_UNUSABLE = frozenset({"not_read", "unknown_number", "withdrawn", "does_not_fit", "not_settled"})
