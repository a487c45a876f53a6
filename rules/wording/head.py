"""The head of the build list: the machine, the wish, and the answer in four lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.answer import BuildList, LeadTime, Proof, Reason, Totals
from rules.values import Value
from rules.wording.layout import clean, filled, hours, listed, number, plural, spoken, titled

_aims: Final = {
    "cost": "least total cost",
    "hours": "least hours",
    "life": "longest life of what is renewed",
}
_units: Final = frozenset(
    ["mm", "cc", "ml", "l", "km", "kg", "g", "n", "nm", "w", "kw", "v", "a", "deg", "rpm"]
)
_best: Final = {"cost": "cheaper", "hours": "quicker", "life": "longer-lived"}


def head(build: BuildList, width: int) -> list[str]:
    """Who says what, about which machine, from which data."""
    edition = f"edition {build.edition}, {build.made_on.isoformat()}"
    return [
        *_ends("BUILD LIST", build.catalog, width),
        *_ends(build.machine.label, edition, width),
        "=" * width,
        *_machine(build, width),
        *_wish(build, width),
        *titled("Aim", _aims[build.aim], width),
        *titled("Answer", _answer(build), width),
        *_sums(build.totals, width),
        *_in_hand(build.lead_time, width),
    ]


def _ends(left: str, right: str, width: int) -> list[str]:
    """One at each end of the line; below each other where there is no room for both."""
    left, right = clean(left), clean(right)
    if len(left) + len(right) + 2 <= width:
        return [f"{left:{width - len(right)}}{right}"]
    return [*filled(left, width), *filled(right, width)]


def _machine(build: BuildList, width: int) -> list[str]:
    facts = ", ".join(_fact(name, value) for name, value in build.machine.facts)
    return titled("Machine", facts or "nothing is known of it", width)


def _fact(name: str, value: Value) -> str:
    """``odometer_km`` 48200 -> ``odometer 48200 km``: a unit is the last word of a name."""
    if isinstance(value, bool):
        return f"{spoken(name)} {'yes' if value else 'no'}"
    if isinstance(value, str):
        return f"{spoken(name)} {value}"
    stem, _, unit = name.rpartition("_")
    if stem and unit in _units:
        return f"{spoken(stem)} {number(value)} {unit}"
    return f"{spoken(name)} {number(value)}"


def _wish(build: BuildList, width: int) -> list[str]:
    wishes = dict.fromkeys(_wishes(build))
    return titled("Wish", "; ".join(wishes), width) if wishes else []


def _wishes(build: BuildList) -> Iterator[str]:
    """What was asked for, as the lines and the conflicts cite it."""
    for reason in _reasons(build):
        if reason.kind in ("job", "wanted", "add_on"):
            yield reason.sentence.rstrip(".")
    for conflict in build.conflicts:
        for element in conflict.elements:
            if element.kind in ("job", "wanted", "refused", "keep", "add_on"):
                yield element.sentence.rstrip(".")


def _reasons(build: BuildList) -> Iterator[Reason]:
    for lines in (build.operations, build.parts, build.kits, build.steps):
        for line in lines:
            yield from line.reasons


def _answer(build: BuildList) -> str:
    if build.status == "conflict":
        return "CANNOT BE DONE as asked. The proof is below."
    if build.status == "needs_facts":
        many = plural(len(build.asks), "fact")
        upheld = " The lines below hold whatever they turn out to be." if build.totals else ""
        return f"NOT SETTLED: it depends on {many} asked for below.{upheld}"
    return f"VALID: every rule holds with these parts fitted. {_proof(build.proof, build.aim)}"


def _proof(proof: Proof | None, aim: str) -> str:
    if proof is None or not proof.optimal:
        return f"Whether a {_best[aim]} plan exists was not settled."
    return f"No {_best[aim]} plan exists: proven."


def _sums(totals: Totals | None, width: int) -> list[str]:
    if totals is None:
        return []
    paid = f"{totals.total} with tax"
    if totals.deposits.minor:
        paid += f"; {totals.total_with_deposits} on the day, {totals.deposits} of it comes back"
    work = f"{hours(totals.labour_minutes)} ({totals.labour_basis})"
    return [*titled("Total", paid, width), *titled("Work", work, width)]


def _in_hand(lead: LeadTime | None, width: int) -> list[str]:
    if lead is None:
        return []
    if lead.in_hand_on is None:
        waits = listed(lead.unknown) or "some lines"
        return titled("In hand", f"not known: no lead time for {waits}", width)
    wait = "today" if lead.days == 0 else f"in {plural(lead.days or 0, 'day')}"
    decided = f", waiting for {listed(lead.decided_by)}" if lead.days and lead.decided_by else ""
    return titled("In hand", f"{lead.in_hand_on.isoformat()} ({wait}){decided}", width)
