"""The build list as JSON: one shape for each record of ``rules.answer``, field by field.

A test holds the two to each other. Money is a decimal text with its currency, dates are
RFC 3339 full-dates, what is not known is null.
"""

from __future__ import annotations

from datetime import date
from typing import Any, Literal

from pydantic import field_validator

from api.shapes.common import Answer, JsonValue, MoneyShape, PartKeyShape
from rules.answer import CaseKind, ChangeKind, ReasonKind, Status
from rules.catalog import Condition, EmissionClass, Stage
from rules.request import Aim


class ReasonShape(Answer):
    """Why a line is there."""

    kind: ReasonKind
    ref: str
    """Id of the job, rule, step, part … that asks for it."""
    sentence: str


class PartLineShape(Answer):
    """One place renewed."""

    part_type: str
    label: str
    part: PartKeyShape
    title: str
    instead_of: PartKeyShape | None
    """The part that comes off; null when the place was empty or held something unlisted."""
    asked_as: PartKeyShape | None
    """The old number that was asked for."""
    quantity: int
    counted_in: str
    """piece or ml."""
    pack_quantity: int
    packs: int
    """0 when a kit supplies it."""
    left_over: int
    pack_price: MoneyShape
    amount: MoneyShape
    from_kit: PartKeyShape | None
    condition: Condition
    emission_class: EmissionClass
    supplier: str
    in_stock: bool | None
    lead_days: int | None
    life_km: int | None
    note: str
    reasons: list[ReasonShape]


class LeftOverShape(Answer):
    """What a kit holds beyond what the job needs."""

    part: PartKeyShape
    title: str
    quantity: int
    counted_in: str
    """piece or ml."""


class KitLineShape(Answer):
    """A kit bought."""

    kit: PartKeyShape
    title: str
    amount: MoneyShape
    supplies: list[str]
    """Part types."""
    left_over: list[LeftOverShape]
    saved: MoneyShape
    """What the cheapest plan without the kit would cost more, before tax."""
    supplier: str
    in_stock: bool | None
    lead_days: int | None
    reasons: list[ReasonShape]


class StepLineShape(Answer):
    """A step, in working order."""

    step: str
    title: str
    layer: str
    minutes: int
    amount: MoneyShape
    sent_out: bool
    shared_by: list[str]
    """The operations that use it; with more than one it is done and charged once."""
    tools: list[str]
    spends: list[str]
    """Part types that it destroys."""
    stage: Stage
    """On the way in (strip), the work itself, or set, filled, checked and tried (finish)."""
    note: str
    reasons: list[ReasonShape]


class OperationLineShape(Answer):
    """An operation, and the way chosen for it."""

    operation: str
    title: str
    way: str
    way_title: str
    minutes_alone: int
    reasons: list[ReasonShape]


class ToolLineShape(Answer):
    """A special tool and how it is had; amount is nil, the hire, or the purchase less resale."""

    tool: str
    title: str
    how: Literal["owned", "hired", "bought"]
    amount: MoneyShape
    purchase: MoneyShape | None
    resale: MoneyShape | None
    lead_days: int | None
    steps: list[str]


class SentOutLineShape(Answer):
    """A step done by another workshop."""

    step: str
    title: str
    amount: MoneyShape
    lead_days: int


class ConsumableLineShape(Answer):
    """Charged by the use."""

    consumable: str
    title: str
    uses: int
    amount: MoneyShape
    steps: list[str]


class DepositLineShape(Answer):
    """Refundable when the old unit comes back."""

    part: PartKeyShape
    title: str
    units: int
    amount: MoneyShape


class TaxLineShape(Answer):
    """One tax class of the document."""

    tax_class: str
    label: str
    rate_percent: str
    taxed: MoneyShape
    tax: MoneyShape


class TotalsShape(Answer):
    """The money. `total_with_deposits` is what is paid on the day; deposits come back."""

    parts: MoneyShape
    kits: MoneyShape
    consumables: MoneyShape
    labour: MoneyShape
    labour_minutes: int
    labour_rate_per_hour: MoneyShape
    labour_basis: str
    tools: MoneyShape
    sent_out: MoneyShape
    before_tax: MoneyShape
    taxes: list[TaxLineShape]
    tax: MoneyShape
    tax_rounding: str
    total: MoneyShape
    deposits: MoneyShape
    total_with_deposits: MoneyShape
    saved_minutes_by_overlap: int
    saved_by_overlap: MoneyShape
    saved_by_kits: MoneyShape


class LeadTimeShape(Answer):
    """When everything can be in hand; null when some line's lead time is not known."""

    in_hand_on: date | None
    days: int | None
    decided_by: list[str]
    unknown: list[str]


class AddOnShape(Answer):
    """A part worth renewing because the job has it apart. Money includes tax."""

    part_type: str
    label: str
    rule: str
    sentence: str
    basis: str
    part: PartKeyShape | None
    title: str
    price_now: MoneyShape
    minutes_now: int
    price_later: MoneyShape
    """Of it alone, on the machine as this build leaves it."""
    minutes_later: int
    worth: MoneyShape
    """Later less now."""
    run_km: int | None
    life_km: int | None
    layer: str
    taken: bool
    within_budget: bool | None


class BudgetAnswerShape(Answer):
    """The set of add-ons worth most within the budget."""

    budget: MoneyShape
    reached: bool
    add_ons: list[str]
    total: MoneyShape
    worth: MoneyShape
    proven: bool
    """No better set exists."""


class CautionLineShape(Answer):
    """A note on safety, emission or licence."""

    rule: str
    kind: str
    sentence: str
    basis: str
    because: list[str]


class MarginLineShape(Answer):
    """A limit that holds, and by how much."""

    rule: str
    sentence: str
    basis: str
    margin: float | None
    unit: str | None
    numbers: str


class FigureLineShape(Answer):
    """Engine arithmetic; null where it cannot be worked out from what is known."""

    figure: str
    label: str
    unit: str | None
    as_found: str | None
    after: str | None


class AskedFactShape(Answer):
    """A fact worth asking, and only because the answer depends on it."""

    fact: str
    question: str
    unit: str | None
    choices: list[JsonValue]


class CaseLineShape(Answer):
    """A line that is in every answer, or in some, while facts are missing."""

    kind: CaseKind
    """`place`: renewed, with one part or another; `impossible`: no build list at all."""
    ref: str
    """The part type of a part or place, the id of anything else."""
    part: PartKeyShape | None
    """The number of a part or kit."""
    title: str


class OneAnswerShape(Answer):
    """What is left once this is the answer."""

    says: str
    total_from: MoneyShape | None
    """Null: not bounded."""
    total_to: MoneyShape | None
    impossible: bool
    """Nothing can then be done as asked."""


class NextQuestionShape(Answer):
    """The fact to ask first: its worst answer leaves the least open."""

    fact: str
    question: str
    answers: list[OneAnswerShape]
    """Empty where the answers cannot be listed."""


class ConflictElementShape(Answer):
    """One request, fitted part, rule or catalog statement of a conflict."""

    kind: str
    ref: str
    """Id of the job, rule, step or operation, the part type, or the number as it was asked for."""
    sentence: str
    detail: str
    """What it comes to here, the numbers of a limit among it; may be empty."""
    basis: str


class ConflictShape(Answer):
    """A minimal set: these cannot hold together; leave any one out and the rest can."""

    elements: list[ConflictElementShape]


class ChangeShape(Answer):
    """One thing let go of."""

    kind: ChangeKind
    ref: str
    """Job or tool id, part type, or number as it was asked for."""
    sentence: str


class RenewedPartShape(Answer):
    """A place that the mended build renews."""

    part_type: str
    label: str
    part: PartKeyShape
    title: str


class PatchOperationShape(Answer):
    """An operation of a JSON Patch (RFC 6902) on the request of POST /v1/build-lists."""

    op: Literal["add"]
    path: str
    value: list[PartKeyShape | str]
    """Ids, or brand and number of parts."""


class RepairShape(Answer):
    """A smallest change of the request that mends it, with what the changed build comes to."""

    changes: list[ChangeShape]
    renews: list[RenewedPartShape]
    total: MoneyShape
    """Tax included."""
    labour_minutes: int
    asks: list[AskedFactShape]
    """What the changed request would ask first; the total holds whatever the answers are."""
    patch: list[PatchOperationShape]
    """Applied to the request it gives one that is valid at exactly this total."""
    sentence: str


class SupersededShape(Answer):
    """An old number that was asked for, and what it is sold as now."""

    asked: PartKeyShape
    chain: list[PartKeyShape]
    current: list[PartKeyShape]
    sentence: str


class MachineFactsShape(Answer):
    """The machine as it was understood."""

    vehicle_id: str | None
    label: str
    facts: dict[str, JsonValue]
    told: list[str]
    """The facts that the request states, in words: Odometer 62000 km."""

    @field_validator("facts", mode="before")
    @classmethod
    def _by_name(cls, facts: Any) -> Any:
        """The engine keeps pairs in order; JSON has them as the members of an object."""
        return dict(facts)


class ProofShape(Answer):
    """How the optimum was closed."""

    optimal: bool
    method: Literal["reductions", "search", "highs", "none"]
    choices_open: int
    nodes: int


class BuildListShape(Answer):
    """The answer: a validated build list, or which facts decide it, or why nothing can hold.

    With status `conflict` the lines are empty and the totals null. With `needs_facts` the
    lines are those of the plan that is valid whatever the missing facts turn out to be,
    where there is one.
    """

    status: Status
    edition: str
    """The catalog edition it was worked out from; a published edition never changes."""
    catalog: str
    made_on: date
    aim: Aim
    machine: MachineFactsShape
    wish: list[str]
    """What was asked for, in sentences."""
    parts: list[PartLineShape]
    kits: list[KitLineShape]
    operations: list[OperationLineShape]
    steps: list[StepLineShape]
    tools: list[ToolLineShape]
    sent_out: list[SentOutLineShape]
    consumables: list[ConsumableLineShape]
    deposits: list[DepositLineShape]
    totals: TotalsShape | None
    lead_time: LeadTimeShape | None
    add_ons: list[AddOnShape]
    budget: BudgetAnswerShape | None
    cautions: list[CautionLineShape]
    margins: list[MarginLineShape]
    figures: list[FigureLineShape]
    superseded: list[SupersededShape]
    asks: list[AskedFactShape]
    always: list[CaseLineShape]
    """While facts are missing: lines that are in the answer whatever they turn out to be."""
    depends: list[CaseLineShape]
    """Lines that are in the answer in some cases only."""
    total_from: MoneyShape | None
    """The least total there can be; null: settled, or not bounded."""
    total_to: MoneyShape | None
    next_question: NextQuestionShape | None
    """The one of `asks` that narrows most."""
    conflicts: list[ConflictShape]
    repairs: list[RepairShape]
    notes: list[str]
    proof: ProofShape | None
