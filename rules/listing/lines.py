"""Lines of goods: parts, kits, consumables, tools, sent-out work, deposits; and the lead time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from rules.answer import (
    ConsumableLine,
    DepositLine,
    KitLine,
    LeadTime,
    LeftOver,
    PartLine,
    Reason,
    SentOutLine,
    ToolLine,
)
from rules.catalog import Kit, Part, PartKey
from rules.listing.charges import consumable_uses
from rules.listing.context import Context
from rules.listing.kit_savings import saved_by
from rules.listing.reasons import place_reasons
from rules.model.costs import tool_choice


def part_lines(context: Context) -> tuple[PartLine, ...]:
    """Places renewed, from the outside of the machine inwards."""
    types = context.compiled.part_types
    order = sorted(
        context.plan.target, key=lambda p: (context.depth(types[p].layer), types[p].label, p)
    )
    return tuple(_part_line(context, place) for place in order)


def _part_line(context: Context, place: str) -> PartLine:
    plan = context.plan
    part = plan.target[place]
    kit = plan.kit_of.get(place)
    quantity = plan.quantity[place]
    bought = plan.packs[place]
    have = context.model.demand.on_hand.get(part.key, 0)
    fitted = context.model.machine.fitted.get(place)
    stock = context.compiled.kits[kit] if kit else part
    return PartLine(
        part_type=place,
        label=context.label(place),
        part=part.key,
        title=part.title,
        instead_of=fitted.key if fitted else None,
        asked_as=_asked_as(context, part.key),
        quantity=quantity,
        counted_in=context.compiled.part_types[place].counted_in,
        pack_quantity=part.pack_quantity,
        packs=bought,
        left_over=0 if kit else max(0, have + bought * part.pack_quantity - quantity),
        pack_price=context.money(part.price),
        amount=context.money(bought * part.price),
        from_kit=kit,
        condition=part.condition,
        emission_class=part.emission_class,
        supplier=part.supplier,
        in_stock=in_stock(stock, 1 if kit else bought),
        lead_days=lead_days(stock, 1 if kit else bought),
        life_km=part.life_km,
        note=part.note,
        reasons=place_reasons(context, place),
    )


def _asked_as(context: Context, key: PartKey) -> PartKey | None:
    for wanted in context.model.demand.wanted:
        if wanted.current.changed and key in wanted.parts:
            return wanted.asked
    return None


def in_stock(item: Part | Kit, needed: int) -> bool | None:
    """Whether the shelf holds enough; None: nobody counted. Nothing needed: it does."""
    if needed == 0:
        return True
    return None if item.stock is None else item.stock >= needed


def lead_days(item: Part | Kit, needed: int) -> int | None:
    """Days until it is in hand: 0 from stock; None: not known."""
    return 0 if in_stock(item, needed) else item.lead_days


def kit_lines(context: Context) -> tuple[KitLine, ...]:
    """Kits bought, with what doing without them would cost more."""
    return tuple(_kit_line(context, context.compiled.kits[key]) for key in context.plan.kits)


def _kit_line(context: Context, kit: Kit) -> KitLine:
    supplied = tuple(sorted(p for p, key in context.plan.kit_of.items() if key == kit.key))
    saved = saved_by(context, [kit.key])
    return KitLine(
        kit=kit.key,
        title=kit.title,
        amount=context.money(kit.price),
        supplies=supplied,
        left_over=_left_over(context, kit, supplied),
        saved=context.money(saved),
        supplier=kit.supplier,
        in_stock=in_stock(kit, 1),
        lead_days=lead_days(kit, 1),
        reasons=_kit_reasons(context, kit, saved),
    )


def _kit_reasons(context: Context, kit: Kit, saved: int) -> tuple[Reason, ...]:
    asked = [w for w in context.model.demand.wanted if kit.key in w.kits]
    reasons = [
        Reason(kind="wanted", ref=str(w.asked), sentence=f"Asked for as {w.asked}.") for w in asked
    ]
    if saved > 0:
        amount = context.money(saved)
        sentence = f"{amount} less than the cheapest way without it."
        reasons.append(Reason(kind="kit", ref=str(kit.key), sentence=sentence))
    return tuple(reasons)


def _left_over(context: Context, kit: Kit, supplied: tuple[str, ...]) -> tuple[LeftOver, ...]:
    plan, on_hand = context.plan, context.model.demand.on_hand
    used = {
        plan.target[p].key: max(0, plan.quantity[p] - on_hand.get(plan.target[p].key, 0))
        for p in supplied
    }
    rest = sorted((c.part, c.quantity - used.get(c.part, 0)) for c in kit.contents)
    return tuple(
        _left_over_line(context, context.compiled.parts[key], quantity)
        for key, quantity in rest
        if quantity > 0
    )


def _left_over_line(context: Context, part: Part, quantity: int) -> LeftOver:
    counted_in = context.compiled.part_types[part.part_type].counted_in
    return LeftOver(part=part.key, title=part.title, quantity=quantity, counted_in=counted_in)


def consumable_lines(context: Context) -> tuple[ConsumableLine, ...]:
    """Consumables by the use, each with its amount in money."""
    steps = context.compiled.steps
    return tuple(
        ConsumableLine(
            consumable=name,
            title=context.compiled.consumables[name].title,
            uses=uses,
            amount=context.money(uses * context.compiled.consumables[name].price),
            steps=tuple(s for s in context.plan.steps if name in steps[s].consumables),
        )
        for name, uses in consumable_uses(context.model, context.plan).items()
    )


def tool_lines(context: Context) -> tuple[ToolLine, ...]:
    """Special tools to lay out, and how each is had."""
    return tuple(_tool_line(context, name) for name in context.plan.tools)


def _tool_line(context: Context, name: str) -> ToolLine:
    tool = context.compiled.tools[name]
    choice = tool_choice(tool, name in context.model.demand.tools_owned)
    bought = choice.how == "bought"
    lead = {"owned": 0, "hired": tool.hire_lead_days, "bought": tool.buy_lead_days}
    steps = context.compiled.steps
    return ToolLine(
        tool=name,
        title=tool.title,
        how=choice.how,  # type: ignore[arg-type]  # a plan never holds a tool that cannot be had
        amount=context.money(choice.price or 0),
        purchase=context.money(tool.buy_price or 0) if bought else None,
        resale=context.money(tool.resale_price or 0) if bought else None,
        lead_days=lead[choice.how],
        steps=tuple(
            s
            for s in context.plan.steps
            if name in steps[s].tools and s not in context.plan.sent_out
        ),
    )


def sent_out_lines(context: Context) -> tuple[SentOutLine, ...]:
    """Steps that another workshop does."""
    found = []
    for name in sorted(context.plan.sent_out):
        send_out = context.compiled.steps[name].send_out
        if send_out is not None:
            found.append(
                SentOutLine(
                    step=name,
                    title=send_out.title,
                    amount=context.money(send_out.price),
                    lead_days=send_out.lead_days,
                )
            )
    return tuple(found)


def deposit_lines(context: Context) -> tuple[DepositLine, ...]:
    """Core deposits of single packs bought, refundable when the old unit comes back."""
    found = []
    for place, part in context.plan.target.items():
        units = context.plan.packs[place]
        if part.core_deposit and units:
            amount = context.money(units * part.core_deposit)
            found.append(DepositLine(part=part.key, title=part.title, units=units, amount=amount))
    return tuple(found)


def lead_time(
    parts: Iterable[PartLine], kits: Iterable[KitLine], tools: Iterable[ToolLine], today: date
) -> LeadTime:
    """When every part, kit and tool is in hand. Calendar days from ``today``."""
    waits: list[tuple[str, int | None]] = [
        *((f"{line.title} ({line.part})", line.lead_days) for line in parts if not line.from_kit),
        *((f"{line.title} ({line.kit})", line.lead_days) for line in kits),
        *((line.title, line.lead_days) for line in tools),
    ]
    unknown = tuple(name for name, days in waits if days is None)
    longest = max((days for _, days in waits if days is not None), default=0)
    decided_by = tuple(name for name, days in waits if days == longest and longest > 0)
    if unknown:
        return LeadTime(in_hand_on=None, days=None, decided_by=decided_by, unknown=unknown)
    in_hand = today + timedelta(days=longest)
    return LeadTime(in_hand_on=in_hand, days=longest, decided_by=decided_by, unknown=())
