"""The lists of the catalog: vehicles, parts, jobs, tools; and the edition they come from."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Query, Request
from pydantic import Field
from starlette.responses import Response

from api.caching import tagged
from api.paging import ListQuery, paged, words_match
from api.problems import ProblemRaised, responses
from api.service import Current
from api.shapes.catalog import (
    CatalogShape,
    Currency,
    FieldShape,
    JobList,
    JobShape,
    PartList,
    PartShape,
    PartTypeShape,
    ToolList,
    ToolShape,
    VehicleList,
    VehicleShape,
)
from api.shapes.problem import ProblemError
from api.strict_route import AsJson, StrictRoute
from api.typed import typed
from rules.catalog import Catalog, PartStatus, Vehicle
from rules.compiled import CompiledCatalog
from rules.identify import near
from rules.values import Value
from rules.vehicle_search import Known, checked_facts, matching

router = APIRouter(route_class=StrictRoute, tags=["Catalog"], dependencies=[AsJson])

_problems: Final = ("bad-cursor", "not-acceptable", "invalid-request", "no-catalog")


class VehicleQuery(ListQuery):
    """Which configurations to list."""

    fact: list[Annotated[str, Field(max_length=300)]] = Field(
        default_factory=list,
        max_length=50,
        description="`name:value`, repeatable: leave out what contradicts it.",
        examples=[["cooling:liquid"]],
    )


class PartQuery(ListQuery):
    """Which parts to list."""

    part_type: str = Field(default="", max_length=100, description="Only this part type.")
    brand: str = Field(default="", max_length=100, description="Only this brand.")
    status: PartStatus | None = Field(default=None, description="Only parts of this status.")


@router.get(
    "/v1/catalogs/current",
    operation_id="getCurrentCatalog",
    summary="The edition that answers come from now",
    response_model=CatalogShape,
    responses=responses("not-acceptable", "invalid-request", "no-catalog"),
)
def current_catalog(request: Request, edition: Current) -> Response:
    """Its name and digest, how much it holds, and the facts and part types it declares."""
    catalog = edition.catalog
    shape = CatalogShape(
        edition=edition.edition,
        digest=edition.digest,
        name=catalog.name,
        shop=catalog.shop,
        currency=catalog.currency,
        prices_from=catalog.policy.prices_from,
        time_table=catalog.policy.time_table,
        counts=_counts(catalog),
        facts=[FieldShape.of(fact) for fact in catalog.facts],
        part_types=[PartTypeShape.of(part_type) for part_type in catalog.part_types],
    )
    return tagged(request, shape)


@router.get(
    "/v1/vehicles",
    operation_id="listVehicles",
    summary="Configurations of machines",
    response_model=VehicleList,
    responses=responses(*_problems),
)
def vehicles(
    request: Request, edition: Current, query: Annotated[VehicleQuery, Query()]
) -> Response:
    """By label. `fact=cooling:liquid` leaves out what contradicts it."""
    facts = _facts(query.fact, edition.compiled)
    found = [v for v in matching(edition.compiled, Known(facts)) if _says(v, query.q)]
    page = paged(request, found, query, lambda v: (v.label.casefold(), v.id))
    shape = VehicleList(vehicles=[VehicleShape.of(v) for v in page.rows], next=page.next_url)
    return tagged(request, shape, page.headers)


@router.get(
    "/v1/parts",
    operation_id="listParts",
    summary="Parts",
    response_model=PartList,
    responses=responses(*_problems),
)
def parts(request: Request, edition: Current, query: Annotated[PartQuery, Query()]) -> Response:
    """By brand and number. `q` finds words of brand, number and title."""
    currency = _currency(edition.catalog)
    _refuse_unknown_filters(query, edition.catalog)
    found = [
        part
        for part in edition.catalog.parts
        if query.part_type in ("", part.part_type)
        and query.brand.casefold() in ("", part.key.brand.casefold())
        and query.status in (None, part.status)
        and words_match(query.q, part.key.brand, part.key.number, part.title)
    ]
    page = paged(request, found, query, lambda part: (part.key.brand, part.key.number))
    shape = PartList(parts=[PartShape.of(p, currency) for p in page.rows], next=page.next_url)
    return tagged(request, shape, page.headers)


@router.get(
    "/v1/jobs",
    operation_id="listJobs",
    summary="Jobs that can be asked for",
    response_model=JobList,
    responses=responses(*_problems),
)
def jobs(request: Request, edition: Current, query: Annotated[ListQuery, Query()]) -> Response:
    """By title."""
    found = [
        job for job in edition.catalog.jobs if words_match(query.q, job.id, job.title, job.wish)
    ]
    page = paged(request, found, query, lambda job: (job.title.casefold(), job.id))
    shape = JobList(jobs=[JobShape.of(job) for job in page.rows], next=page.next_url)
    return tagged(request, shape, page.headers)


@router.get(
    "/v1/tools",
    operation_id="listTools",
    summary="Special tools",
    response_model=ToolList,
    responses=responses(*_problems),
)
def tools(request: Request, edition: Current, query: Annotated[ListQuery, Query()]) -> Response:
    """By title, with the ways of getting them."""
    currency = _currency(edition.catalog)
    found = [
        tool
        for tool in edition.catalog.tools
        if words_match(query.q, tool.id, tool.title, tool.purpose)
    ]
    page = paged(request, found, query, lambda tool: (tool.title.casefold(), tool.id))
    shape = ToolList(tools=[ToolShape.of(t, currency) for t in page.rows], next=page.next_url)
    return tagged(request, shape, page.headers)


def _refuse_unknown_filters(query: PartQuery, catalog: Catalog) -> None:
    """A filter that no part can answer to is a slip, not an empty list."""
    types = {part_type.id for part_type in catalog.part_types}
    brands = {part.key.brand for part in catalog.parts}
    folded = {brand.casefold() for brand in brands}
    errors = []
    if query.part_type and query.part_type not in types:
        errors.append(_unknown("part_type", "No part type is called so", query.part_type, types))
    if query.brand and query.brand.casefold() not in folded:
        errors.append(_unknown("brand", "No part has this brand", query.brand, brands))
    if errors:
        detail = "A filter names what the catalog does not have."
        raise ProblemRaised("invalid-request", detail, errors=errors)


def _unknown(parameter: str, detail: str, given: str, known: set[str]) -> ProblemError:
    return ProblemError(detail=detail, parameter=parameter, mend=near(given, known))


def _currency(catalog: Catalog) -> Currency:
    return Currency(catalog.currency, catalog.currency_exponent)


def _says(vehicle: Vehicle, words: str) -> bool:
    facts = (str(value) for value in vehicle.facts.values())
    return words_match(words, vehicle.id, vehicle.label, *facts)


_counted: Final = (
    "vehicles", "part_types", "parts", "fitment", "supersessions", "kits", "tools", "steps",
    "operations", "jobs", "rules", "cases",
)  # fmt: skip


def _counts(catalog: Catalog) -> dict[str, int]:
    return {name: len(getattr(catalog, name)) for name in _counted}


def _facts(given: list[str], compiled: CompiledCatalog) -> dict[str, Value]:
    """Read ``name:value`` filters by declared kind. Raises ProblemRaised ``invalid-request``."""
    pairs = [text.partition(":")[::2] for text in given]
    names = [name for name, _ in pairs]
    if any(names.count(name) > 1 for name in names):
        error = ProblemError(
            detail="A fact is given twice", parameter="fact", mend="Give each fact once."
        )
        raise ProblemRaised("invalid-request", "A fact is given twice.", errors=[error])
    read = {name: typed(value, compiled.facts.get(name)) for name, value in pairs}
    facts, faults = checked_facts(compiled, read)
    if faults:
        errors = [ProblemError(detail=f.problem, parameter="fact", mend=f.mend) for f in faults]
        raise ProblemRaised("invalid-request", "A fact cannot be taken as asked.", errors=errors)
    return facts
