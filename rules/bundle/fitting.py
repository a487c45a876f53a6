"""All wanted parts put on the machine together: the build list, or what cannot be together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from rules.answer import BuildList, Conflict, ConflictElement
from rules.build import build_list
from rules.bundle.stock import Stock
from rules.catalog import PartKey
from rules.compiled import CompiledCatalog
from rules.request import BuildRequest
from rules.speech import in_a_sentence, stopped

MOST_ROUNDS: Final = 4
"""How often conflicts are looked for anew once some are settled, at a second or two each; a
list with more of them is not a bundle, and gets no completion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A minimal conflict. ``keys`` and ``jobs``: the wanted parts and the jobs in it;
    ``sentence`` says why."""

    conflict: Conflict
    keys: tuple[PartKey, ...]
    sentence: str
    jobs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """``build`` None: nothing was asked for, or what is asked for cannot be. ``wanted``: what
    is fitted of the list; ``set_aside``: one part out of each clash."""

    build: BuildList | None
    wanted: tuple[PartKey, ...]
    set_aside: tuple[PartKey, ...] = ()
    clashes: tuple[Clash, ...] = ()


@dataclass
class Bench:
    """Solves for one machine and one stock."""

    compiled: CompiledCatalog
    request: BuildRequest
    stock: Stock
    today: date
    edition: str

    def fit(self) -> Fitting:
        """Everything wanted, but for one part out of each conflict."""
        clashes = [self._one_place(place) for place in sorted(self.stock.clashes)]
        aside = [key for keys in self.stock.clashes.values() for key in keys[1:]]
        wanted = set(self.stock.wanted)
        for _ in range(MOST_ROUNDS):
            build = self.build(wanted)
            if build is None or build.status != "conflict":
                return _fitting(build, wanted, aside, clashes)
            found = _telling([self._clash(conflict, wanted) for conflict in build.conflicts])
            clashes += found
            given_up = self._given_up(found)
            if not given_up:
                return _fitting(None, wanted, aside, clashes)
            aside += given_up
            wanted -= {*given_up}
        return _fitting(None, wanted, aside, clashes)

    def _given_up(self, clashes: list[Clash]) -> list[PartKey]:
        """One part out of each clash that has any, the one that least speaks for."""
        chosen: dict[PartKey, None] = {}
        for clash in clashes:
            if clash.keys and not chosen.keys() & {*clash.keys}:
                chosen[min(clash.keys, key=self._hold)] = None
        return [*chosen]

    def build(self, wanted: set[PartKey]) -> BuildList | None:
        """The cheapest build with these parts; None where nothing is asked for at all."""
        if not (wanted or self.request.jobs):
            return None
        request = replace(
            self.request,
            parts_wanted=tuple(sorted(wanted)),
            parts_on_hand=self.stock.on_hand,
        )
        return build_list(self.compiled, request, today=self.today, edition=self.edition)

    def _hold(self, key: PartKey) -> tuple[bool, int, PartKey]:
        """What speaks for keeping a part: a job renews its place; then what it costs."""
        part = self.compiled.parts[key]
        asked = {place for job in self.request.jobs for place in self.compiled.jobs[job].renew}
        return part.part_type in asked, part.price, key

    # -- saying why ------------------------------------------------------------------

    def _one_place(self, place: str) -> Clash:
        keys = self.stock.clashes[place][:2]
        label = self.compiled.part_types[place].label.lower()
        elements = tuple(
            ConflictElement(
                kind="wanted",
                ref=str(key),
                sentence=f"{key} is on the list as {label}.",
                basis="the list",
            )
            for key in keys
        )
        conflict = Conflict(elements=elements)
        sentence = f"A machine takes one kind of {label}."
        return Clash(conflict=conflict, keys=self.stock.clashes[place], sentence=sentence)

    def _clash(self, conflict: Conflict, wanted: set[PartKey]) -> Clash:
        named = {e.ref for e in conflict.elements if e.kind == "wanted"}
        jobs = [self.compiled.jobs[e.ref] for e in conflict.elements if e.kind == "job"]
        rest = [e for e in conflict.elements if e.kind not in ("wanted", "job")]
        said = (stopped(f"{stopped(e.sentence)} {e.detail}") for e in rest)
        return Clash(
            conflict=conflict,
            keys=tuple(sorted(key for key in wanted if str(key) in named)),
            jobs=tuple(f"the job {in_a_sentence(job.title)}" for job in jobs),
            sentence=" ".join(said),
        )


def _telling(clashes: list[Clash]) -> list[Clash]:
    """One clash for each set of parts on the list, and of the ways to say it the one without a
    job: what the list does by itself says more than what it does to a job."""
    by_keys: dict[tuple[PartKey, ...], Clash] = {}
    for clash in sorted(clashes, key=lambda c: (-len(c.keys), len(c.jobs))):
        by_keys.setdefault(clash.keys, clash)
    return [
        clash
        for keys, clash in by_keys.items()
        if not (clash.jobs and any(set(keys) < set(others) for others in by_keys))
    ]


def _fitting(
    build: BuildList | None, wanted: set[PartKey], aside: list[PartKey], clashes: list[Clash]
) -> Fitting:
    return Fitting(
        build=build,
        wanted=tuple(sorted(wanted)),
        set_aside=tuple(aside),
        clashes=tuple(clashes),
    )
