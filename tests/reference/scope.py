"""What a rule forbids, written out: every assignment of the places and steps that it reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from rules.catalog import Exclusion, Limit, Part, Requirement, Rule

from .judge import limit_broken, together, unmet
from .problem import Problem
from .terms import World


@dataclass(frozen=True)
class Assignment:
    """One row: for each place read the part it is renewed with (None: kept), and the steps."""

    choices: tuple[tuple[str, Part | None], ...]
    steps: tuple[tuple[str, bool], ...]


def forbidden(problem: Problem, rule: Rule) -> Iterator[Assignment]:
    """The assignments that break the rule, whatever the rest of the plan is."""
    for row in _rows(problem, _texts(rule), _extra(rule)):
        if _broken(problem, rule, row):
            yield row


def firing(problem: Problem, rule: Requirement) -> Iterator[Assignment]:
    """The assignments in which the requirement's ``when`` holds."""
    texts = [rule.when] if rule.when is not None else []
    for row in _rows(problem, texts, ((), ())):
        if problem.holds(rule.when, _world(problem, row)):
            yield row


def failing(problem: Problem, place: str, text: str) -> Iterator[Assignment]:
    """The assignments in which what a job asks of its part is not so."""
    for row in _rows(problem, [text], ((place,), ())):
        if not problem.holds(text, _world(problem, row)):
            yield row


def _texts(rule: Rule) -> list[str]:
    texts = [rule.when]
    if isinstance(rule, Limit):
        texts.append(rule.limit)
    if isinstance(rule, Exclusion):
        texts.extend(rule.not_together)
    if isinstance(rule, Requirement):
        texts.append(rule.where)
    return [text for text in texts if text is not None]


def _extra(rule: Rule) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if not isinstance(rule, Requirement):
        return (), ()
    return ((rule.renew,) if rule.renew else ()), ((rule.do,) if rule.do else ())


def _rows(
    problem: Problem, texts: list[str], extra: tuple[tuple[str, ...], tuple[str, ...]]
) -> Iterator[Assignment]:
    terms = [problem.term(text) for text in texts]
    places = sorted(set(extra[0]).union(*(term.places for term in terms)))
    steps = sorted(set(extra[1]).union(*(term.steps for term in terms)) & set(problem.works))
    options = [(None, *problem.candidates[place]) for place in places]
    for chosen in product(*options):
        for done in product((False, True), repeat=len(steps)):
            yield Assignment(
                tuple(zip(places, chosen, strict=True)), tuple(zip(steps, done, strict=True))
            )


def _world(problem: Problem, row: Assignment) -> World:
    """The places that the rule reads; nothing else can matter to it."""
    target = {}
    for place, part in row.choices:
        if part is not None:
            target[place] = problem.occupants[part.key]
        elif place in problem.found:
            target[place] = problem.found[place]
    renewed = frozenset(place for place, part in row.choices if part is not None)
    doing = frozenset(step for step, done in row.steps if done)
    return World(problem.facts, problem.found, target, renewed, doing)


def _broken(problem: Problem, rule: Rule, row: Assignment) -> bool:
    world = _world(problem, row)
    if isinstance(rule, Limit):
        return limit_broken(problem, rule, world)
    if isinstance(rule, Requirement):
        return unmet(problem, rule, world)
    return isinstance(rule, Exclusion) and together(problem, rule, world)
