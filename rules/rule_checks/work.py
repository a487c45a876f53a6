"""Work that is never done, places that no work reaches, jobs that cannot be met."""

from __future__ import annotations

from collections.abc import Sequence

from rules.catalog import Job, Operation, Step
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
        _step(checking, step)
    for operation in compiled.operations.values():
        _operation(checking, operation)
    for job in compiled.jobs.values():
        _job(checking, job)
    for figure, _, when in compiled.figures:
        where = f"catalog.yaml:figures.{figure.id}:when"
        check_condition(checking, where, when, "the figure")


def _step(checking: Checking, step: Step) -> None:
    where, compiled = work_place(step), checking.compiled
    check_condition(checking, f"{where}:when", compiled.step_when[step.id], "the step")
    if not checking.configurations.calls_for(step.id):
        checking.report.warning(
            f"{where}:id",
            "nothing calls for the step: no way, no requirement and no other step",
            "List it under the steps of a way, or take it out.",
        )
    for name in step.tools if step.send_out is None else ():
        tool = compiled.tools[name]
        if not tool.owned and tool.hire_price is None and tool.buy_price is None:
            checking.report.warning(
                f"{where}:tools",
                f"the tool {name} is not owned and can be neither hired nor bought, "
                "so only a shop that says it has one can do the step",
                "Give it a hire price or a buy price in tools.csv, or send the step out.",
            )


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
    elsewhere = checking.find(
        where, lambda env: fires(when, env), asked, served, [Fittings.FACTORY]
    )
    offered = _offered(checking, where, when, bare)
    if offered:
        is_lost = elsewhere.case is None and elsewhere.certain
        report = checking.report.fault if is_lost else checking.report.warning
        on = "any configuration" if is_lost else "some configurations"
        report(
            where,
            f"no {place} fits {on} that the job is offered on: {checking.machines(offered)}",
            "Add one to the parts and the fitment, or narrow the condition.",
        )
    return elsewhere.case is not None


def _offered(
    checking: Checking, where: str, when: Expression | None, situations: Situations
) -> list[Situation]:
    answers = checking.each(
        where, lambda env: fires(when, env), asked_of([when]), situations, [Fittings.FACTORY]
    )
    return [situation for situation, answer in answers if answer.case is not None]


def _job_where(checking: Checking, job: Job, place: str, wish: Expression) -> None:
    """Configurations that the job is offered on, with parts that fit but none that meets it."""
    where, when = f"{work_place(job)}:where", checking.compiled.job_when[job.id]
    asked = asked_of([when, wish])
    everywhere = checking.configurations.situations(asked, places=[place])
    _, situations = without_candidates(everywhere, place)

    def met(env: Environment) -> Trilean:
        return both(fires(when, env), negated(unmet(wish.evaluate(env))))

    def is_unmet(situation: Situation) -> bool:
        alone = Situations((situation,), whole=True)
        answer = checking.find(where, met, asked, alone, [Fittings.FACTORY], renewing=place)
        return answer.case is None and not answer.capped

    unmet_on = [s for s in _offered(checking, where, when, situations) if is_unmet(s)]
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
