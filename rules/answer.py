"""The answer: a validated build list, every line with its reason. Data only, no text layout."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rules.catalog import Condition, EmissionClass, PartKey, Stage
from rules.money import Money
from rules.request import Aim
from rules.values import Value

Status = Literal["valid", "needs_facts", "conflict"]

ReasonKind = Literal[
    "job",
    "wanted",
    "add_on",
    "budget",
    "spent",
    "requirement",
    "limit",
    "access",
    "way",
    "operation",
    "supersession",
    "choice",
    "kit",
]


CaseKind = Literal["impossible", "place", "part", "kit", "step", "sent_out", "tool", "consumable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a line is there. ``ref`` is the id of the job, rule, step, part … that asks for it."""

    kind: ReasonKind
    ref: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One place renewed. ``quantity`` in ``counted_in``; ``packs`` bought of ``pack_quantity``
    each (0 when ``from_kit`` supplies it). ``asked_as``: the old number that was asked for."""

    part_type: str
    label: str
    part: PartKey
    title: str
    instead_of: PartKey | None
    asked_as: PartKey | None
    quantity: int
    counted_in: str
    pack_quantity: int
    packs: int
    left_over: int
    pack_price: Money
    amount: Money
    from_kit: PartKey | None
    condition: Condition
    emission_class: EmissionClass
    supplier: str
    in_stock: bool | None
    lead_days: int | None
    life_km: int | None
    note: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """What a kit holds beyond what the job needs; ``quantity`` in ``counted_in``."""

    part: PartKey
    title: str
    quantity: int
    counted_in: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLine:
    """A kit bought: what it supplies, what is left over, what doing without it costs more."""

    kit: PartKey
    title: str
    amount: Money
    supplies: tuple[str, ...]
    left_over: tuple[LeftOver, ...]
    saved: Money
    supplier: str
    in_stock: bool | None
    lead_days: int | None
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """A step in working order. ``shared_by``: operations that use it (more than one: overlap).

    ``stage``: on the way in, the work itself, or what is set, filled, checked and tried last.
    """

    step: str
    title: str
    layer: str
    minutes: int
    amount: Money
    sent_out: bool
    shared_by: tuple[str, ...]
    tools: tuple[str, ...]
    spends: tuple[str, ...]
    stage: Stage
    note: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationLine:
    """An operation and the way chosen for it; ``minutes_alone`` is what it takes on its own."""

    operation: str
    title: str
    way: str
    way_title: str
    minutes_alone: int
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLine:
    """``amount`` is nil when owned, the hire, or the purchase less resale."""

    tool: str
    title: str
    how: Literal["owned", "hired", "bought"]
    amount: Money
    purchase: Money | None
    resale: Money | None
    lead_days: int | None
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SentOutLine:
    step: str
    title: str
    amount: Money
    lead_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumableLine:
    consumable: str
    title: str
    uses: int
    amount: Money
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DepositLine:
    """Refundable when the old unit comes back."""

    part: PartKey
    title: str
    units: int
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxLine:
    tax_class: str
    label: str
    rate_percent: str
    taxed: Money
    tax: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """``total`` = goods and labour + tax. ``total_with_deposits`` is what is paid on the day;
    deposits come back. ``saved_*``: what overlap (minutes and money) and kits saved."""

    parts: Money
    kits: Money
    consumables: Money
    labour: Money
    labour_minutes: int
    labour_rate_per_hour: Money
    labour_basis: str
    tools: Money
    sent_out: Money
    before_tax: Money
    taxes: tuple[TaxLine, ...]
    tax: Money
    tax_rounding: str
    total: Money
    deposits: Money
    total_with_deposits: Money
    saved_minutes_by_overlap: int
    saved_by_overlap: Money
    saved_by_kits: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadTime:
    """``in_hand_on`` None: some line's lead time is not known (``unknown`` names the lines)."""

    in_hand_on: date | None
    days: int | None
    decided_by: tuple[str, ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AddOn:
    """A part worth renewing because the job has it apart.

    now = cost(plan + it) - cost(plan); later = cost of it alone on the machine as this
    build leaves it. Money includes tax. ``worth`` = later - now.
    """

    part_type: str
    label: str
    rule: str
    sentence: str
    basis: str
    part: PartKey | None
    title: str
    price_now: Money
    minutes_now: int
    price_later: Money
    minutes_later: int
    worth: Money
    run_km: int | None
    life_km: int | None
    layer: str
    taken: bool
    within_budget: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetAnswer:
    """The set of add-ons worth most within the budget; ``proven`` when no better set exists."""

    budget: Money
    reached: bool
    add_ons: tuple[str, ...]
    total: Money
    worth: Money
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionLine:
    rule: str
    kind: str
    sentence: str
    basis: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginLine:
    """A limit that holds and by how much, in the rule's unit. None: it has no margin."""

    rule: str
    sentence: str
    basis: str
    margin: float | None
    unit: str | None
    numbers: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureLine:
    """None: cannot be worked out from what is known."""

    figure: str
    label: str
    unit: str | None
    as_found: str | None
    after: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFact:
    """A fact worth asking, and only because the answer depends on it."""

    fact: str
    question: str
    unit: str | None
    choices: tuple[Value, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLine:
    """A line of the build list that is in every answer, or in some, while facts are missing.

    ``ref``: the part type of a part or place, the id of anything else. ``part``: the number of
    a part or kit. A place is certain where its part is not. ``impossible``: no plan at all.
    """

    kind: CaseKind
    ref: str
    part: PartKey | None
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OneAnswer:
    """What is left once this is the answer: between which totals (None: not bounded), or that
    nothing is possible."""

    says: str
    total_from: Money | None
    total_to: Money | None
    impossible: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NextQuestion:
    """The fact of ``asks`` whose worst answer leaves the least open. ``answers`` is empty where
    they cannot be listed."""

    fact: str
    question: str
    answers: tuple[OneAnswer, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictElement:
    """``kind``: job, wanted, refused, keep, add_on, rule, step, tool, fitment, no_candidate.

    ``ref``: the id of the job, rule, step or operation, the part type, or the number as it was
    asked for. ``detail``: what it comes to here, the numbers of a limit among it; may be empty.
    """

    kind: str
    ref: str
    sentence: str
    detail: str = ""
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """A minimal set: these cannot hold together; leave any one out and the rest can."""

    elements: tuple[ConflictElement, ...]


ChangeKind = Literal["job", "wanted", "refused", "keep", "add_on", "tool"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing let go of. ``ref``: job or tool id, part type, or number as it was asked for."""

    kind: ChangeKind
    ref: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RenewedPart:
    part_type: str
    label: str
    part: PartKey
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchOperation:
    """An operation of a JSON Patch (RFC 6902) on the request: ``add`` on a member sets it whole,
    whether it was there or not. ``value``: ids, or brand and number of parts."""

    op: Literal["add"]
    path: str
    value: tuple[PartKey | str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """A smallest change of the request that mends it, with the plan that it leads to.

    ``patch`` applied to the request gives one whose answer is valid, renews ``renews`` and
    comes to ``total`` (tax included) and ``labour_minutes``. Where ``asks`` names facts, its
    answer asks for them first; the plan holds, at this total, whatever they turn out to be.
    """

    changes: tuple[Change, ...]
    renews: tuple[RenewedPart, ...]
    total: Money
    labour_minutes: int
    asks: tuple[AskedFact, ...] = ()
    patch: tuple[PatchOperation, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Superseded:
    """An old number that was asked for, and what it is sold as now (one or more)."""

    asked: PartKey
    chain: tuple[PartKey, ...]
    current: tuple[PartKey, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineFacts:
    """``facts``: all that are known. ``told``: those that the request states, in words."""

    vehicle_id: str | None
    label: str
    facts: tuple[tuple[str, Value], ...]
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """How the optimum was closed: by reductions alone, by our search, or by HiGHS."""

    optimal: bool
    method: Literal["reductions", "search", "highs", "none"]
    choices_open: int
    nodes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildList:
    """The answer. With status ``conflict`` the lists of lines are empty and totals are None;
    ``conflicts`` are the smallest minimal ones, ``repairs`` what mends it, cheapest first.

    ``wish`` says what was asked for, with every status.

    With ``needs_facts`` the lines are the cheapest plan that is valid whatever the
    missing facts turn out to be, when there is one; ``asks`` says what to find out. Once that
    is known, every line of ``always`` is in the answer, lines of ``depends`` may be, and the
    total lies from ``total_from`` to ``total_to`` (None: not bounded).
    """

    status: Status
    edition: str
    catalog: str
    made_on: date
    aim: Aim
    machine: MachineFacts
    wish: tuple[str, ...] = ()
    parts: tuple[PartLine, ...] = ()
    kits: tuple[KitLine, ...] = ()
    operations: tuple[OperationLine, ...] = ()
    steps: tuple[StepLine, ...] = ()
    tools: tuple[ToolLine, ...] = ()
    sent_out: tuple[SentOutLine, ...] = ()
    consumables: tuple[ConsumableLine, ...] = ()
    deposits: tuple[DepositLine, ...] = ()
    totals: Totals | None = None
    lead_time: LeadTime | None = None
    add_ons: tuple[AddOn, ...] = ()
    budget: BudgetAnswer | None = None
    cautions: tuple[CautionLine, ...] = ()
    margins: tuple[MarginLine, ...] = ()
    figures: tuple[FigureLine, ...] = ()
    superseded: tuple[Superseded, ...] = ()
    asks: tuple[AskedFact, ...] = ()
    always: tuple[CaseLine, ...] = ()
    depends: tuple[CaseLine, ...] = ()
    total_from: Money | None = None
    total_to: Money | None = None
    next_question: NextQuestion | None = None
    conflicts: tuple[Conflict, ...] = ()
    repairs: tuple[Repair, ...] = ()
    notes: tuple[str, ...] = ()
    proof: Proof | None = None
