"""An invented machine that expressions are tried on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rules.catalog import FieldDefinition, ValueKind
from rules.expressions import Allow, Expression, Scope, compile_expression
from rules.faults import Faulty
from rules.values import Failure, Outcome, Unknown


def declared(
    name: str, kind: ValueKind, unit: str | None = None, values: tuple[str, ...] = ()
) -> FieldDefinition:
    """A fact or property, labelled by its name."""
    return FieldDefinition(name=name, kind=kind, label=name, unit=unit, values=values)


def by_name(*definitions: FieldDefinition) -> dict[str, FieldDefinition]:
    return {definition.name: definition for definition in definitions}


SCOPE = Scope(
    facts=by_name(
        declared("cooling", "text", values=("air", "liquid")),
        declared("family", "text"),
        declared("market", "text"),
        declared("abs", "flag"),
        declared("sidecar", "flag"),
        declared("model_year", "whole"),
        declared("cylinders", "whole"),
        declared("odometer_km", "whole", "km"),
        declared("displacement_cc", "number", "cc"),
        declared("bore_mm", "number", "mm"),
        declared("stroke_mm", "number", "mm"),
        declared("fork_travel_in", "number", "in"),
        declared("ratio", "number"),
    ),
    part_types={
        "camshaft": by_name(
            declared("valve_lift_mm", "number", "mm"),
            declared("duration_deg", "number", "deg"),
            declared("grind", "text"),
        ),
        "valve_spring": by_name(
            declared("max_lift_mm", "number", "mm"),
            declared("rate_n_per_mm", "number", "n_per_mm"),
            declared("seat_load_n", "number", "n"),
        ),
        "oil_pump": by_name(declared("flow_l_s", "number", "l_s")),
    },
    steps=frozenset({"cam_cover_off", "primary_cover_off"}),
)


@dataclass(frozen=True)
class Bike:
    """Answers reads from one mapping, keyed as expressions spell the names.

    What is not in the mapping is unknown, except that a part type in ``empty`` fails.
    """

    answers: Mapping[str, Outcome] = field(default_factory=dict)
    empty: frozenset[str] = frozenset()

    def _answer(self, spelled: str) -> Outcome:
        return self.answers.get(spelled, Unknown(frozenset({spelled})))

    def fact(self, name: str) -> Outcome:
        return self._answer(f"vehicle.{name}")

    def target(self, part_type: str, name: str) -> Outcome:
        if part_type in self.empty:
            return Failure(f"no {part_type} on the machine", absent=part_type)
        return self._answer(f"{part_type}.{name}")

    def fitted(self, part_type: str, name: str) -> Outcome:
        return self._answer(f"fitted.{part_type}.{name}")

    def renewed(self, part_type: str) -> Outcome:
        return self._answer(f"renewed('{part_type}')")

    def doing(self, step: str) -> Outcome:
        return self._answer(f"doing('{step}')")

    def present(self, part_type: str) -> Outcome:
        return self._answer(f"present('{part_type}')")

    def run_km(self, part_type: str) -> Outcome:
        return self._answer(f"run_km('{part_type}')")


def compiled(
    text: str, kind: ValueKind | None = None, allow: Allow = Allow.ALL, tolerance: float = 0.0
) -> Expression:
    return compile_expression(
        text, SCOPE, kind=kind, where="rules/a.yaml:b:limit", allow=allow, tolerance=tolerance
    )


def value(text: str, answers: Mapping[str, Outcome] | None = None) -> Outcome:
    """The outcome on a bike that answers so."""
    return compiled(text).evaluate(Bike(answers or {}))


def faults(text: str, kind: ValueKind | None = None, allow: Allow = Allow.ALL) -> list[str]:
    """``problem. mend`` of every fault, in order; empty when the expression is accepted."""
    try:
        compiled(text, kind, allow)
    except Faulty as faulty:
        return [f"{fault.problem}. {fault.mend}" for fault in faulty.faults]
    return []
