"""Work that is never done, places that no work reaches, jobs that cannot be met."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.catalog import Job, Operation
from rules.catalog_faults.places import work_place
from rules.expressions import Environment, Expression
from rules.fitment import Trilean
from rules.model.checks import both, fires, unmet
from rules.rule_checks.asked import asked_of
from rules.rule_checks.checking import Checking, without_candidates
from rules.rule_checks.conditions import ALL_FITTINGS, check_condition, negated
from rules.rule_checks.search import Fittings
from rules.rule_checks.situations import Situation, Situations


def check_work(checking: Checking) -> None:
    """Steps, operations with their ways, jobs, and conditions of figures."""
    compiled = checking.compiled
    for step in compiled.steps.values():
        check_condition(
            checking, f"{work_place(step)}:when", compiled.step_when[step.id], "the step"
        )
    for operation in compiled.operations.values():
        _operation(checking, operation)
    for job in compiled.jobs.values():
        _job(checking, job)


def _operation(checking: Checking, operation: Operation) -> None:
    where = work_place(operation)
    whens = []
    for way in operation.ways:
        when = checking.compiled.way_when[operation.id, way.id]
        check_condition(checking, f"{where}.ways.{way.id}:when", when, "the way")
        whens.append(when)
    if all(when is not None for when in whens):
        _no_way(checking, operation, whens)


def _no_way(checking: Checking, operation: Operation, whens: Sequence[Expression | None]) -> None:
    """Configurations that have the place fitted, where none of the ways can be gone."""
    where = f"{work_place(operation)}:ways"
    asked = asked_of(whens)
    situations = checking.configurations.situations(asked, places=operation.renews)

    def barred(env: Environment) -> Trilean:
        outcome: Trilean = True
        for when in whens:
            outcome = both(outcome, negated(fires(when, env)))
        return outcome

    answers = checking.each(where, barred, asked, situations, [Fittings.FACTORY])
    stuck = [
        situation
        for situation, answer in answers
        if answer.case is not None
        and any(options.factory for options in situation.options.values())
    ]
    if stuck:
        checking.report.fault(
            where,
            f"no way can be gone on {checking.machines(stuck)}, "
            f"which has {_fitted(stuck[0])} fitted",
            "Add a way for such machines, or widen the condition of one.",
        )


def _fitted(situation: Situation) -> str:
    return ", ".join(place for place, options in situation.options.items() if options.factory)


# -- jobs ------------------------------------------------------------------------------


def _job(checking: Checking, job: Job) -> None:
    where, when = work_place(job), checking.compiled.job_when[job.id]
    if not check_condition(checking, f"{where}:when", when, "the job"):
        return
    for place in job.renew:
        served = _job_renews(checking, job, place)
        wish = checking.compiled.job_where[job.id].get(place)
        if served and wish is not None:
            _job_where(checking, job, place, wish)


def _job_renews(checking: Checking, job: Job, place: str) -> bool:
    """Whether something fits a configuration that the job is offered on; reports gaps."""
    where, when = f"{work_place(job)}:renew", checking.compiled.job_when[job.id]
    asked = asked_of([when])
    situations = checking.configurations.situations(asked, places=[place])
    bare, served = without_candidates(situations, place)
    offered = list(_offered(checking, where, when, bare))
    is_served = next(_offered(checking, where, when, served), None) is not None
    if offered:
        report = checking.report.warning if is_served else checking.report.fault
        on = "some configurations" if is_served else "any configuration"
        report(
            where,
            f"no {place} fits {on} that the job is offered on: {checking.machines(offered)}",
            "Add one to the parts and the fitment, or narrow the condition.",
        )
    return is_served


def _offered(
    checking: Checking, where: str, when: Expression | None, situations: Situations
) -> Iterator[Situation]:
    answers = checking.each(
        where, lambda env: fires(when, env), asked_of([when]), situations, [Fittings.FACTORY]
    )
    return (situation for situation, answer in answers if answer.case is not None)


def _job_where(checking: Checking, job: Job, place: str, wish: Expression) -> None:
    """Configurations that the job is offered on, with parts that fit but none that meets it."""
    where, when = f"{work_place(job)}:where", checking.compiled.job_when[job.id]
    asked = asked_of([when, wish])
    everywhere = checking.configurations.situations(asked, places=[place])
    _, situations = without_candidates(everywhere, place)

    def met(env: Environment) -> Trilean:
        return both(fires(when, env), negated(unmet(wish.evaluate(env))))

    unmet_on = [
        situation
        for situation in _offered(checking, where, when, situations)
        if checking.find(
            where,
            met,
            asked,
            Situations((situation,), whole=True),
            [Fittings.FACTORY],
            renewing=place,
        ).case
        is None
    ]
    if not unmet_on:
        return
    answer = checking.find(where, met, asked, situations, ALL_FITTINGS, renewing=place)
    example = checking.machines(unmet_on)
    mend = f"Add such a {place} to the parts and the fitment, or mend the condition."
    if answer.case is None and answer.certain:
        problem = f"no {place} meets it on any configuration, as {example}"
        checking.report.fault(where, problem, mend)
    else:
        problem = f"no {place} meets it on some configurations as built: {example}"
        checking.report.warning(where, problem, mend)
