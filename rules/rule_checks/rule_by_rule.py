"""Rules that can never fire, bind nothing, or ask for what cannot be had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rules.catalog import Exclusion, Limit, Recommendation, Requirement, Rule
from rules.catalog_faults.places import rule_place
from rules.compiled import CompiledRule
from rules.expressions import Environment, Expression
from rules.fitment import Trilean
from rules.model.checks import both, fires, limit_broken, unmet
from rules.rule_checks.alone import always
from rules.rule_checks.asked import Asked, asked_of
from rules.rule_checks.checking import Checking, without_candidates
from rules.rule_checks.conditions import ALL_FITTINGS, check_condition, negated
from rules.rule_checks.search import Case, Condition, Fittings
from rules.rule_checks.situations import Situation, Situations

IN_THE_CATALOG = (Fittings.FACTORY, Fittings.LISTED)


def check_rule(checking: Checking, compiled: CompiledRule) -> None:
    """Everything that is looked at for one rule."""
    looked_at = _Rule(checking, compiled.rule, compiled.when, compiled.parts)
    if not check_condition(checking, f"{looked_at.where}:when", compiled.when, "the rule"):
        return
    if isinstance(compiled.rule, Limit):
        looked_at.limit()
    elif isinstance(compiled.rule, Exclusion):
        looked_at.exclusion()
    elif isinstance(compiled.rule, Requirement):
        looked_at.requirement(compiled.rule)
    elif isinstance(compiled.rule, Recommendation):
        looked_at.renewing(compiled.rule.renew)


@dataclass(frozen=True, slots=True)
class _Rule:
    """One rule whose condition may hold."""

    checking: Checking
    rule: Rule
    when: Expression | None
    parts: Sequence[Expression]

    @property
    def where(self) -> str:
        return rule_place(self.rule)

    @property
    def expressions(self) -> tuple[Expression | None, ...]:
        return (self.when, *self.parts)

    # -- limits --------------------------------------------------------------------

    def limit(self) -> None:
        limit, where = self.parts[0], f"{self.where}:limit"
        if always(limit, lambda env: limit_broken(limit, env)):
            self.checking.report.fault(
                where, "the limit contradicts itself, so nothing keeps it", "Mend the limit."
            )
            return

        def broken(env: Environment) -> Trilean:
            return both(fires(self.when, env), limit_broken(limit, env))

        if not self._broken_by_factory(where, broken, "limit"):
            self._binds_something(where, broken, "breaks the limit")

    # -- exclusions -----------------------------------------------------------------

    def exclusion(self) -> None:
        where = f"{self.where}:not_together"
        one_by_one = [
            check_condition(self.checking, where, part, f"the exclusion of {part.text!r}")
            for part in self.parts
        ]
        if not all(one_by_one):
            return

        def broken(env: Environment) -> Trilean:
            outcome = fires(self.when, env)
            for part in self.parts:
                outcome = both(outcome, fires(part, env))
            return outcome

        if not self._broken_by_factory(where, broken, "exclusion"):
            self._binds_something(where, broken, "brings these together")

    # -- requirements and recommendations -----------------------------------------------

    def requirement(self, rule: Requirement) -> None:
        if rule.renew is not None:
            self.renewing(rule.renew)
        elif rule.do is not None:
            self._doing(rule.do)
        elif rule.part_type is not None:
            self._having(rule.part_type)

    def renewing(self, place: str) -> None:
        """What is to be renewed can be, wherever the rule fires."""
        where, report = f"{self.where}:renew", self.checking.report
        asked = asked_of([self.when])
        situations = self.checking.configurations.situations(asked, places=[place])
        bare, served = without_candidates(situations, place)
        fires_on = [
            situation
            for situation, answer in self.checking.each(
                where, self._fires, asked, bare, [Fittings.FACTORY]
            )
            if answer.case is not None
        ]
        if not fires_on:
            return
        example = self.checking.machines(fires_on)
        elsewhere = self.checking.find(where, self._fires, asked, served, ALL_FITTINGS)
        if elsewhere.case is None and elsewhere.certain:
            report.fault(
                where,
                f"no {place} fits any configuration that the rule speaks of, as {example}",
                "Add one to the parts and the fitment, or narrow the condition.",
            )
        else:
            report.warning(
                where,
                f"no {place} fits some configurations that the rule speaks of: {example}",
                "Add one to the parts and the fitment, or narrow the condition.",
            )

    def _doing(self, step: str) -> None:
        """The step is something on a machine where the rule fires."""
        step_when = self.checking.compiled.step_when[step]
        if step_when is None:
            return
        asked = asked_of([self.when, step_when])
        situations = self.checking.configurations.situations(asked)

        def done(env: Environment) -> Trilean:
            return both(fires(step_when, env), fires(self.when, env))

        where = f"{self.where}:do"
        answer = self.checking.find(where, done, asked, situations, ALL_FITTINGS)
        if answer.case is None and answer.certain:
            self.checking.report.warning(
                where,
                f"the step {step} is nothing on every configuration that the rule speaks of",
                "Mend the condition of the rule or of the step.",
            )

    def _having(self, place: str) -> None:
        """Some part meets the requirement wherever it fires, and some part does not."""
        where, wish = f"{self.where}:where", self.parts[0]
        asked = asked_of(self.expressions)
        situations = self.checking.configurations.situations(asked, places=[place])

        def met(env: Environment) -> Trilean:
            return both(fires(self.when, env), negated(unmet(wish.evaluate(env))))

        def broken(env: Environment) -> Trilean:
            return both(fires(self.when, env), unmet(wish.evaluate(env)))

        unserved = [
            situation
            for situation, answer in self.checking.each(
                where, met, asked, situations, [Fittings.FACTORY]
            )
            if answer.case is None and not answer.capped and self._can_fire_on(where, situation)
        ]
        if unserved:
            self._not_met(where, place, met, unserved)
        elif not self._broken_by_factory(where, broken, "requirement"):
            self._binds_something(where, broken, "falls short of it")

    def _not_met(
        self, where: str, place: str, met: Condition, unserved: Sequence[Situation]
    ) -> None:
        asked = asked_of(self.expressions)
        situations = self.checking.configurations.situations(asked, places=[place])
        answer = self.checking.find(where, met, asked, situations, ALL_FITTINGS)
        example = self.checking.machines(unserved)
        mend = f"Add such a {place} to the parts and the fitment, or mend the rule."
        if answer.case is None and answer.certain:
            problem = f"no {place} meets it on any configuration that it speaks of, as {example}"
            self.checking.report.fault(where, problem, mend)
        else:
            problem = f"no {place} meets it on some configurations that it speaks of: {example}"
            self.checking.report.warning(where, problem, mend)

    def _can_fire_on(self, where: str, situation: Situation) -> bool:
        asked = asked_of([self.when])
        alone = Situations((situation,), whole=True)
        answer = self.checking.find(where, self._fires, asked, alone, [Fittings.FACTORY])
        return answer.case is not None

    def _fires(self, env: Environment) -> Trilean:
        return fires(self.when, env)

    # -- what breaks it --------------------------------------------------------------

    def _broken_by_factory(self, where: str, broken: Condition, kind: str) -> bool:
        """Report a rule that a machine breaks as the factory built it."""
        asked = asked_of(self.expressions)
        situations = self.checking.configurations.situations(asked)
        found: list[Case] = [
            answer.case
            for _, answer in self.checking.each(
                where, broken, asked, situations, [Fittings.FACTORY_ONLY]
            )
            if answer.case is not None
        ]
        if not found:
            return False
        machines = self.checking.machines([case.situation for case in found])
        numbers = self.checking.example(found[0], self.expressions, asked)
        self.checking.report.fault(
            where,
            f"the factory machine breaks the {kind}: {machines}: {numbers}{self._margin(found[0])}",
            "Mend the numbers of the rule or of the parts, or narrow the condition.",
        )
        return True

    def _margin(self, case: Case) -> str:
        """By how much a limit is missed, where it compares two numbers."""
        margin = self.parts[0].margin(case.seen) if isinstance(self.rule, Limit) else None
        if not isinstance(margin, float):
            return ""
        unit = self.parts[0].margin_unit
        return f"; short by {-margin:.6g}{f' {unit}' if unit else ''}"

    def _binds_something(self, where: str, broken: Condition, does: str) -> None:
        """Report a rule that nothing in the catalog can break."""
        asked: Asked = asked_of(self.expressions)
        situations = self.checking.configurations.situations(asked)
        answer = self.checking.find(where, broken, asked, situations, IN_THE_CATALOG)
        if answer.case is None and answer.certain:
            self.checking.report.warning(
                where,
                f"nothing in the catalog {does}, so the rule binds nothing here",
                "Check its numbers and names, or take it out.",
            )
