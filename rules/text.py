"""The build list as plain text: the same bytes for the terminal and for ``text/plain``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rules.answer import BuildList
from rules.wording import advice, goods, head, sums, work

Section = Callable[[BuildList, int], list[str]]

sections: Final[tuple[Section, ...]] = (
    head.head,
    advice.conflicts,
    advice.asks,
    goods.superseded,
    goods.parts,
    goods.kits,
    work.operations,
    work.steps,
    work.tools,
    work.sent_out,
    goods.consumables,
    sums.money,
    goods.deposits,
    advice.add_ons,
    advice.budget,
    advice.margins,
    advice.figures,
    advice.cautions,
    advice.remarks,
    advice.how_sure,
)
"""In the order of reading: what was asked and answered, why not, what to buy, what to do,
what it costs, what else is worth doing, how tight it is, what to watch."""

narrowest: Final = 64


def render(build: BuildList, width: int = 88) -> str:
    """The build list as text of at most ``width`` columns, ending with a line end.

    Pure: the same list gives the same text. Raises ValueError below ``narrowest`` columns.
    """
    if width < narrowest:
        raise ValueError(f"a build list needs {narrowest} columns, not {width}")
    blocks = (section(build, width) for section in sections)
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"
