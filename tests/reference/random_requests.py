"""Random jobs and requests against a drafted catalog."""

from __future__ import annotations

from rules.catalog import Job, PartKey
from rules.request import Aim, BuildRequest, FittedPart
from rules.values import Value

from . import terms
from .draft import Draft


def draw_jobs(draft: Draft) -> None:
    """Each renews one to three part types; some ask for more of something than is fitted."""
    hard = [one.id for one in draft.part_types if one.id not in draft.seals]
    for index in range(max(2, draft.shape.part_types // 5)):
        places = draft.rng.sample(hard, min(len(hard), draft.rng.choice([1, 1, 2, 3])))
        where = {}
        if not draft.shape.lawful and draft.chance(0.3):
            name = draft.rng.choice(draft.numbers_of(places[0])).name
            more = terms.above(terms.of_target(places[0], name), terms.of_fitted(places[0], name))
            where[places[0]] = draft.say(more)
        draft.jobs.append(
            Job(
                id=f"job_{index + 1}",
                title=f"Job {index + 1}",
                wish="More of it",
                renew=tuple(places),
                where=where,
                operations=("set_up",) if draft.chance(0.25) else (),
                when=draft.say(draft.fact_test()) if draft.chance(0.03) else None,
            )
        )


def draw_request(draft: Draft) -> BuildRequest:
    """A machine of which everything is known, and a wish."""
    vehicle = draft.rng.choice(draft.vehicles)
    facts: dict[str, Value] = {
        "model_year": draft.rng.randint(vehicle.model_year_from, vehicle.model_year_to),
        "odometer_km": draft.rng.randint(4_000, 80_000),
    }
    if "market" not in vehicle.facts:
        facts["market"] = draft.rng.choice(["home", "export"])
    jobs = draft.some([job.id for job in draft.jobs], draft.shape.jobs) or [draft.jobs[0].id]
    wishful = not draft.shape.lawful
    aims: list[Aim] = ["cost", "cost", "cost", "hours", "life"]
    return BuildRequest(
        vehicle_id=vehicle.id,
        facts=facts,
        jobs=tuple(jobs),
        parts_wanted=_wanted(draft) if wishful else (),
        parts_refused=_refused(draft),
        keep=_kept(draft, jobs) if wishful else (),
        fitted=_fitted(draft),
        add_ons=tuple(draft.some([one.id for one in draft.part_types], 1))
        if draft.chance(0.25)
        else (),
        tools_owned=tuple(draft.some([tool.id for tool in draft.tools], 3))
        if draft.chance(0.2)
        else None,
        aim=draft.rng.choice(aims) if wishful else "cost",
        parts_on_hand=_on_hand(draft),
    )


def _on_hand(draft: Draft) -> dict[PartKey, int]:
    """Now and then some pieces of a few parts that are sold today."""
    if draft.chance(0.8):
        return {}
    old = draft.superseded()
    sold = [one.key for one in draft.parts if one.status == "current" and one.key not in old]
    count = min(len(sold), draft.shape.part_types // 2)
    return {key: draft.rng.randint(1, 4) for key in draft.rng.sample(sold, count)}


def _wanted(draft: Draft) -> tuple[PartKey, ...]:
    roll = draft.rng.random()
    if roll < 0.07:
        return (draft.rng.choice(draft.supersessions).old,)
    if roll < 0.12 and draft.kits:
        return (draft.rng.choice(draft.kits).key,)
    if roll < 0.2:
        return (draft.rng.choice(draft.parts).key,)
    return ()


def _refused(draft: Draft) -> tuple[PartKey, ...]:
    if draft.chance(0.7):
        return ()
    refused = draft.rng.sample(draft.parts, min(len(draft.parts), draft.rng.choice([1, 1, 2])))
    kits = [draft.rng.choice(draft.kits).key] if draft.kits and draft.chance(0.2) else []
    return (*(part.key for part in refused), *kits)


def _kept(draft: Draft, jobs: list[str]) -> tuple[str, ...]:
    """Mostly something that no job renews: it still clashes with spent seals and limits."""
    asked = {place for job in draft.jobs if job.id in jobs for place in job.renew}
    places = [one.id for one in draft.part_types if one.id not in asked or draft.chance(0.05)]
    return tuple(draft.some(places, 2)) if draft.chance(0.25) else ()


def _fitted(draft: Draft) -> tuple[FittedPart, ...]:
    """A listed part that someone put on before, or an unlisted one known by its properties."""
    found = []
    for place in draft.some([one.id for one in draft.part_types], 2):
        if draft.chance(0.5):
            continue
        run = draft.rng.randint(0, 60_000)
        if draft.chance(0.7):
            part = draft.rng.choice(draft.parts_of(place))
            found.append(FittedPart(part_type=place, part=part.key, run_km=run))
        else:
            properties: dict[str, Value] = {
                one.name: "plain" if one.kind == "text" else 10.2
                for one in draft.type_of(place).properties
            }
            found.append(FittedPart(part_type=place, properties=properties, run_km=run))
    return tuple(found)
