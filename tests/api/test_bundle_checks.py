"""``POST /v1/bundle-checks`` and ``once-apart bundle``: one answer, and no way to break it."""

from __future__ import annotations

import dataclasses
import io
import json
import re
import shlex
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any, get_type_hints

import pytest

from api.bootstrap import ROOT
from api.cli import Console, main
from api.shapes import bundle as shapes
from rules.bundle import answer as records
from tests.api.demo_examples import MADE_ON, demo_service
from tests.api.harness import Client, client
from tests.api.test_hostile_input import assert_problem

PATH = "/v1/bundle-checks"
VEHICLE = {
    "id": "longshore_1478_2013",
    "facts": {"model_year": 2014, "odometer_km": 62000, "market": "road_strict"},
}


@pytest.fixture(scope="module")
def demo() -> Iterator[Client]:
    with client(demo_service()) as asked:
        yield asked


def ask(web: Client, accept: str = "application/json", **body: Any) -> Any:
    return web.post(PATH, json={"vehicle": VEHICLE, **body}, headers={"Accept": accept})


def test_lines_and_text_give_the_same_verdicts(demo: Client) -> None:
    lines = [{"number": "OS-330", "quantity": 2}, {"brand": "Pellworth", "number": "PW-D52"}]
    by_lines = ask(demo, lines=lines).json()
    by_text = ask(demo, text="OS-330 x2\nPellworth PW-D52").json()
    assert by_lines["status"] == "incomplete"
    for answer in (by_lines, by_text):
        for line in answer["lines"]:
            line.pop("written")
    assert by_lines == by_text


def test_the_same_question_gives_the_same_bytes(demo: Client) -> None:
    for accept in ("application/json", "text/plain"):
        one, two = (ask(demo, accept, text="OS-330 x2\nPW-VS1O\n") for _ in range(2))
        assert one.status_code == 200
        assert one.content == two.content


def test_text_is_chosen_by_accept(demo: Client) -> None:
    answer = ask(demo, "text/plain", text="OS-330 x2")
    assert answer.headers["content-type"].startswith("text/plain")
    assert answer.text.startswith("BUNDLE CHECK")
    assert_problem(ask(demo, "image/png", text="OS-330"), 406, "not-acceptable")


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({}, "/lines"),
        ({"lines": [{"number": "OS-330"}], "text": "OS-330"}, "/lines"),
        ({"text": " \n\t\n"}, "/text"),
        ({"text": "OS-330\n" * 501}, "/text"),
        ({"text": "OS-330\n" * 10_000}, "/text"),
        ({"text": "OS-330", "jobs": ["no_such"]}, "/jobs/0"),
        ({"text": "OS-330", "vehicle": {"id": "no_such"}}, "/vehicle/id"),
        ({"text": "OS-330", "tools_owned": ["no_such"]}, "/tools_owned/0"),
    ],
)
def test_what_the_catalog_refuses_has_its_place(
    demo: Client, body: dict[str, Any], pointer: str
) -> None:
    problem = assert_problem(ask(demo, **body), 422, "refused-by-catalog")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]


@pytest.mark.parametrize(
    ("lines", "pointer"),
    [
        ([], "/lines"),
        ([{"number": "OS-330"}] * 501, "/lines"),
        ([{"number": "OS-330"}] * 10_000, "/lines"),
        ([{"number": "OS-330", "quantity": 0}], "/lines/0/quantity"),
        ([{"number": "OS-330", "quantity": -1}], "/lines/0/quantity"),
        ([{"number": "OS-330", "quantity": 2.5}], "/lines/0/quantity"),
        ([{"number": "OS-330", "quantity": 10_000}], "/lines/0/quantity"),
        ([{"number": "OS-330", "quantity": "2"}], "/lines/0/quantity"),
        ([{"number": "OS-330", "quantity": True}], "/lines/0/quantity"),
        ([{"number": ""}], "/lines/0/number"),
        ([{"number": "x" * 101}], "/lines/0/number"),
        ([{"quantity": 1}], "/lines/0/number"),
        ([{"number": "OS-330", "colour": "red"}], "/lines/0/colour"),
    ],
)
def test_what_is_not_as_declared_has_its_place(
    demo: Client, lines: list[dict[str, Any]], pointer: str
) -> None:
    problem = assert_problem(ask(demo, lines=lines), 422, "invalid-request")
    assert pointer in [error["pointer"] for error in problem["errors"]]


HOSTILE = [
    "\x1b[31mOS-330", "\u202eOS-330", "OS-330\u0007", "\U0010ffff", "'; DROP TABLE parts; --",
    "../../etc/passwd", "🏍" * 50, "٣ x OS-330", "OS-330 x ²", "x" * 90_000, "((((((((", "-" * 500,
    "1 " * 30_000, "OS-330 x99999999999999999999", "\u00a0", "x2", "2", "İ", "ß x2", "|||",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_lines_are_verdicts(demo: Client, text: str) -> None:
    bodies: tuple[dict[str, Any], ...] = ({"text": text}, {"lines": [{"number": text[:100]}]})
    for body in bodies:
        for accept in ("application/json", "text/plain"):
            answer = ask(demo, accept, **body)
            assert answer.status_code in (200, 422)
            if accept == "text/plain" and answer.status_code == 200:
                assert not re.search(r"[\x00-\x09\x0b-\x1f\u202e]", answer.text)


def test_the_shapes_follow_the_records() -> None:
    for record in vars(records).values():
        if dataclasses.is_dataclass(record) and record.__module__ == records.__name__:
            shape = getattr(shapes, f"{record.__name__}Shape")  # type: ignore[union-attr]
            assert list(shape.model_fields) == list(get_type_hints(record))


# -- the command ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('bundle') / 'demo.db'}"
    assert run(url, "load", str(ROOT / "seed_data"))[0] == 0
    return url


def run(url: str, *arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    on: date = MADE_ON
    status = main(["--database", url, *arguments], Console(out, err, lambda: on))
    return status, out.getvalue(), err.getvalue()


def test_the_command_says_what_the_web_says(database: str, demo: Client, tmp_path: Path) -> None:
    file = tmp_path / "list.txt"
    file.write_text("\ufeffOS-330 x2\r\nPW-D52\r\n", encoding="utf-8")
    asked = (
        "bundle", str(file), "--vehicle", "longshore_1478_2013", "--fact", "model_year=2014",
        "--fact", "odometer_km=62000", "--fact", "market=road_strict", "--job", "cam_upgrade",
    )  # fmt: skip
    body: dict[str, Any] = {"jobs": ["cam_upgrade"], "text": "OS-330 x2\nPW-D52"}
    status, text, errors = run(database, *asked)
    assert (status, errors) == (0, "")
    served = ask(demo, "text/plain", **body).text
    edition = re.compile(r" *edition 1 \(\w+\)")
    assert edition.sub("", text) == edition.sub("", served)
    answer = json.loads(run(database, *asked, "--json")[1])
    assert answer["lines"] == ask(demo, **body).json()["lines"]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\xff\xfe", "list.txt was not read: byte 0 is not UTF-8."),
        (b"", "LIST: "),
        (b"OS-330\n" * 501, "LIST: the text has 501 lines"),
    ],
)
def test_a_file_that_is_no_list_is_refused(
    database: str, tmp_path: Path, content: bytes, said: str
) -> None:
    file = tmp_path / "list.txt"
    file.write_bytes(content)
    status, out, errors = run(database, "bundle", str(file), "--vehicle", "longshore_1478_2013")
    assert (status, out) == (2, "")
    assert said in errors and "Traceback" not in errors


def test_a_file_that_is_not_there_is_said(database: str, tmp_path: Path) -> None:
    status, _, errors = run(database, "bundle", str(tmp_path / "none.txt"))
    assert status == 2
    assert "No such file" in errors


def test_the_example_of_the_readme_runs(database: str, monkeypatch: pytest.MonkeyPatch) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    example = re.search(r"^printf '(.+)' \| once-apart (bundle - .+)$", readme, re.MULTILINE)
    assert example is not None
    text = example[1].replace("\\n", "\n").encode()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text)))
    status, out, errors = run(database, *shlex.split(example[2]))
    assert (status, errors) == (0, "")
    assert "STILL MISSING" in out
