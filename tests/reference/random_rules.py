"""Random rules: limits between places, requirements, exclusions, recommendations, cautions."""

from __future__ import annotations

from collections.abc import Callable

from rules.catalog import Caution, Exclusion, Limit, Recommendation, Requirement, Rule

from . import terms
from .draft import Draft
from .random_parts import GRADES
from .terms import Term, literal

BASIS = "common practice"


def draw_rules(draft: Draft) -> None:
    """A mix of every kind; the lawful shape keeps to the class of the add-on law."""
    kinds: list[tuple[float, Callable[[Draft, str], Rule]]] = [
        (0.30, _pair_limit),
        (0.12, _fact_limit),
        (0.10, _logic_limit),
        (0.24, _renew_requirement),
        (0.10, _where_requirement),
        (0.06, _do_requirement),
        (0.08, _exclusion),
    ]
    makers = draft.rng.choices(
        [make for _, make in kinds], [share for share, _ in kinds], k=draft.shape.rules
    )
    draft.rules.extend(make(draft, f"rule_{index + 1}") for index, make in enumerate(makers))
    for index in range(draft.shape.recommendations):
        draft.rules.append(_recommendation(draft, f"worth_{index + 1}"))
    draft.rules.append(
        Caution(
            id="hot",
            sentence="Let it cool down first.",
            basis=BASIS,
            kind="hot_parts",
            steps=(draft.steps[0].id,),
        )
    )


def _hard(draft: Draft, count: int) -> list[str]:
    places = [one.id for one in draft.part_types if one.id not in draft.seals]
    return draft.rng.sample(places, min(count, len(places)))


def _number(draft: Draft, place: str) -> Term:
    return terms.of_target(place, draft.rng.choice(draft.numbers_of(place)).name)


def _pair_limit(draft: Draft, rule_id: str) -> Rule:
    """``a.x <= b.y + c``, seldom ``a.x + b.y <= d.z + c``; most hold on the factory machine."""
    places = _hard(draft, 3 if draft.chance(0.15) else 2)
    room = draft.rng.choice([-0.3, 0.0, 0.3, 0.7, 1.1, 1.6, 2.3, 2.6])
    left, right = _number(draft, places[0]), _number(draft, places[1])
    if len(places) == 3:
        limit = terms.at_most(
            terms.plus(left, right),
            terms.plus(_number(draft, places[2]), literal(round(10.0 + room, 1))),
        )
    elif draft.chance(0.2):
        limit = terms.at_least(terms.plus(right, literal(room)), left)
    else:
        limit = terms.at_most(left, terms.plus(right, literal(room)))
    return Limit(
        id=rule_id,
        sentence="One must leave room for the other.",
        basis=BASIS,
        when=_limit_when(draft, places),
        limit=draft.say(limit),
        unit="mm",
    )


def _limit_when(draft: Draft, places: list[str]) -> str | None:
    if draft.chance(0.65):
        return None
    choices = [draft.fact_test(), _grade(draft, places[0])]
    if not draft.shape.lawful:
        choices += [terms.renewed(places[-1]), terms.doing(draft.rng.choice(draft.steps).id)]
    return draft.say(draft.rng.choice(choices))


def _grade(draft: Draft, place: str) -> Term:
    return terms.same(terms.of_target(place, "grade"), literal(draft.rng.choice(GRADES)))


def _fact_limit(draft: Draft, rule_id: str) -> Rule:
    (place,) = _hard(draft, 1)
    rest = literal(draft.rng.choice([77.4, 78.3, 79.1, 79.9]))
    limit = terms.at_most(terms.plus(_number(draft, place), rest), terms.fact("bore_mm"))
    return Limit(
        id=rule_id,
        sentence="It must clear the bore.",
        basis=BASIS,
        when=draft.say(terms.present(place)) if draft.chance(0.2) else None,
        limit=draft.say(limit),
        unit="mm",
    )


def _logic_limit(draft: Draft, rule_id: str) -> Rule:
    """A limit that is no bare comparison: it has no margin and no tolerance."""
    places = _hard(draft, 2)
    small = terms.at_most(_number(draft, places[0]), literal(draft.rng.choice([10.5, 11.3, 12.1])))
    escapes = [_grade(draft, places[1]), terms.negate(_grade(draft, places[0]))]
    if not draft.shape.lawful:
        step = terms.doing(draft.rng.choice(draft.steps).id)
        escapes += [terms.negate(step), step, terms.renewed(places[1])]
    return Limit(
        id=rule_id,
        sentence="Either it stays small or something else is seen to.",
        basis=BASIS,
        limit=draft.say(terms.either(draft.rng.choice(escapes), small)),
    )


def _when(draft: Draft, place: str) -> Term:
    """What makes a requirement fire."""
    step = draft.rng.choice(draft.steps).id
    plain = [terms.renewed(place), terms.renewed(place), terms.doing(step)]
    if draft.shape.lawful:
        return draft.rng.choice(plain)
    (other,) = _hard(draft, 1)
    grown = terms.above(_number(draft, place), literal(draft.rng.choice([10.2, 10.9])))
    number = draft.rng.choice(draft.numbers_of(place)).name
    more = terms.above(terms.of_target(place, number), terms.of_fitted(place, number))
    worn = terms.above(terms.run_km(other), literal(draft.rng.choice([20_000, 45_000])))
    mixed = [
        grown,
        more,
        terms.both(terms.renewed(place), worn),
        terms.both(terms.renewed(place), terms.negate(terms.renewed(other))),
        terms.both(terms.doing(step), terms.renewed(place)),
        terms.both(terms.renewed(place), terms.same(terms.fact("market"), literal("home"))),
    ]
    return draft.rng.choice(plain * 3 + mixed)


def _renew_requirement(draft: Draft, rule_id: str) -> Rule:
    """Now and then the thing to renew is already what the condition is about: only more of it."""
    (place,) = _hard(draft, 1)
    other = place if draft.chance(0.25) else draft.rng.choice(draft.part_types).id
    quantity = None
    if not draft.shape.lawful and draft.chance(0.6 if other == place else 0.3):
        quantity = draft.whole(draft.rng.choice([2, 3, 5]), 4, 0.2)
    return Requirement(
        id=rule_id,
        sentence="Renew it with the other.",
        basis=BASIS,
        when=draft.say(_when(draft, place)),
        renew=other,
        quantity=quantity,
    )


def _where_requirement(draft: Draft, rule_id: str) -> Rule:
    """In the lawful shape its ``when`` speaks of the target, never of what is done."""
    places = _hard(draft, 2)
    place, other = places[0], places[-1]
    wheres = [
        _grade(draft, other),
        terms.negate(_grade(draft, other)),
        terms.at_least(_number(draft, other), literal(draft.rng.choice([9.6, 10.0, 10.4]))),
        terms.at_least(_number(draft, other), _number(draft, place)),
    ]
    when = _grade(draft, place) if draft.shape.lawful else _when(draft, place)
    return Requirement(
        id=rule_id,
        sentence="The other must be of the right kind.",
        basis=BASIS,
        when=draft.say(when),
        part_type=other,
        where=draft.say(draft.rng.choice(wheres)),
    )


def _do_requirement(draft: Draft, rule_id: str) -> Rule:
    (place,) = _hard(draft, 1)
    steps = draft.loose_steps or [step.id for step in draft.steps]
    return Requirement(
        id=rule_id,
        sentence="Then this must be done as well.",
        basis=BASIS,
        when=draft.say(_when(draft, place)),
        do=draft.rng.choice(steps),
    )


def _exclusion(draft: Draft, rule_id: str) -> Rule:
    places = _hard(draft, 2)
    atoms = [_grade(draft, places[0]), _grade(draft, places[-1])]
    if not draft.shape.lawful and draft.chance(0.5):
        atoms[0] = terms.renewed(places[0])
    if not draft.shape.lawful and draft.chance(0.3):
        atoms[1] = terms.doing(draft.rng.choice(draft.steps).id)
    return Exclusion(
        id=rule_id,
        sentence="These two do not go together.",
        basis=BASIS,
        when=draft.say(draft.fact_test()) if draft.chance(0.2) else None,
        not_together=tuple(draft.say(atom) for atom in atoms),
    )


def _recommendation(draft: Draft, rule_id: str) -> Rule:
    place = draft.rng.choice(draft.part_types).id
    whens = [
        terms.doing(draft.rng.choice(draft.steps).id),
        terms.doing(draft.steps[0].id),
        terms.renewed(draft.rng.choice(draft.part_types).id),
        terms.present(place),
    ]
    if not draft.shape.lawful:
        whens.append(terms.above(terms.run_km(place), literal(20_000)))
    return Recommendation(
        id=rule_id,
        sentence="Worth renewing while it is apart.",
        basis=BASIS,
        when=draft.say(draft.rng.choice(whens)),
        renew=place,
        life_km=draft.rng.choice([None, 50_000]),
    )
