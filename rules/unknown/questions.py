"""Names as questions for a person, and the one question that narrows most."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rules.answer import AskedFact, NextQuestion, OneAnswer
from rules.compiled import CompiledCatalog
from rules.listing.context import money
from rules.money import Money
from rules.unknown.cases import Span, span
from rules.unknown.tree import Ending
from rules.unknown.values import ANOTHER_TEXT
from rules.values import Value


def asked(compiled: CompiledCatalog, names: Iterable[str]) -> tuple[AskedFact, ...]:
    """Names as questions for a person."""
    return tuple(_asked(compiled, name) for name in names)


def _asked(compiled: CompiledCatalog, name: str) -> AskedFact:
    if name.startswith("vehicle."):
        definition = compiled.facts[name.removeprefix("vehicle.")]
        return AskedFact(
            fact=name,
            question=definition.question or f"What is the machine's {definition.label.lower()}?",
            unit=definition.unit,
            choices=definition.values,
        )
    _, part_type, property_name = name.split(".", 2)
    label = compiled.part_types[part_type].label.lower()
    if property_name == "run_km":
        question = f"How far has the fitted {label} run?"
        return AskedFact(fact=name, question=question, unit="km", choices=())
    declared = {f.name: f for f in compiled.part_types[part_type].properties}
    field = declared.get(property_name)
    what = field.label.lower() if field else property_name.replace("_", " ")
    question = (field.question if field else None) or f"What is the {what} of the fitted {label}?"
    choices = field.values if field else ()
    return AskedFact(
        fact=name, question=question, unit=field.unit if field else None, choices=choices
    )


# -- the question that narrows most --------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Answered:
    """What is left once one value is told."""

    values: tuple[Value, ...]
    left: tuple[Ending, ...]

    @property
    def builds(self) -> int:
        """How many different builds are still possible."""
        kinds: list[Ending] = []
        for ending in self.left:
            if not any(ending.like(other) for other in kinds):
                kinds.append(ending)
        return len(kinds)

    @property
    def width(self) -> int:
        """How far apart their totals still lie."""
        found = span(self.left)
        if found is None:
            return 0
        low, high = found
        return 1 << 62 if low is None or high is None else high - low


def next_question(
    compiled: CompiledCatalog, names: tuple[str, ...], endings: list[Ending]
) -> NextQuestion | None:
    """Of ``names``, the one whose worst answer leaves the fewest builds, then the least spread."""
    if not names:
        return None
    answered = {name: _answers(name, endings) for name in names}
    tellable = [name for name in names if answered[name]]
    if not tellable:
        return NextQuestion(fact=names[0], question=_asked(compiled, names[0]).question)
    best = min(tellable, key=lambda n: (*_worst(answered[n]), names.index(n)))
    return NextQuestion(
        fact=best,
        question=_asked(compiled, best).question,
        answers=tuple(
            _one_answer(compiled, one, _said(one.values, answered[best])) for one in answered[best]
        ),
    )


def _worst(answers: list[_Answered]) -> tuple[int, int]:
    return max(one.builds for one in answers), max(one.width for one in answers)


def _answers(name: str, endings: list[Ending]) -> list[_Answered]:
    """What each answer leaves; numbers side by side that leave the same are one answer."""
    values = sorted(
        {ending.told[name] for ending in endings if name in ending.told},
        key=lambda v: (isinstance(v, str), v if isinstance(v, str) else "", v),
    )
    found: list[_Answered] = []
    for value in values:
        left = tuple(e for e in endings if e.told.get(name, value) == value)
        is_number = not isinstance(value, bool | str)
        if found and is_number and _alike(found[-1].left, left):
            found[-1] = _Answered((*found[-1].values, value), found[-1].left)
        else:
            found.append(_Answered((value,), left))
    return found


def _alike(one: tuple[Ending, ...], other: tuple[Ending, ...]) -> bool:
    return len(one) == len(other) and all(a.like(b) for a, b in zip(one, other, strict=True))


def _said(values: tuple[Value, ...], answers: list[_Answered]) -> str:
    """``road_strict``, ``yes``, ``up to 2014``, ``29999``, ``30000 and up``."""
    first, last = values[0], values[-1]
    if isinstance(first, bool):
        return "yes" if first else "no"
    if isinstance(first, str):
        return "none of these" if first == ANOTHER_TEXT else first
    if values == answers[0].values == answers[-1].values:
        return "any"
    if values == answers[0].values:
        return f"up to {last:g}" if isinstance(last, float) else f"up to {last}"
    if values == answers[-1].values:
        return f"{first:g} and up" if isinstance(first, float) else f"{first} and up"
    return f"{first}" if first == last else f"{first} to {last}"


def _one_answer(compiled: CompiledCatalog, one: _Answered, says: str) -> OneAnswer:
    found = span(one.left)
    low, high = totals(compiled, found)
    return OneAnswer(
        says=says,
        total_from=low,
        total_to=high,
        impossible=all(ending.impossible for ending in one.left),
    )


def totals(compiled: CompiledCatalog, found: Span | None) -> tuple[Money | None, Money | None]:
    """A span of totals in the catalog's currency."""
    low, high = found or (None, None)
    return (
        None if low is None else money(compiled, low),
        None if high is None else money(compiled, high),
    )
