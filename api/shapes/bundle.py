"""Shapes of ``POST /v1/bundle-checks``: one for each record of ``rules.bundle.answer``."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints

from api.shapes.answer import AskedFactShape, BuildListShape, ConflictShape, MachineFactsShape
from api.shapes.common import Answer, MoneyShape, Name, PartKeyShape
from api.shapes.request import Asked, AskedFittedPart, AskedVehicle, BuildListRequest, PartText
from rules.bundle.answer import BundleStatus, Verdict
from rules.bundle.paste import count_lines, read_paste, shown
from rules.bundle.request import MOST_LINES, MOST_PACKS, BundleLine, BundleRequest
from rules.compiled import CompiledCatalog
from rules.faults import Fault, Faulty
from rules.request import Aim


class AskedLine(Asked):
    """A number on the list, as it is sold: so many packs or kits of it."""

    brand: PartText | None = None
    """Leave it out to find the part by number alone."""
    number: PartText
    quantity: Annotated[int, Field(ge=1, le=MOST_PACKS)] = 1

    def line(self, at: int) -> BundleLine:
        written = f"{self.brand} {self.number}" if self.brand else self.number
        return BundleLine(
            at=at,
            written=shown(f"{self.quantity} × {written}"),
            brand=self.brand or "",
            number=self.number,
            quantity=self.quantity,
        )


class BundleCheckRequest(Asked):
    """A machine and a list of parts bought elsewhere, as `lines` or as pasted `text`."""

    vehicle: AskedVehicle = Field(default_factory=AskedVehicle)
    jobs: list[Name] = Field(default_factory=list, max_length=50)
    """Job ids from /v1/jobs. Without one, all that fits is taken as meant to be fitted."""
    lines: Annotated[list[AskedLine], Field(min_length=1, max_length=MOST_LINES)] | None = None
    text: Annotated[str, StringConstraints(min_length=1, max_length=100_000)] | None = None
    """One number a line, with its brand and quantity or without: `PW-D50`, `2 x PW-D50`,
    `Pellworth PW-D50 x2`, `PW-D50, 2`; cells may end with a tab, a semicolon or a comma. What
    cannot be read is said line by line. At most 500 lines that are not blank."""
    fitted: list[AskedFittedPart] = Field(default_factory=list, max_length=200)
    """What the machine carries that is not the factory's."""
    tools_owned: Annotated[list[Name], Field(max_length=200)] | None = None
    """Tool ids. Leave it out for the shop's own cabinet; an empty list is an empty cabinet."""
    aim: Aim = "cost"
    """What the completion aims at."""

    def to_request(self, compiled: CompiledCatalog) -> BundleRequest:
        """The same in the engine's terms. Raises Faulty unless there are lines, or a text with
        lines that are not blank and not too many."""
        build = BuildListRequest(
            vehicle=self.vehicle,
            jobs=self.jobs,
            fitted=self.fitted,
            tools_owned=self.tools_owned,
            aim=self.aim,
        )
        lines = self._lines(compiled)
        return BundleRequest(
            build=build.to_request(compiled.catalog.currency_exponent), lines=lines
        )

    def _lines(self, compiled: CompiledCatalog) -> tuple[BundleLine, ...]:
        if self.lines is not None and self.text is None:
            return tuple(line.line(at) for at, line in enumerate(self.lines, start=1))
        if self.text is None or self.lines is not None:
            problem = "there is no list" if self.text is None else "there are two lists"
            raise Faulty([Fault("/lines", problem, "Give either lines or text.")])
        count = count_lines(self.text)
        if not 1 <= count <= MOST_LINES:
            problem = f"the text has {count} lines that are not blank"
            mend = f"Give from 1 to {MOST_LINES} lines at once."
            raise Faulty([Fault("/text", problem, mend)])
        keys = [key for group in compiled.keys_by_number.values() for key in group]
        return read_paste(self.text, {key.brand for key in keys}, compiled.keys_by_number.keys())


class FindingShape(Answer):
    """One thing to say about a line."""

    kind: Verdict
    sentence: str
    parts: list[PartKeyShape]
    """The other numbers that it speaks of."""


class LineVerdictShape(Answer):
    """A line judged."""

    at: int
    """Its place in `lines`, or its line in `text`, from 1."""
    written: str
    part: PartKeyShape | None
    """The number as the catalog spells it; null when it has no such number."""
    title: str
    quantity: int
    verdict: Verdict
    """The gravest of `findings`."""
    findings: list[FindingShape]
    current: list[PartKeyShape]
    """What the number is sold as today."""
    near: list[PartKeyShape]
    """Numbers that it may have meant, likeliest first."""


class MissingPartShape(Answer):
    """Still to buy."""

    part: PartKeyShape
    title: str
    part_type: str
    """Empty for a kit."""
    kit: bool
    packs: int
    pack_quantity: int
    quantity: int
    """What the place takes, in `counted_in`."""
    on_hand: int
    """What of it is on the list."""
    counted_in: str
    amount: MoneyShape
    sentence: str


class SpareLineShape(Answer):
    """What of a line can go back."""

    at: int
    part: PartKeyShape
    packs: int
    sentence: str


class BundleCheckShape(Answer):
    """The list judged line by line and as a whole."""

    status: BundleStatus
    """complete: nothing is missing for the work; incomplete: see `missing`; needs_facts: see
    `asks`; conflict: see `conflicts`."""
    summary: str
    edition: str
    catalog: str
    made_on: date
    machine: MachineFactsShape
    jobs: list[str]
    lines: list[LineVerdictShape]
    missing: list[MissingPartShape]
    spare: list[SpareLineShape]
    conflicts: list[ConflictShape]
    """Minimal sets: leave any one element out, and the rest can be together."""
    set_aside: list[PartKeyShape]
    """Numbers that the completion goes without because of a conflict."""
    asks: list[AskedFactShape]
    own_parts: MoneyShape | None
    """What those parts of the list that are used would have cost here, before tax."""
    completion: BuildListShape | None
    """The build list in which the owner's parts cost nothing, without add-ons; null when there
    is none, or nothing on the list can be used."""
