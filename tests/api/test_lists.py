"""The lists: whole, in order, by the page; and the pages of single numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from api.editions import FixedEdition, OpenEdition
from rules.compiled import compile_catalog
from tests.api.harness import Client, client, service, small_edition
from tests.api.small_catalog import CATALOG, _vehicle
from tests.api.test_hostile_input import assert_problem


def walk(web: Client, path: str) -> Iterator[dict[str, Any]]:
    """Every page of a list; the header must say the same as the body."""
    next_url: str | None = path
    while next_url:
        response = web.get(next_url)
        page = response.json()
        yield page
        next_url = page["next"]
        link = response.headers.get("link")
        assert link == (f'<{next_url}>; rel="next"' if next_url else None)


def ids(pages: Iterator[dict[str, Any]]) -> list[str]:
    return [vehicle["id"] for page in pages for vehicle in page["vehicles"]]


@pytest.mark.parametrize("size", [1, 7, 50, 119, 120, 121, 200, 100_000])
def test_every_row_once_whatever_the_page_size(web: Client, size: int) -> None:
    found = ids(walk(web, f"/v1/vehicles?page_size={size}"))
    labels = {v.id: v.label.casefold() for v in CATALOG.vehicles}
    assert found == sorted(labels, key=lambda name: (labels[name], name))


@pytest.mark.parametrize(("given", "count"), [("", 50), ("?page_size=0", 50), ("?page_size=3", 3)])
def test_page_sizes(web: Client, given: str, count: int) -> None:
    assert len(web.get(f"/v1/vehicles{given}").json()["vehicles"]) == count


def test_a_page_size_past_the_most_is_taken_as_the_most() -> None:
    many = replace(CATALOG, vehicles=tuple(_vehicle(number) for number in range(1, 260)))
    edition = OpenEdition(edition="many", digest="", compiled=compile_catalog(many))
    with client(service(editions=FixedEdition(edition))) as web:
        assert len(web.get("/v1/vehicles?page_size=1000").json()["vehicles"]) == 200


def test_rows_that_come_between_two_pages_shift_no_other() -> None:
    before, newcomer = CATALOG.vehicles[:20], _vehicle(99)
    with client(service(editions=_Turning(before, (*before, newcomer)))) as web:
        found = ids(walk(web, "/v1/vehicles?page_size=6"))
    assert len(found) == len(set(found))
    assert {vehicle.id for vehicle in before} <= set(found)


class _Turning:
    """Shows one catalog first and another from then on."""

    def __init__(self, first: tuple[Any, ...], then: tuple[Any, ...]) -> None:
        self.editions = [_edition_with(first), _edition_with(then)]

    def current(self) -> OpenEdition:
        return self.editions.pop(0) if len(self.editions) > 1 else self.editions[0]

    def close(self) -> None:
        """Nothing is held open."""


def _edition_with(vehicles: tuple[Any, ...]) -> OpenEdition:
    compiled = compile_catalog(replace(CATALOG, vehicles=vehicles))
    return replace(small_edition(), compiled=compiled)


def test_a_cursor_belongs_to_its_search(web: Client) -> None:
    cursor = web.get("/v1/vehicles?page_size=2").json()["next"].partition("cursor=")[2]
    assert web.get(f"/v1/vehicles?cursor={cursor}").status_code == 200
    for other in ("vehicles?q=kestrel&", "vehicles?fact=cooling:air&", "jobs?"):
        assert_problem(web.get(f"/v1/{other}cursor={cursor}"), 400, "bad-cursor")


def test_facts_leave_out_what_contradicts_them(web: Client) -> None:
    found = ids(
        walk(web, "/v1/vehicles?fact=cooling:liquid&fact=displacement_cc:980&fact=model_year:1995")
    )
    expected = {
        v.id
        for v in CATALOG.vehicles
        if v.facts == {"cooling": "liquid", "displacement_cc": 980}
        and v.model_year_from <= 1995 <= v.model_year_to
    }
    assert expected
    assert set(found) == expected


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        ("", ["AR/55 B", "CV-2190", "CV-2210"]),
        ("?q=camshaft", ["CV-2190", "CV-2210"]),
        ("?q=CAMSHAFT lift", ["CV-2210"]),
        ("?q=cv2210", ["CV-2210"]),
        ("?q=ar55b", ["AR/55 B"]),
        ("?q=-", ["CV-2190", "CV-2210"]),
        ("?q=rowe", ["AR/55 B"]),
        ("?q=piston", []),
        ("?brand=corvane", ["CV-2190", "CV-2210"]),
        ("?brand=corvane&status=current", ["CV-2210"]),
        ("?part_type=oil_pump", ["AR/55 B"]),
    ],
)
def test_parts_are_found(web: Client, query: str, numbers: list[str]) -> None:
    parts = web.get(f"/v1/parts{query}").json()["parts"]
    assert [part["number"] for part in parts] == numbers


@pytest.mark.parametrize(
    ("query", "mend"),
    [
        ("part_type=oil_pmup", "Did you mean oil_pump?"),
        ("part_type=OIL_PUMP", "Did you mean oil_pump?"),
        ("brand=Corvan", "Did you mean Corvane?"),
        ("brand=zzz", "Look it up in the catalog."),
    ],
)
def test_a_filter_that_names_nothing_is_refused(web: Client, query: str, mend: str) -> None:
    problem = assert_problem(web.get(f"/v1/parts?{query}"), 422, "invalid-request")
    assert [error["parameter"] for error in problem["errors"]] == [query.partition("=")[0]]
    assert [error["mend"] for error in problem["errors"]] == [mend]


def test_what_is_not_known_is_null_and_money_is_text(web: Client) -> None:
    part = web.get("/v1/parts?q=CV-2190").json()["parts"][0]
    assert (part["stock"], part["lead_days"], part["properties"]) == (
        None,
        None,
        {"valve_lift_mm": None},
    )
    assert part["price"] == {"amount": "312.00", "currency": "EUR"}
    tool = web.get("/v1/tools?q=puller").json()["tools"][0]
    assert (tool["hire_price"]["amount"], tool["buy_price"]) == ("15.00", None)


def test_jobs_are_listed(web: Client) -> None:
    jobs = web.get("/v1/jobs?q=lift").json()["jobs"]
    assert jobs == [
        {
            "id": "cam_upgrade",
            "title": "Cam upgrade",
            "wish": "More lift",
            "renew": ["camshaft"],
            "operations": [],
        }
    ]


def test_an_old_number_leads_to_what_is_sold(web: Client) -> None:
    page = web.get("/v1/parts/Corvane/CV-2100").json()
    assert page["part"] is None
    assert [key["number"] for key in page["replaced_by"]] == ["CV-2190", "CV-2210"]
    assert [key["number"] for key in page["current"]] == ["CV-2210"]


def test_a_part_tells_its_fitment_predecessors_and_kits(web: Client) -> None:
    page = web.get("/v1/parts/Corvane/CV-2210").json()
    assert page["part"]["properties"] == {"valve_lift_mm": 12.2}
    assert page["replaces"] == [{"brand": "Corvane", "number": "CV-2190"}]
    assert page["current"] == [{"brand": "Corvane", "number": "CV-2210"}]
    assert page["kits"] == [{"brand": "Brackwater", "number": "BW-K7"}]
    condition = {"fact": "displacement_cc", "values": [], "low": 900.0, "high": 1200.0}
    assert page["fitment"] == [
        {"fits": True, "conditions": [condition], "note": "Not with the short case"}
    ]


def test_a_kit_and_a_number_with_a_slash_have_pages(web: Client) -> None:
    kit = web.get("/v1/parts/Brackwater/BW-K7").json()
    assert (kit["part"], kit["kit"]["contents"][0]["quantity"]) == (None, 1)
    slashed = web.get("/v1/parts/Alder%20%26%20Rowe/AR%2F55%20B")
    assert slashed.json()["part"]["number"] == "AR/55 B"


def test_the_current_catalog_counts_what_it_holds(web: Client) -> None:
    catalog = web.get("/v1/catalogs/current").json()
    assert (catalog["edition"], catalog["currency"]) == ("2024-11", "EUR")
    assert catalog["counts"]["vehicles"] == len(CATALOG.vehicles)
    assert [fact["name"] for fact in catalog["facts"]] == [fact.name for fact in CATALOG.facts]


CACHED = (
    "/v1/vehicles",
    "/v1/parts",
    "/v1/jobs",
    "/v1/tools",
    "/v1/catalogs/current",
    "/v1/parts/Corvane/CV-2210",
)


@pytest.mark.parametrize("path", CACHED)
def test_a_known_entity_tag_saves_the_body(web: Client, path: str) -> None:
    first = web.get(path)
    tag = first.headers["etag"]
    assert tag[0] == tag[-1] == '"'
    for known in (tag, f'"other", {tag}', f"W/{tag}", "*"):
        again = web.get(path, headers={"If-None-Match": known})
        assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    assert web.get(path, headers={"If-None-Match": '"other"'}).content == first.content
