"""Why nothing is valid: a minimal set of requests, statements and rules that clash."""

from __future__ import annotations

from rules.answer import Conflict, ConflictElement
from rules.catalog import Part
from rules.fitment import verdict
from rules.model.checks import Origin
from rules.model.plan_model import PlanModel
from rules.optimum.solve import Impossible, minimal_clash


def minimal_conflict(model: PlanModel, impossible: Impossible) -> Conflict:
    """One minimal conflict of a model that has no valid target."""
    origins = minimal_clash(model.clauses, impossible.core, model.taken)
    order = {kind: rank for rank, kind in enumerate(_ORDER)}
    listed = sorted(origins, key=lambda o: (order.get(str(o[0]), 99), o[1]))  # type: ignore[index]
    return Conflict(elements=tuple(element(model, origin) for origin in listed))  # type: ignore[arg-type]


_ORDER = (
    "job",
    "wanted",
    "add_on",
    "refused",
    "keep",
    "rule",
    "step",
    "operation",
    "tool",
    "not_offered",
    "no_candidate",
)


def element(model: PlanModel, origin: Origin) -> ConflictElement:
    """What a clause follows from, as a sentence with its basis."""
    kind, ref = origin
    sentence, basis = _SAYS[kind](model, ref)
    public = {"not_offered": "fitment", "operation": "step"}.get(kind, kind)
    return ConflictElement(kind=public, ref=ref, sentence=sentence, basis=basis)


def _job(model: PlanModel, ref: str) -> tuple[str, str]:
    job = model.compiled.jobs[ref]
    if model.compiled.job_when[ref] is not None and not _offered(model, ref):
        return f"{job.title} is not offered on this machine.", f"job {ref}: {job.when}"
    return f"{job.title} is asked for.", "the request"


def _offered(model: PlanModel, job: str) -> bool:
    when = model.compiled.job_when[job]
    return when is None or when.evaluate(model.reach.as_found) is True


def _wanted(_model: PlanModel, ref: str) -> tuple[str, str]:
    return f"{ref} is asked for.", "the request"


def _refused(_model: PlanModel, ref: str) -> tuple[str, str]:
    return f"{ref} is refused.", "the request"


def _keep(model: PlanModel, ref: str) -> tuple[str, str]:
    fitted = model.machine.fitted.get(ref)
    what = f" ({fitted.key})" if fitted and fitted.key else ""
    return f"The {_label(model, ref)}{what} is to stay.", "the request"


def _add_on(model: PlanModel, ref: str) -> tuple[str, str]:
    return f"The {_label(model, ref)} is to be renewed as an add-on.", "the request"


def _rule(model: PlanModel, ref: str) -> tuple[str, str]:
    rule = model.compiled.rules[ref].rule
    return rule.sentence, rule.basis


def _step(model: PlanModel, ref: str) -> tuple[str, str]:
    step = model.compiled.steps[ref]
    spent = [_label(model, p) for p in step.spends if model.reach.has_fitted(p)]
    if spent:
        return f"{step.title}: the {', the '.join(spent)} must be renewed.", f"step {ref}"
    return f"{step.title} needs its access steps and tools.", f"step {ref}"


def _operation(model: PlanModel, ref: str) -> tuple[str, str]:
    operation = model.compiled.operations[ref]
    return f"{operation.title} needs one of its ways.", f"operation {ref}"


def _tool(model: PlanModel, ref: str) -> tuple[str, str]:
    tool = model.compiled.tools[ref]
    return f"{tool.title} is neither owned nor to be hired or bought.", "tools.csv"


def _no_candidate(model: PlanModel, ref: str) -> tuple[str, str]:
    label = _label(model, ref)
    if model.reach.candidates.get(ref):
        return f"One of the listed {label} parts must be chosen to renew it.", "the catalog"
    return f"The catalog has no {label} that fits this machine.", "fitment.csv"


def _not_offered(model: PlanModel, ref: str) -> tuple[str, str]:
    compiled = model.compiled
    part = next((p for key, p in compiled.parts.items() if str(key) == ref), None)
    if part is None:
        return f"{ref} is no longer sold.", "the catalog"
    return _why_not_offered(model, part), "fitment.csv"


def _why_not_offered(model: PlanModel, part: Part) -> str:
    compiled = model.compiled
    if part.status != "current":
        return f"{part.key} is no longer sold."
    if part.key in compiled.replaced_by:
        return f"{part.key} is superseded."
    found = verdict(compiled.fitment.get(part.key, ()), model.machine.facts, compiled.fact_labels)
    return f"{part.key} does not fit this machine: {'; '.join(found.reasons)}."


def _label(model: PlanModel, part_type: str) -> str:
    label = model.compiled.part_types[part_type].label
    return label[:1].lower() + label[1:]


_SAYS = {
    "job": _job,
    "wanted": _wanted,
    "refused": _refused,
    "keep": _keep,
    "add_on": _add_on,
    "rule": _rule,
    "step": _step,
    "operation": _operation,
    "tool": _tool,
    "no_candidate": _no_candidate,
    "not_offered": _not_offered,
}
