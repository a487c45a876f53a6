"""One part number: what it is, what replaces it, what it fits."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from api.caching import tagged
from api.editions import OpenEdition
from api.problems import ProblemRaised, responses
from api.service import Current
from api.shapes.catalog import Currency, FitmentShape, KitShape, PartPage, PartShape, key_shape
from api.strict_json import printable
from api.strict_route import AsJson, StrictRoute
from rules.catalog import PartKey
from rules.faults import Fault
from rules.identify import find_number
from rules.supersession import follow

router = APIRouter(route_class=StrictRoute, tags=["Catalog"], dependencies=[AsJson])


@router.get(
    "/v1/parts/{brand}/{number:path}",
    operation_id="getPart",
    summary="One part, kit or old number",
    response_model=PartPage,
    responses=responses("not-found", "not-acceptable", "invalid-request", "no-catalog"),
)
def part_page(request: Request, brand: str, number: str, edition: Current) -> Response:
    """What it is, what it is replaced by down to what is sold today, and the fitment statements.
    Case does not matter."""
    faults: list[Fault] = []
    key = find_number(edition.compiled, PartKey(brand, number), "", faults)
    if key is None:
        mend = "".join(fault.mend for fault in faults)
        detail = f"The catalog has no {printable(brand)} {printable(number)}. {mend}"
        raise ProblemRaised("not-found", detail)
    return tagged(request, _page(key, edition))


def _page(key: PartKey, edition: OpenEdition) -> PartPage:
    known = edition.compiled
    currency = Currency(edition.catalog.currency, edition.catalog.currency_exponent)
    part, kit = known.parts.get(key), known.kits.get(key)
    followed = follow(key, known.replaced_by)
    return PartPage(
        brand=key.brand,
        number=key.number,
        part=PartShape.of(part, currency) if part else None,
        kit=KitShape.of(kit, currency) if kit else None,
        replaces=[key_shape(old) for old in edition.replaces.get(key, ())],
        replaced_by=[key_shape(new) for new in followed.chain[1:]],
        current=[key_shape(new) for new in followed.current],
        fitment=[FitmentShape.of(row) for row in known.fitment.get(key, ())],
        kits=[key_shape(holding.key) for holding in known.kits_with.get(key, ())],
    )
