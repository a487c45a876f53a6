"""The build list as plain text: the same bytes for the terminal and for ``text/plain``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rules.answer import BuildList
from rules.wording import advice, goods, head, sources, sums, unsettled, way_out, work

Section = Callable[[BuildList, int], list[str]]

sections: Final[tuple[Section, ...]] = (
    head.head,
    way_out.conflicts,
    way_out.repairs,
    advice.asks,
    unsettled.unsettled,
    sums.money,
    goods.superseded,
    goods.parts,
    goods.kits,
    goods.consumables,
    work.tools,
    work.sent_out,
    goods.deposits,
    advice.add_ons,
    advice.budget,
    work.operations,
    work.steps,
    advice.cautions,
    advice.margins,
    advice.figures,
    head.machine,
    advice.remarks,
    sources.sources,
    sums.closing,
)
"""In the order of reading: what was asked and answered, why not, what it comes to, what is
bought, what else is worth doing, what is done, what to watch, how tight it is, what it rests
on, and the total once more where a terminal ends."""

narrowest: Final = 64


def render(build: BuildList, width: int = 88) -> str:
    """The build list as text of at most ``width`` columns, ending with a line end.

    Pure: the same list gives the same text. Raises ValueError below ``narrowest`` columns.
    """
    if width < narrowest:
        raise ValueError(f"a build list needs {narrowest} columns, not {width}")
    blocks = (section(build, width) for section in sections)
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"
