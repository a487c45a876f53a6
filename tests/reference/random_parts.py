"""Random part types, parts, fitment, supersessions and kits of a plausible shape."""

from __future__ import annotations

from rules.catalog import (
    FactCondition,
    FactoryPart,
    FieldDefinition,
    Fitment,
    Kit,
    KitContent,
    Part,
    PartKey,
    PartType,
    Supersession,
    Vehicle,
)
from rules.values import Value

from .draft import Draft

LAYERS = ("outside", "covers", "chest", "heads", "bottom")
BRANDS = ("Brisund", "Ossmark", "Quorrel", "Tarnik", "Veldrin")
GRADES = ("plain", "hard", "race")
HARD_NAMES = (
    "camshaft", "valve_spring", "lifter", "pushrod", "cylinder", "piston", "rocker_arm",
    "cam_bearing", "oil_pump", "clutch", "primary_chain", "tensioner", "throttle_body",
    "injector", "exhaust_header", "air_filter", "stator", "starter", "water_pump", "thermostat",
    "fork_spring", "shock", "brake_disc", "final_belt", "gearbox_sprocket", "ignition_coil",
)  # fmt: skip


def draw_part_types(draft: Draft) -> None:
    """About a third are seals that open covers destroy, the rest carry properties."""
    seals = max(1, round(draft.shape.part_types * 0.3))
    for index in range(draft.shape.part_types - seals):
        draft.part_types.append(_hard_type(draft, index))
    for index in range(seals):
        draft.part_types.append(
            PartType(
                id=f"seal_{index + 1}",
                label=f"Seal {index + 1}",
                layer=draft.rng.choice(LAYERS),
                quantity=draft.whole(draft.rng.choice([1, 1, 2]), 3, 0.1),
            )
        )
        draft.seals.append(draft.part_types[-1].id)


def _hard_type(draft: Draft, index: int) -> PartType:
    name = HARD_NAMES[index % len(HARD_NAMES)]
    name += "" if index < len(HARD_NAMES) else f"_{index // len(HARD_NAMES) + 1}"
    numbers = [
        FieldDefinition(name=one, kind="number", label=one, unit="mm", minimum=0.0, maximum=200.0)
        for one in ("lift_mm", "height_mm")[: draft.rng.choice([1, 1, 2])]
    ]
    grade = FieldDefinition(name="grade", kind="text", label="Grade", values=GRADES)
    return PartType(
        id=name,
        label=name.replace("_", " ").capitalize(),
        layer=draft.rng.choice(LAYERS),
        quantity=draft.whole(draft.rng.choice([1, 1, 2, 4]), 2, 0.1),
        properties=(*numbers, grade),
    )


def draw_vehicles(draft: Draft) -> None:
    """Three configurations that fix some of the facts."""
    for index, cooling in enumerate(("air", "liquid", "air")):
        first = draft.rng.randint(1996, 2006)
        facts: dict[str, Value] = {"cooling": cooling, "bore_mm": draft.rng.choice([90.0, 95.25])}
        if index == 2:
            facts["market"] = "export"
        draft.vehicles.append(
            Vehicle(
                id=f"machine_{index + 1}",
                label=f"Machine {index + 1}",
                model_year_from=first,
                model_year_to=first + 4,
                facts=facts,
            )
        )


def draw_parts(draft: Draft) -> None:
    """Candidates, a factory part that may itself be one, and numbers that do not fit."""
    for place in [part_type.id for part_type in draft.part_types]:
        count = draft.rng.randint(1 + draft.shape.candidates // 2, draft.shape.candidates)
        for index in range(count):
            part = _part(draft, place, index)
            draft.parts.append(part)
            _fit(draft, part)
        _factory(draft, place)


def _part(draft: Draft, place: str, index: int) -> Part:
    rng = draft.rng
    spread = ((0, 0), (2, 28))[index] if index < 2 else (-10, 30)
    properties: dict[str, Value | None] = {}
    for one in draft.type_of(place).properties:
        if one.kind == "text":
            properties[one.name] = rng.choice(GRADES)
        else:
            properties[one.name] = (100 + rng.randint(*spread)) / 10
    dear = place not in draft.seals
    return Part(
        key=PartKey(rng.choice(BRANDS), f"{place[:3].upper()}-{len(draft.parts) + 100}"),
        part_type=place,
        title=f"{place} {index + 1}",
        price=rng.randint(1500, 42000) if dear else rng.randint(150, 1900),
        core_deposit=rng.choice([0, 0, 0, 4500]) if dear else 0,
        pack_quantity=rng.choice([1, 1, 1, 2, 4]),
        stock=rng.choice([None, 0, 3, 12]),
        lead_days=rng.choice([None, 2, 9]),
        condition=rng.choice(["new", "new", "rebuilt"]),
        life_km=rng.choice([None, 30_000, 60_000, 90_000]),
        status="withdrawn" if draft.chance(0.05) else "current",
        supplier="Kettle Row Spares",
        properties=properties,
    )


def _fit(draft: Draft, part: Part) -> None:
    if draft.chance(0.05):
        return
    draft.fitment.append(Fitment(part=part.key, conditions=draft.fact_conditions()))
    if draft.chance(0.05):
        draft.fitment.append(
            Fitment(part=part.key, conditions=_one_condition(draft), fits=False, note="fouls")
        )


def _one_condition(draft: Draft) -> tuple[FactCondition, ...]:
    return (FactCondition(fact="market", values=(draft.rng.choice(["home", "export"]),)),)


def _factory(draft: Draft, place: str) -> None:
    """One part for all machines, one for each cooling, one for one cooling only, or none."""
    listed = draft.parts_of(place)
    first, second = listed[0], draft.rng.choice(listed)
    air = (FactCondition(fact="cooling", values=("air",)),)
    liquid = (FactCondition(fact="cooling", values=("liquid",)),)
    roll = draft.rng.random()
    if roll < 0.72:
        rows = [FactoryPart(part_type=place, part=first.key)]
    elif roll < 0.9:
        rows = [
            FactoryPart(part_type=place, part=first.key, conditions=air),
            FactoryPart(part_type=place, part=second.key, conditions=liquid),
        ]
    else:
        rows = [FactoryPart(part_type=place, part=first.key, conditions=air)]
    draft.factory.extend(rows)


def draw_supersessions(draft: Draft) -> None:
    """Old numbers: a chain of one or two, now and then one that stands for two parts."""
    hard = [part for part in draft.parts if part.part_type not in draft.seals]
    for index in range(max(1, draft.shape.part_types // 5)):
        new = draft.rng.choice(hard)
        old = _old_number(draft, new, index + 2)
        draft.supersessions.append(Supersession(old=old.key, new=new.key))
        if draft.chance(0.3):
            older = _old_number(draft, new, index + 50)
            draft.supersessions.append(Supersession(old=older.key, new=old.key))
        if draft.chance(0.3):
            partner = draft.rng.choice([p for p in hard if p.part_type != new.part_type])
            draft.supersessions.append(Supersession(old=old.key, new=partner.key))


def _old_number(draft: Draft, new: Part, index: int) -> Part:
    old = _part(draft, new.part_type, index)
    draft.parts.append(old)
    draft.fitment.append(Fitment(part=old.key))
    return old


def draw_kits(draft: Draft) -> None:
    """Kits that overlap, most about some job; some cost more than their parts one by one."""
    old = draft.superseded()
    for index in range(draft.shape.kits):
        contents, worth = [], 0
        for place in _kit_places(draft):
            listed = [part for part in draft.parts_of(place) if part.key not in old]
            part = draft.rng.choice(sorted(listed, key=lambda one: one.price)[:3])
            quantity = _kit_quantity(draft, place)
            contents.append(KitContent(part=part.key, quantity=quantity))
            worth += -(-quantity // part.pack_quantity) * part.price
        draft.kits.append(
            Kit(
                key=PartKey(draft.rng.choice(BRANDS), f"KIT-{index + 1}"),
                title=f"Kit {index + 1}",
                price=max(100, round(worth * draft.rng.uniform(0.3, 1.1))),
                contents=tuple(contents),
                lead_days=draft.rng.choice([None, 4]),
            )
        )


def _kit_places(draft: Draft) -> list[str]:
    """What a job renews and a seal or two, or else anything."""
    if draft.chance(0.75):
        asked = draft.rng.choice(draft.jobs).renew
        return list(asked) + draft.rng.sample(draft.seals, min(2, len(draft.seals)))
    every = [part_type.id for part_type in draft.part_types]
    return draft.rng.sample(every, min(len(every), draft.rng.randint(2, 4)))


def _kit_quantity(draft: Draft, place: str) -> int:
    usual = draft.type_of(place).quantity
    pieces = usual if isinstance(usual, int) else 3
    return max(1, pieces + draft.rng.choice([-1, 0, 0, 0, 0, 1, 2]))
