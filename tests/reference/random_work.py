"""Random tools, steps and operations: covers in layers, several ways, seals that are spent."""

from __future__ import annotations

from rules.catalog import Consumable, Operation, SendOut, Step, Tool, Way

from .draft import Draft
from .random_parts import LAYERS

CONSUMABLES = (
    Consumable(id="brake_cleaner", title="Brake cleaner", price=315),
    Consumable(id="thread_sealant", title="Thread sealant", price=95),
    Consumable(id="assembly_paste", title="Assembly paste", price=140),
)


def draw_tools(draft: Draft) -> None:
    """Owned, hired, bought, either, or not to be had."""
    for index in range(draft.shape.tools):
        roll = draft.rng.random()
        buy = draft.rng.randint(4000, 26000)
        for_sale = 0.5 < roll < 0.96
        draft.tools.append(
            Tool(
                id=f"tool_{index + 1}",
                title=f"Tool {index + 1}",
                purpose="Holds what must not turn",
                owned=roll < 0.25,
                hire_price=draft.rng.randint(900, 7000) if roll < 0.75 else None,
                hire_lead_days=2 if roll < 0.75 else None,
                buy_price=buy if for_sale else None,
                resale_price=buy * draft.rng.randint(3, 9) // 10
                if for_sale and draft.chance(0.6)
                else None,
                buy_lead_days=5 if for_sale else None,
            )
        )


def draw_steps(draft: Draft) -> None:
    """Access steps first (a tree with some cross-links), then the work behind them."""
    total = draft.shape.steps
    access = max(2, round(total * 0.4))
    for index in range(total):
        is_access = index < access
        depth = min(len(LAYERS) - 1, index * len(LAYERS) // access) if is_access else 4
        draft.steps.append(
            Step(
                id=f"{'open' if is_access else 'work'}_{index + 1}",
                title=f"Step {index + 1}",
                layer=LAYERS[depth],
                minutes=_minutes(draft),
                needs=_needs(draft, index, access),
                spends=_spends(draft, is_access),
                tools=tuple(draft.some([tool.id for tool in draft.tools], 1 if is_access else 2)),
                consumables={one.id: draft.rng.randint(1, 3) for one in draft.some(CONSUMABLES, 1)},
                send_out=None if is_access and draft.chance(0.8) else _send_out(draft),
                when=draft.say(draft.fact_test()) if draft.chance(0.08) else None,
            )
        )


def _minutes(draft: Draft) -> int | str:
    return draft.whole(draft.rng.randint(4, 110), draft.rng.randint(4, 110), 0.12)


def _needs(draft: Draft, index: int, access: int) -> tuple[str, ...]:
    reach = [step.id for step in draft.steps[: min(index, access)]]
    if not reach or draft.chance(0.2):
        return ()
    return tuple(draft.rng.sample(reach, min(len(reach), draft.rng.choice([1, 1, 1, 2]))))


def _spends(draft: Draft, is_access: bool) -> tuple[str, ...]:
    if draft.chance(0.55 if is_access else 0.1):
        return (draft.rng.choice(draft.seals),)
    hard = [one.id for one in draft.part_types if one.id not in draft.seals]
    return (draft.rng.choice(hard),) if draft.chance(0.04) else ()


def _send_out(draft: Draft) -> SendOut | None:
    if draft.chance(0.5):
        return None
    return SendOut(
        title="Sent to the machine shop",
        price=draft.rng.randint(1500, 11000),
        lead_days=3,
        minutes=draft.rng.choice([0, 5, 15]),
    )


def draw_operations(draft: Draft) -> None:
    """A seal is renewed by the step that opens its cover; the rest have one to three ways."""
    places = [one.id for one in draft.part_types if one.id not in draft.seals]
    while places:
        together = places[: 2 if len(places) > 1 and draft.chance(0.15) else 1]
        places = places[len(together) :]
        draft.operations.append(
            Operation(
                id=f"renew_{together[0]}",
                title=f"Renew {together[0]}",
                ways=_ways(draft),
                renews=tuple(together),
            )
        )
    for seal in draft.seals:
        draft.operations.append(_seal_operation(draft, seal))
    draft.operations.append(Operation(id="set_up", title="Set up", ways=_ways(draft)))
    used = {step for one in draft.operations for way in one.ways for step in way.steps}
    draft.loose_steps.extend(step.id for step in draft.steps if step.id not in used)


def _ways(draft: Draft) -> tuple[Way, ...]:
    work = [step.id for step in draft.steps if step.id.startswith("work")]
    every = [step.id for step in draft.steps]
    ways = []
    for index in range(draft.rng.choice([1, 2, 2, 3])):
        steps = {draft.rng.choice(work)}
        if index or draft.chance(0.3):
            steps.add(draft.rng.choice(every))
        ways.append(
            Way(
                id=f"way_{index + 1}",
                title=f"Way {index + 1}",
                steps=tuple(sorted(steps)),
                when=draft.say(draft.fact_test()) if index and draft.chance(0.2) else None,
            )
        )
    return tuple(ways)


def _seal_operation(draft: Draft, seal: str) -> Operation:
    openers = [step.id for step in draft.steps if seal in step.spends]
    openers = openers or [draft.rng.choice([step.id for step in draft.steps])]
    ways = tuple(
        Way(id=f"by_{opener}", title=f"By {opener}", steps=(opener,)) for opener in openers
    )
    return Operation(id=f"renew_{seal}", title=f"Renew {seal}", ways=ways, renews=(seal,))
