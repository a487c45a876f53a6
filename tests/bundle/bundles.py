"""Bundles on machines of the demo catalog, and how to ask for them.

``python -m tests.bundle.bundles`` writes the golden texts anew after a change that is meant.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Final

from rules.bundle.answer import BundleCheck
from rules.bundle.check import check_bundle
from rules.bundle.paste import read_paste
from rules.bundle.request import BundleLine, BundleRequest
from rules.request import BuildRequest
from rules.values import Value
from rules.wording.bundle import render_bundle
from tests.seed_data.demo import compiled_demo

GOLDEN: Final = Path(__file__).parent / "golden"
ANY_DAY: Final = date(2026, 3, 2)
LONGSHORE: Final = "longshore_1478_2013"
RIDDEN: Final[dict[str, Value]] = {
    "model_year": 2014,
    "odometer_km": 62_000,
    "market": "road_strict",
}


@dataclass(frozen=True, kw_only=True)
class Pasted:
    """A list as an owner pastes it."""

    text: str
    jobs: tuple[str, ...] = ()
    vehicle_id: str = LONGSHORE
    facts: dict[str, Value] = field(default_factory=lambda: RIDDEN)


BUNDLES: Final = {
    "typing_slips": Pasted(
        jobs=("cam_upgrade_strong",),
        text="""\
Pellworth PW-D52 x1
PW-VS1O
2 x OS330
- OS-394
1. RH-M41
PY-VS1D, 1
valve seals OS-349
OS-320 x 2,5
Ostrel PW-D50
""",
    ),
    "old_number_sold_as_three": Pasted(
        vehicle_id="sandbar_1303_2011",
        facts={"model_year": 2012, "odometer_km": 40_000, "market": "road_basic"},
        text="Quennick QN-S98\tx2\nTorvane T312-00\t2\nTorvane T417-D\n",
    ),
    "kit_and_what_it_holds": Pasted(
        text="PW-KD49\nPW-PAD x4\nPW-B17\nOS-320\nPY-VS1D (4)\nOS-KCD\nOS-330 2 pcs\n"
    ),
    "wrong_quantities": Pasted(
        jobs=("cam_upgrade_strong",),
        text="PW-D52\nPY-VS1D 4\nOS-330\nKH-2050-4 x3\nFN-F11 x 0\nT377-1 qty 5\nHD-P1\n",
    ),
    "does_not_fit": Pasted(
        jobs=("oil_service",),
        text="Torvane;T310-W2;1\nFennick;FN-F12;1\nQuennick;QN-K98D;1\nFennick;FN-F11;1\n",
    ),
    "camshaft_against_springs": Pasted(
        jobs=("cam_upgrade_strong",), text="PW-D52\nT348-D1\nPW-D40\nOS-330 x2\n"
    ),
    "market_not_known": Pasted(
        facts={"model_year": 2014, "odometer_km": 62_000}, text="PW-D60\nPW-VS2D\nOS-320\n"
    ),
}


def lines_of(text: str) -> tuple[BundleLine, ...]:
    """The text read with the brands and numbers of the demo catalog."""
    known = compiled_demo().keys_by_number
    brands = {key.brand for keys in known.values() for key in keys}
    return read_paste(text, brands, known.keys())


def check(bundle: Pasted) -> BundleCheck:
    """The bundle checked."""
    build = BuildRequest(vehicle_id=bundle.vehicle_id, facts=bundle.facts, jobs=bundle.jobs)
    return check_lines(build, lines_of(bundle.text))


def check_lines(build: BuildRequest, lines: tuple[BundleLine, ...]) -> BundleCheck:
    """Lines checked against the demo catalog on a fixed day."""
    request = BundleRequest(build=build, lines=lines)
    return check_bundle(compiled_demo(), request, today=ANY_DAY, edition="1")


def numbered(rows: Any) -> tuple[BundleLine, ...]:
    """(part key, packs) as lines."""
    return tuple(
        BundleLine(at=at, written=str(key), brand=key.brand, number=key.number, quantity=packs)
        for at, (key, packs) in enumerate(rows, start=1)
    )


def main() -> int:
    """Write every golden text anew."""
    GOLDEN.mkdir(exist_ok=True)
    for name, bundle in BUNDLES.items():
        (GOLDEN / f"{name}.txt").write_text(render_bundle(check(bundle)), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
