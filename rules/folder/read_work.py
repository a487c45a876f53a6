"""``work/*.yaml``, ``rules/*.yaml`` and ``cases/*.yaml``: labour, rules and examples."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal, TypeVar

from rules.catalog import (
    Case,
    Caution,
    Exclusion,
    Job,
    Limit,
    Operation,
    Recommendation,
    Requirement,
    Rule,
    SendOut,
    Stage,
    Step,
    Way,
)
from rules.folder.fields import (
    amount_field,
    choice_field,
    line_field,
    mapping_field,
    plain_mapping,
    text_field,
    texts_field,
    whole_field,
    whole_or_expression,
)
from rules.folder.records import Record

T = TypeVar("T")

CautionKind = Literal[
    "lifting",
    "hot_parts",
    "fuel",
    "stored_energy",
    "brakes",
    "electrical",
    "emission",
    "noise",
    "waste",
    "licence",
    "service_manual",
]
CAUTION_KINDS: Final[Mapping[str, CautionKind]] = {
    "lifting": "lifting",
    "hot_parts": "hot_parts",
    "fuel": "fuel",
    "stored_energy": "stored_energy",
    "brakes": "brakes",
    "electrical": "electrical",
    "emission": "emission",
    "noise": "noise",
    "waste": "waste",
    "licence": "licence",
    "service_manual": "service_manual",
}

STAGES: Final[Mapping[str, Stage]] = {"strip": "strip", "work": "work", "finish": "finish"}


def _records(
    record: Record, section: str, reader: Callable[[Record, str], T], file: str
) -> tuple[T, ...]:
    """Every record of a section; its place is ``file:id``, without the section."""
    read = []
    for child in record.children(section, under=""):
        read.append(reader(child, file))
        child.close()
    return tuple(read)


def read_work_file(
    record: Record, file: str, decimals: int
) -> tuple[tuple[Step, ...], tuple[Operation, ...], tuple[Job, ...]]:
    """Steps, operations and jobs of one file. ``file``: its name without folder and ending."""

    def read_step(child: Record, file: str) -> Step:
        return _step(child, file, decimals)

    read = (
        _records(record, "steps", read_step, file),
        _records(record, "operations", _operation, file),
        _records(record, "jobs", _job, file),
    )
    record.close()
    return read


def _step(record: Record, file: str, decimals: int) -> Step:
    send_out = record.child("send_out")
    return Step(
        id=record.name("id"),
        title=record.need("title", line_field, ""),
        layer=record.need("layer", line_field, ""),
        minutes=record.need("minutes", whole_or_expression, 0),
        needs=record.read("needs", texts_field, ()),
        spends=record.read("spends", texts_field, ()),
        tools=record.read("tools", texts_field, ()),
        consumables=record.read("consumables", mapping_field(whole_field), {}),
        send_out=_send_out(send_out, decimals) if send_out else None,
        when=record.read("when", text_field, None),
        note=record.read("note", text_field, ""),
        stage=record.read("stage", choice_field(STAGES), "work"),
        after=record.read("after", texts_field, ()),
        file=file,
    )


def _send_out(record: Record, decimals: int) -> SendOut:
    send_out = SendOut(
        title=record.need("title", line_field, ""),
        price=record.need("price", amount_field(decimals), 0),
        lead_days=record.need("lead_days", whole_field, 0),
        minutes=record.read("minutes", whole_field, 0),
    )
    record.close()
    return send_out


def _operation(record: Record, file: str) -> Operation:
    return Operation(
        id=record.name("id"),
        title=record.need("title", line_field, ""),
        ways=tuple(map(_way, record.children("ways"))),
        renews=record.read("renews", texts_field, ()),
        note=record.read("note", text_field, ""),
        file=file,
    )


def _way(record: Record) -> Way:
    way = Way(
        id=record.name("id"),
        title=record.need("title", line_field, ""),
        steps=record.need("steps", texts_field, ()),
        when=record.read("when", text_field, None),
        note=record.read("note", text_field, ""),
    )
    record.close()
    return way


def _job(record: Record, file: str) -> Job:
    return Job(
        id=record.name("id"),
        title=record.need("title", line_field, ""),
        wish=record.need("wish", text_field, ""),
        renew=record.read("renew", texts_field, ()),
        where=record.read("where", mapping_field(text_field), {}),
        operations=record.read("operations", texts_field, ()),
        when=record.read("when", text_field, None),
        file=file,
    )


def read_rules_file(record: Record, file: str) -> tuple[Rule, ...]:
    """The rules of one file, kind by kind."""
    rules: tuple[Rule, ...] = (
        *_records(record, "limits", _limit, file),
        *_records(record, "requirements", _requirement, file),
        *_records(record, "exclusions", _exclusion, file),
        *_records(record, "recommendations", _recommendation, file),
        *_records(record, "cautions", _caution, file),
    )
    record.close()
    return rules


def _limit(record: Record, file: str) -> Limit:
    return Limit(
        id=record.name("id"),
        sentence=record.need("sentence", text_field, ""),
        basis=record.need("basis", text_field, ""),
        when=record.read("when", text_field, None),
        limit=record.need("limit", text_field, ""),
        unit=record.read("unit", line_field, None),
        file=file,
    )


def _requirement(record: Record, file: str) -> Requirement:
    return Requirement(
        id=record.name("id"),
        sentence=record.need("sentence", text_field, ""),
        basis=record.need("basis", text_field, ""),
        when=record.read("when", text_field, None),
        renew=record.read("renew", line_field, None),
        quantity=record.read("quantity", whole_or_expression, None),
        part_type=record.read("part_type", line_field, None),
        where=record.read("where", text_field, None),
        do=record.read("do", line_field, None),
        file=file,
    )


def _exclusion(record: Record, file: str) -> Exclusion:
    return Exclusion(
        id=record.name("id"),
        sentence=record.need("sentence", text_field, ""),
        basis=record.need("basis", text_field, ""),
        when=record.read("when", text_field, None),
        not_together=record.need("not_together", texts_field, ()),
        file=file,
    )


def _recommendation(record: Record, file: str) -> Recommendation:
    return Recommendation(
        id=record.name("id"),
        sentence=record.need("sentence", text_field, ""),
        basis=record.need("basis", text_field, ""),
        when=record.read("when", text_field, None),
        renew=record.need("renew", line_field, ""),
        life_km=record.read("life_km", whole_field, None),
        file=file,
    )


def _caution(record: Record, file: str) -> Caution:
    return Caution(
        id=record.name("id"),
        sentence=record.need("sentence", text_field, ""),
        basis=record.need("basis", text_field, ""),
        when=record.read("when", text_field, None),
        kind=record.need("kind", choice_field(CAUTION_KINDS), "service_manual"),
        steps=record.read("steps", texts_field, ()),
        parts=record.read("parts", texts_field, ()),
        file=file,
    )


def read_cases_file(record: Record, file: str) -> tuple[Case, ...]:
    """The examples of one file; what they ask and expect is kept as written."""
    cases = _records(record, "cases", _case, file)
    record.close()
    return cases


def _case(record: Record, file: str) -> Case:
    return Case(
        id=record.name("id"),
        says=record.need("says", text_field, ""),
        request=record.need("request", plain_mapping, {}),
        expect=record.need("expect", plain_mapping, {}),
        file=file,
    )
