"""A part named as its box prints it, in any case; and what a mistyped name may have meant."""

from __future__ import annotations

import pytest

from rules.catalog import PartKey
from rules.compiled import compile_catalog
from rules.faults import Fault
from rules.identify import find_number, near
from tests.api.harness import Client
from tests.api.small_catalog import CATALOG
from tests.api.test_hostile_input import assert_problem

COMPILED = compile_catalog(CATALOG)


@pytest.mark.parametrize(
    "asked",
    [
        PartKey("", "CV-2210"),
        PartKey("", "Corvane CV-2210"),
        PartKey("", "  corvane   cv-2210 "),
        PartKey("", "CORVANE:CV-2210"),
        PartKey("corvane", "cv-2210"),
    ],
)
def test_brand_and_number_in_every_spelling(asked: PartKey) -> None:
    faults: list[Fault] = []
    assert find_number(COMPILED, asked, "/part", faults) == PartKey("Corvane", "CV-2210")
    assert faults == []


@pytest.mark.parametrize("asked", ["CV-221O", "cv2210", "Corvane CV-221O"])
def test_a_mistyped_number_is_told_what_is_near(asked: str) -> None:
    faults: list[Fault] = []
    assert find_number(COMPILED, PartKey("", asked), "/part", faults) is None
    assert "Did you mean Corvane CV-2210" in faults[0].mend


def test_case_hides_no_near_name() -> None:
    assert near("CAM_UPGRADE", ["cam_upgrade", "oil_service"]) == "Did you mean cam_upgrade?"


@pytest.mark.parametrize("path", ["corvane/cv-2210", "CORVANE/Cv-2210"])
def test_the_address_of_a_number_ignores_case(web: Client, path: str) -> None:
    assert web.get(f"/v1/parts/{path}").json() == web.get("/v1/parts/Corvane/CV-2210").json()


def test_an_address_without_a_part_names_what_is_near(web: Client) -> None:
    problem = assert_problem(web.get("/v1/parts/Corvane/CV-221O"), 404, "not-found")
    assert "Did you mean Corvane CV-2210" in problem["detail"]
