"""What all checks of one catalog share."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace

from rules.catalog_faults.places import Places
from rules.catalog_faults.values import shown
from rules.compiled import CompiledCatalog
from rules.expressions import Expression, explain
from rules.rule_checks.asked import Asked
from rules.rule_checks.report import Report
from rules.rule_checks.search import Answer, Case, Condition, Fittings, Search
from rules.rule_checks.situations import Configurations, Situation, Situations
from rules.values import Failure, Unknown, Value

MOST_SHOWN = 8
"""Names whose values an example shows."""


@dataclass(slots=True)
class Checking:
    """One run over one catalog."""

    compiled: CompiledCatalog
    places: Places
    search: Search
    configurations: Configurations
    report: Report = field(default_factory=Report)

    def find(
        self,
        where: str,
        condition: Condition,
        asked: Asked,
        situations: Situations,
        fittings: Iterable[Fittings],
        *,
        renewing: str | None = None,
    ) -> Answer:
        """The first build found, trying ``fittings`` in turn; notes when some were left out."""
        capped = False
        answer = Answer(None, certain=False)
        for taken in fittings:
            answer = self.search.find(condition, asked, situations, taken, renewing=renewing)
            capped = capped or answer.capped
            if answer.case is not None:
                break
        if capped and answer.case is None:
            self.report.unfinished(where)
        return replace(answer, capped=capped)

    def each(
        self,
        where: str,
        condition: Condition,
        asked: Asked,
        situations: Situations,
        fittings: Iterable[Fittings],
    ) -> Iterator[tuple[Situation, Answer]]:
        """One answer for each situation."""
        if not situations.whole:
            self.report.unfinished(where)
        for situation in situations.listed:
            alone = Situations((situation,), whole=True)
            yield situation, self.find(where, condition, asked, alone, fittings)

    # -- wording ---------------------------------------------------------------------

    def machine(self, situation: Situation) -> str:
        """A configuration of the situation: ``tern_900 (model_year 2001)``."""
        name = next(iter(situation.vehicles))
        open_ = [fact for fact in self.configurations.open_facts(name) if fact in situation.facts]
        told = ", ".join(f"{fact} {_text(situation.facts[fact])}" for fact in open_)
        return f"{name} ({told})" if told else name

    def machines(self, situations: Collection[Situation]) -> str:
        """The first configuration, and how many more there are."""
        first = next(iter(situations))
        names = {name for situation in situations for name in situation.vehicles}
        more = len(names) - 1
        return self.machine(first) + (f" and {more} more" if more else "")

    def example(self, case: Case, expressions: Iterable[Expression | None], asked: Asked) -> str:
        """The parts and the numbers of a build."""
        parts = [
            f"{place} {_part(case, place)}"
            for place in asked.places
            if place in case.chosen or place in case.fitted
        ]
        values: dict[str, str] = {}
        for expression in expressions:
            if expression is not None:
                for name, outcome in explain(expression, case.seen):
                    if not isinstance(outcome, Unknown | Failure):
                        values[name] = f"{name} is {_text(outcome)}"
        return "; ".join([*parts, *list(values.values())[:MOST_SHOWN]])


def _part(case: Case, place: str) -> str:
    key = case.chosen.get(place) or case.fitted[place].key
    return "not listed" if key is None else str(key)


def _text(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else shown(value)


def without_candidates(situations: Situations, place: str) -> tuple[Situations, Situations]:
    """Situations where the place cannot be renewed, and those where it can."""
    bare = tuple(s for s in situations.listed if not s.options[place].candidates)
    served = tuple(s for s in situations.listed if s.options[place].candidates)
    return Situations(bare, situations.whole), Situations(served, situations.whole)
