"""What the owner's own parts are worth in a build list that uses them."""

from __future__ import annotations

from dataclasses import replace

from rules.answer import BuildList
from rules.compiled import CompiledCatalog
from rules.listing.context import money
from rules.model.costs import packs
from rules.money import Money


def own_parts(compiled: CompiledCatalog, build: BuildList) -> Money:
    """What the parts on hand that ``build`` uses would have cost here, before tax."""
    saved = 0
    for line in build.parts:
        if line.from_kit is None:
            whole = packs(compiled.parts[line.part], line.quantity)
            saved += (whole - line.packs) * line.pack_price.minor
    return money(compiled, saved)


def completed(build: BuildList) -> BuildList:
    """The list with what is still to buy, without what the owner did not ask about: add-ons
    and how other facts would change the total."""
    return replace(
        build, add_ons=(), budget=None, total_from=None, total_to=None, next_question=None
    )
