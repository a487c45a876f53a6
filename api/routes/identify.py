"""``POST /v1/vehicles/identify``: from what is known to the configurations that are left."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Body

from api.problems import responses
from api.service import Current, Served
from api.shapes.catalog import VehicleShape
from api.shapes.identify import (
    AnswerLeft,
    DifferingFact,
    IdentifyAnswer,
    IdentifyRequest,
    VinShape,
)
from api.strict_route import AsJson, StrictRoute
from rules.faults import Fault, Faulty
from rules.vehicle_search import (
    Difference,
    Known,
    agreed,
    checked_facts,
    contradictions,
    differences,
    matching,
)
from rules.vin import VinReading, check_vin

router = APIRouter(route_class=StrictRoute, tags=["Catalog"], dependencies=[AsJson])


@router.post(
    "/v1/vehicles/identify",
    operation_id="identifyVehicle",
    summary="Which configurations a machine can be",
    response_model=IdentifyAnswer,
    responses=responses(
        "malformed-json",
        "not-acceptable",
        "body-too-large",
        "unsupported-media-type",
        "invalid-request",
        "refused-by-catalog",
        "no-catalog",
    ),
)
def identify(
    asked: Annotated[IdentifyRequest, Body()], edition: Current, service: Served
) -> IdentifyAnswer:
    """The configurations that nothing known contradicts, what they have in common, and the
    questions that tell them apart, best first. A number gives the model year at most, and that
    only as one of several 30 years apart: what else its positions mean is the maker's own."""
    vin = _read_vin(asked, service.clock())
    facts, faults = checked_facts(edition.compiled, asked.facts)
    if isinstance(vin, tuple) or faults:
        raise Faulty([*(vin if isinstance(vin, tuple) else ()), *faults])
    words = tuple((asked.words or "").split())
    known = Known(facts, vin.model_years if vin else None, words)
    if wrong := contradictions(edition.compiled, known):
        raise Faulty(wrong)
    left = matching(edition.compiled, known)
    open_facts = [_shape(found) for found in differences(left, known, edition.catalog.facts)]
    return IdentifyAnswer(
        edition=edition.edition,
        vin=_vin_shape(vin) if vin else None,
        vehicles=[VehicleShape.of(vehicle) for vehicle in left],
        agreed=agreed(left, known),
        differs=open_facts,
        next_question=open_facts[0] if open_facts else None,
    )


def _read_vin(asked: IdentifyRequest, today: date) -> VinReading | tuple[Fault, ...] | None:
    if asked.vin is None:
        return None
    # Model years are sold from the year before on.
    return check_vin(asked.vin, last_model_year=today.year + 1, standard=asked.vin_standard)


def _vin_shape(vin: VinReading) -> VinShape:
    checked = vin.standard == "49 CFR 565"
    return VinShape(
        vin=vin.vin,
        standard=vin.standard,
        manufacturer=vin.manufacturer,
        descriptor=vin.descriptor,
        plant=vin.plant,
        serial=vin.serial,
        check_digit_agrees=vin.check_digit_agrees if checked else None,
        model_years=None if vin.model_years is None else sorted(vin.model_years),
    )


def _shape(difference: Difference) -> DifferingFact:
    return DifferingFact(
        fact=difference.fact.name,
        label=difference.fact.label,
        question=difference.fact.question,
        unit=difference.fact.unit,
        values=list(difference.values),
        answers=[AnswerLeft(value=a.value, left=a.left) for a in difference.answers],
        expected_left=round(float(difference.expected_left), 2),
    )
