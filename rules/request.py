"""What is asked of the engine: a machine and a wish."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rules.catalog import PartKey
from rules.values import Value

Aim = Literal["cost", "hours", "life"]
"""Least total cost; least hours; longest life of what is renewed. Cost breaks ties."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedPart:
    """What sits on the machine now in place of the factory part.

    ``part`` None: something unlisted; then only ``properties`` are known. ``run_km``
    None: nobody knows how far it has run (a factory part has run the odometer reading).
    """

    part_type: str
    part: PartKey | None = None
    properties: Mapping[str, Value] = field(default_factory=dict)
    run_km: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildRequest:
    """A machine and a wish.

    ``vehicle_id`` names a configuration; ``facts`` add to or narrow it (``model_year``,
    ``odometer_km``, ``market`` …). Without an id the facts alone must describe the machine.
    Parts are named by brand and number; an empty brand means: find it by number alone.
    ``keep`` and ``add_ons`` hold part types. ``tools_owned`` None: the shop's own cabinet.
    ``budget`` is in minor units. ``parts_on_hand``: current parts that are already paid for,
    in pieces (or ml); so many need not be bought where one of them is chosen.
    """

    vehicle_id: str | None = None
    facts: Mapping[str, Value] = field(default_factory=dict)
    jobs: tuple[str, ...] = ()
    parts_wanted: tuple[PartKey, ...] = ()
    parts_refused: tuple[PartKey, ...] = ()
    parts_on_hand: Mapping[PartKey, int] = field(default_factory=dict)
    keep: tuple[str, ...] = ()
    fitted: tuple[FittedPart, ...] = ()
    add_ons: tuple[str, ...] = ()
    tools_owned: tuple[str, ...] | None = None
    aim: Aim = "cost"
    budget: int | None = None
