"""The same answers over HTTP and on the command line, and faults where they belong."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from api.cli import Console, main
from api.store import DatabaseEditions
from db import write_folder
from rules.build import build_list
from tests.api.harness import Client, client, service
from tests.folder.small_folder import SMALL_FOLDER

TODAY = date(2024, 11, 25)
WISH: dict[str, Any] = {
    "vehicle": {
        "id": "tern_900",
        "facts": {"sidecar": False, "wheelbase_mm": 1500, "model_year": 2001},
    },
    "jobs": ["cam_upgrade"],
}
TEXT = {"Accept": "text/plain"}


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A database with the small catalog."""
    root = tmp_path_factory.mktemp("why")
    write_folder(root / "small", SMALL_FOLDER)
    made = f"sqlite:///{root / 'bench.db'}"
    assert _run(made, "load", str(root / "small"))[0] == 0
    return made


@pytest.fixture(scope="module")
def web(url: str) -> Iterator[Client]:
    editions = DatabaseEditions(url)
    with closing(editions), client(service(build_list, editions=editions)) as asked:
        yield asked


@pytest.fixture
def written(tmp_path: Path) -> str:
    """The wish as a file."""
    file = tmp_path / "wish.json"
    file.write_text(json.dumps(WISH), encoding="utf-8")
    return str(file)


def _run(url: str, *arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    status = main(["--database", url, *arguments], Console(out, err, lambda: TODAY))
    return status, out.getvalue(), err.getvalue()


def _first_part(web: Client) -> dict[str, Any]:
    found: dict[str, Any] = web.post("/v1/build-lists", json=WISH).json()["parts"][0]
    return found


def test_why_is_the_same_at_both_doors(web: Client, url: str, written: str) -> None:
    place = _first_part(web)["part_type"]
    body = WISH | {"line": {"kind": "part", "ref": place}}
    as_text = web.post("/v1/build-lists/why", json=body, headers=TEXT)
    as_json = web.post("/v1/build-lists/why", json=body)
    assert (as_text.status_code, as_json.status_code) == (200, 200)
    status, text, errors = _run(url, "why", f"part:{place}", "--request", written)
    assert (status, errors) == (0, "")
    assert text == as_text.text
    assert _run(url, "why", f"part:{place}", "--request", written, "--json")[1] == (
        as_json.text + "\n"
    )
    assert as_json.json()["chains"][0]["links"][0]["kind"] == "job"


def test_why_not_is_the_same_at_both_doors(web: Client, url: str, written: str) -> None:
    part = _first_part(web)["part"]
    body = WISH | {"part": part}
    as_text = web.post("/v1/build-lists/why-not", json=body, headers=TEXT)
    as_json = web.post("/v1/build-lists/why-not", json=body)
    assert as_json.json()["verdict"] == "in_list"
    named = f"{part['brand']}:{part['number']}"
    status, text, errors = _run(url, "why-not", named, "--request", written)
    assert (status, errors) == (0, "")
    assert text == as_text.text
    assert _run(url, "why-not", named, "--request", written, "--json")[1] == as_json.text + "\n"


def test_a_way_is_named_with_its_operation(web: Client, url: str, written: str) -> None:
    operation = web.post("/v1/build-lists", json=WISH).json()["operations"][0]
    body = WISH | {"way": {"operation": operation["operation"], "way": operation["way"]}}
    answer = web.post("/v1/build-lists/why-not", json=body)
    assert answer.json()["verdict"] == "in_list"
    named = f"{operation['operation']}/{operation['way']}"
    assert _run(url, "why-not", named, "--request", written)[0] == 0


@pytest.mark.parametrize(
    ("door", "question", "pointers"),
    [
        ("why", {"line": {"kind": "part", "ref": "no_such_place"}}, ["/line/ref"]),
        ("why", {}, ["/line"]),
        ("why-not", {}, ["/part"]),
        ("why-not", {"part": {"number": "NO-SUCH"}}, ["/part"]),
        ("why-not", {"way": {"operation": "no_such", "way": "x"}}, ["/way/operation"]),
        (
            "why-not",
            {"part": {"number": "X"}, "way": {"operation": "no_such", "way": "x"}},
            ["/part"],
        ),
        ("why-not", {"jobs": ["no_such_job"], "part": {"number": "X"}}, ["/jobs/0"]),
    ],
)
def test_faults_point_into_the_body(
    web: Client, door: str, question: dict[str, Any], pointers: list[str]
) -> None:
    answer = web.post(f"/v1/build-lists/{door}", json=WISH | question)
    assert answer.status_code == 422, answer.text
    assert [error["pointer"] for error in answer.json()["errors"]] == pointers


def test_a_file_without_an_object_is_refused(url: str, tmp_path: Path) -> None:
    file = tmp_path / "wish.json"
    file.write_text("[]", encoding="utf-8")
    status, text, errors = _run(url, "why", "part:camshaft", "--request", str(file))
    assert (status, text) == (2, "")
    assert errors.endswith("holds no JSON object.\n")
