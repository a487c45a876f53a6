"""The head of the build list: the machine, the wish, the answer, and when it can begin."""

from __future__ import annotations

from typing import Final

from rules.answer import BuildList, LeadTime, Proof
from rules.speech import measured
from rules.values import Value
from rules.wording.layout import clean, filled, heading, listed, plural, spoken, titled

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
        *titled("Machine", ", ".join(build.machine.told) or "as listed", width),
        *_wish(build, width),
        *titled("Aim", _aims[build.aim], width),
        *titled("Answer", _answer(build), width),
        *_in_hand(build, width),
    ]


def _ends(left: str, right: str, width: int) -> list[str]:
    """One at each end of the line; below each other where there is no room for both."""
    left, right = clean(left), clean(right)
    if len(left) + len(right) + 2 <= width:
        return [f"{left:{width - len(right)}}{right}"]
    return [*filled(left, width), *filled(right, width)]


def _wish(build: BuildList, width: int) -> list[str]:
    lines: list[str] = []
    for place, wish in enumerate(build.wish):
        lines += titled("" if place else "Wish", wish, width)
    return lines


def _answer(build: BuildList) -> str:
    if build.status == "conflict":
        mend = ", and what would mend it, cheapest first" if build.repairs else ""
        return f"CANNOT BE DONE as asked. The proof is below{mend}."
    if build.status == "needs_facts":
        many = plural(len(build.asks), "fact")
        upheld = " The plan below is safe whatever the answer is." if build.totals else ""
        return f"NOT SETTLED: it depends on {many} asked for below.{upheld}"
    return f"VALID: every rule holds with these parts fitted. {_proof(build.proof, build.aim)}"


def _proof(proof: Proof | None, aim: str) -> str:
    if proof is None or not proof.optimal:
        return f"Whether a {_best[aim]} plan exists was not settled."
    return f"No {_best[aim]} plan exists: proven."


def _in_hand(build: BuildList, width: int) -> list[str]:
    """When parts, kits and tools are there; work sent out takes its own days after that."""
    if build.lead_time is None:
        return []
    return titled("In hand", f"{_there(build.lead_time)}{_away(build)}", width)


def _away(build: BuildList) -> str:
    """Work sent out follows one after the other, as the steps do."""
    days = {line.step: line.lead_days for line in build.sent_out}
    order = [step.step for step in build.steps if step.step in days]
    waits = [days[name] for name in (order or days) if days[name]]
    if not waits:
        return ""
    said = ", then ".join(plural(wait, "day") for wait in waits)
    total = f", {plural(sum(waits), 'day')} in all" if len(waits) > 1 else ""
    return f". Work sent out then takes {said}{total}"


def _there(lead: LeadTime) -> str:
    if lead.in_hand_on is None:
        return f"not known: no delivery time for {listed(lead.unknown) or 'some lines'}"
    wait = "today" if lead.days == 0 else f"in {plural(lead.days or 0, 'day')}"
    decided = f", waiting for {listed(lead.decided_by)}" if lead.days and lead.decided_by else ""
    return f"{lead.in_hand_on.isoformat()} ({wait}){decided}"


def machine(build: BuildList, width: int) -> list[str]:
    """Everything that is known of the machine, as the rules read it."""
    if not build.machine.facts:
        return []
    facts = ", ".join(_fact(name, value) for name, value in build.machine.facts)
    return [*heading("The machine as it is known", width), *filled(facts, width, " ", hang=1)]


def _fact(name: str, value: Value) -> str:
    """``odometer_km`` 48200 -> ``odometer 48200 km``: a unit is the last word of a name."""
    if isinstance(value, bool):
        return f"{spoken(name)} {'yes' if value else 'no'}"
    if isinstance(value, str):
        return f"{spoken(name)} {spoken(value)}"
    stem, _, unit = name.rpartition("_")
    if stem and unit in _units:
        return f"{spoken(stem)} {measured(value, 3, unit)}"
    return f"{spoken(name)} {measured(value, 3, None)}"
