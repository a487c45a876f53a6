"""Questions about a build list: why a line is in it, and why something else is not."""

from __future__ import annotations

from api.shapes.answer import ConflictElementShape
from api.shapes.common import Answer, MoneyShape, Name, PartKeyShape
from api.shapes.request import Asked, AskedPart, BuildListRequest
from rules.catalog import PartKey
from rules.faults import Fault, Faulty
from rules.why.answer import LineKind, LinkKind, Verdict


class AskedLine(Asked):
    """A line of the build list."""

    kind: LineKind
    ref: Name
    """The part type of a part or add-on, brand and number of a kit, the id of anything else."""


class WhyRequest(BuildListRequest):
    """The request of a build list, and one of its lines."""

    line: AskedLine


class AskedWay(Asked):
    """An operation, and one of its ways."""

    operation: Name
    way: Name


class WhyNotRequest(BuildListRequest):
    """The request of a build list, and a part, a kit or a way that is not in it."""

    part: AskedPart | None = None
    """A part or a kit. Give this or `way`."""
    way: AskedWay | None = None

    def subject(self) -> PartKey | tuple[str, str]:
        """What is asked about. Raises Faulty when it is nothing, or two things."""
        if self.part is not None and self.way is None:
            return self.part.key()
        if self.way is not None and self.part is None:
            return self.way.operation, self.way.way
        problem = "a part and a way at once" if self.part else "neither a part nor a way"
        raise Faulty([Fault("/part", problem, "Give either part or way.")])


class LinkShape(Answer):
    """One thing in the chain."""

    kind: LinkKind
    ref: str
    sentence: str
    """How it follows from the link before."""


class ChainShape(Answer):
    """From what was asked or told (first) to the line (last)."""

    links: list[LinkShape]


class WhyShape(Answer):
    """Why a line is in the list."""

    kind: LineKind
    ref: str
    title: str
    edition: str
    chains: list[ChainShape]
    """All shortest chains; at least one."""
    more: bool
    """Whether there are others as short, left out for their number."""


class WhyNotShape(Answer):
    """Why something is not in the list."""

    subject: str
    title: str
    edition: str
    verdict: Verdict
    sentences: list[str]
    """The answer, first things first."""
    today: list[PartKeyShape]
    """What an old number is sold as now."""
    elements: list[ConflictElementShape]
    """What cannot hold together with it."""
    total: MoneyShape | None
    """The total of the list with it."""
    total_more: MoneyShape | None
    """That, less the total of the list without; may be negative. Null: there is no such list."""
    minutes_more: int | None
