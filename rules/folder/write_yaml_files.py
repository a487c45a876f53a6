"""The YAML files of the canonical form."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from rules.catalog import (
    Case,
    Catalog,
    Caution,
    Exclusion,
    FieldDefinition,
    Figure,
    Job,
    Limit,
    Operation,
    PartType,
    PricePolicy,
    Recommendation,
    Requirement,
    Rule,
    SendOut,
    Step,
    TaxClass,
    Way,
)
from rules.folder.canonical import RULE_SECTIONS
from rules.folder.cells import LARGEST_WHOLE
from rules.folder.read_settings import PERCENT_DECIMALS
from rules.folder.yaml_text import write_yaml
from rules.money import decimal_text

Fields = dict[str, object]
Sections = dict[str, list[Fields]]

_ABSENT: Final[tuple[object, ...]] = (None, "", (), {})


def write_yaml_files(catalog: Catalog) -> dict[str, str]:
    """Path to text for ``catalog.yaml`` and everything under work, rules and cases."""
    files: dict[str, Mapping[str, object]] = {"catalog.yaml": _settings(catalog)}
    work: dict[str, Sections] = {}
    for step in catalog.steps:
        _put(work, "work", step.file, "steps", _step(step, catalog.currency_exponent))
    for operation in catalog.operations:
        _put(work, "work", operation.file, "operations", _operation(operation))
    for job in catalog.jobs:
        _put(work, "work", job.file, "jobs", _job(job))
    for rule in catalog.rules:
        _put(work, "rules", rule.file, _section(rule), _rule(rule))
    for case in catalog.cases:
        _put(work, "cases", case.file, "cases", _case(case))
    files.update(work)
    return {path: write_yaml(content) for path, content in files.items()}


def _put(files: dict[str, Sections], folder: str, file: str, section: str, fields: Fields) -> None:
    sections = files.setdefault(f"{folder}/{file}.yaml", {})
    sections.setdefault(section, []).append(fields)


def _given(fields: Mapping[str, object], **defaults: object) -> Fields:
    """The fields that are there and not their default; sequences as lists."""
    return {
        name: list(value) if isinstance(value, tuple) else value
        for name, value in fields.items()
        if value not in _ABSENT and not (name in defaults and value == defaults[name])
    }


def _settings(catalog: Catalog) -> Fields:
    exponent = catalog.currency_exponent
    return {
        "name": catalog.name,
        "shop": catalog.shop,
        "currency": catalog.currency,
        "currency_exponent": exponent,
        "policy": _policy(catalog.policy, exponent),
        **_given(
            {
                "tax_classes": _all(map(_tax_class, catalog.tax_classes)),
                "facts": _all(map(_definition, catalog.facts)),
                "layers": _all(
                    {"id": one.id, "label": one.label, "depth": one.depth} for one in catalog.layers
                ),
                "part_types": _all(map(_part_type, catalog.part_types)),
                "consumables": _all(
                    {"id": one.id, "title": one.title, "price": decimal_text(one.price, exponent)}
                    for one in catalog.consumables
                ),
                "figures": _all(map(_figure, catalog.figures)),
            }
        ),
    }


def _all(records: Iterable[Fields]) -> tuple[Fields, ...]:
    return tuple(records)


def _policy(policy: PricePolicy, exponent: int) -> Fields:
    return {
        "labour_rate_per_hour": decimal_text(policy.labour_rate_per_hour, exponent),
        "labour_basis": policy.labour_basis,
        "time_table": policy.time_table,
        "tax_basis": policy.tax_basis,
        "prices_from": policy.prices_from,
        "tax_of": policy.tax_of,
    }


def _tax_class(tax_class: TaxClass) -> Fields:
    return {
        "id": tax_class.id,
        "label": tax_class.label,
        "rate_percent": decimal_text(tax_class.basis_points, PERCENT_DECIMALS),
    }


def _definition(definition: FieldDefinition) -> Fields:
    return _given(
        {
            "name": definition.name,
            "kind": definition.kind,
            "label": definition.label,
            "unit": definition.unit,
            "values": definition.values,
            "minimum": _bound(definition.minimum),
            "maximum": _bound(definition.maximum),
            "question": definition.question,
        }
    )


def _bound(bound: float | None) -> float | int | None:
    """50.0 is written 50; a large one keeps its exponent."""
    if bound is not None and float(bound).is_integer() and abs(bound) <= LARGEST_WHOLE:
        return int(bound)
    return bound


def _part_type(part_type: PartType) -> Fields:
    return _given(
        {
            "id": part_type.id,
            "label": part_type.label,
            "layer": part_type.layer,
            "quantity": part_type.quantity,
            "counted_in": part_type.counted_in,
            "properties": _all(map(_definition, part_type.properties)),
        },
        quantity=1,
        counted_in="piece",
    )


def _figure(figure: Figure) -> Fields:
    return _given(
        {
            "id": figure.id,
            "label": figure.label,
            "value": figure.value,
            "unit": figure.unit,
            "digits": figure.digits,
            "when": figure.when,
        },
        digits=1,
    )


def _step(step: Step, exponent: int) -> Fields:
    return _given(
        {
            "id": step.id,
            "title": step.title,
            "layer": step.layer,
            "minutes": step.minutes,
            "needs": step.needs,
            "spends": step.spends,
            "tools": step.tools,
            "consumables": step.consumables,
            "send_out": _send_out(step.send_out, exponent) if step.send_out else None,
            "when": step.when,
            "note": step.note,
            "stage": step.stage,
            "after": step.after,
        },
        stage="work",
    )


def _send_out(send_out: SendOut, exponent: int) -> Fields:
    return _given(
        {
            "title": send_out.title,
            "price": decimal_text(send_out.price, exponent),
            "lead_days": send_out.lead_days,
            "minutes": send_out.minutes,
        },
        minutes=0,
    )


def _operation(operation: Operation) -> Fields:
    return _given(
        {
            "id": operation.id,
            "title": operation.title,
            "ways": _all(map(_way, operation.ways)),
            "renews": operation.renews,
            "note": operation.note,
        }
    )


def _way(way: Way) -> Fields:
    return _given(
        {
            "id": way.id,
            "title": way.title,
            "steps": way.steps,
            "when": way.when,
            "note": way.note,
        }
    )


def _job(job: Job) -> Fields:
    return _given(
        {
            "id": job.id,
            "title": job.title,
            "wish": job.wish,
            "renew": job.renew,
            "where": job.where,
            "operations": job.operations,
            "when": job.when,
        }
    )


def _section(rule: Rule) -> str:
    return next(section for section, kind in RULE_SECTIONS.items() if type(rule) is kind)


def _rule(rule: Rule) -> Fields:
    common: Fields = {"id": rule.id, "sentence": rule.sentence, "basis": rule.basis}
    return _given({**common, "when": rule.when, **_rule_fields(rule)})


def _rule_fields(rule: Rule) -> Fields:
    if isinstance(rule, Limit):
        return {"limit": rule.limit, "unit": rule.unit}
    if isinstance(rule, Requirement):
        return {
            "renew": rule.renew,
            "quantity": rule.quantity,
            "part_type": rule.part_type,
            "where": rule.where,
            "do": rule.do,
        }
    if isinstance(rule, Exclusion):
        return {"not_together": rule.not_together}
    if isinstance(rule, Recommendation):
        return {"renew": rule.renew, "life_km": rule.life_km}
    if isinstance(rule, Caution):
        return {"kind": rule.kind, "steps": rule.steps, "parts": rule.parts}
    raise TypeError(f"{rule!r} is no rule")


def _case(case: Case) -> Fields:
    return {"id": case.id, "says": case.says, "request": case.request, "expect": case.expect}
