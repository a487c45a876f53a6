"""The first command after the set-up: loads, shows, and says how to get the same."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from api import first_run
from api.bootstrap import ROOT
from api.demo import example_of, of_the_demo_catalog
from api.store import load_folder, standing_edition
from db import write_folder
from tests.api.demo_examples import demo_edition
from tests.folder.small_folder import SMALL_FOLDER


@pytest.fixture
def own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A database of its own."""
    file = tmp_path / "once_apart.db"
    monkeypatch.setattr(first_run, "demo_database", lambda: file)
    monkeypatch.setattr(first_run, "ROOT", tmp_path)
    return file


def test_it_loads_the_demo_and_shows_a_valid_build_list(
    own_place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert first_run.first_run(serve_too=False, host="127.0.0.1", port=8000) == 0
    said = capsys.readouterr()
    assert own_place.exists()
    assert "BUILD LIST" in said.out
    assert "Answer      VALID" in said.out
    assert said.err == ""


def test_a_catalog_in_force_stays_in_force(
    own_place: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_folder(tmp_path / "own", SMALL_FOLDER)
    url = f"sqlite:///{own_place}"
    own = load_folder(url, tmp_path / "own", publish=True)
    assert first_run.first_run(serve_too=False, host="127.0.0.1", port=8000) == 0
    said = capsys.readouterr().out
    assert f"{own.edition.name}: edition {own.edition.label} is in force and stays" in said
    assert "once-apart load seed_data" in said
    assert standing_edition(url) == own.edition


def test_a_faulty_catalog_is_refused_line_by_line(
    own_place: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "broken").mkdir()
    monkeypatch.setattr(first_run, "seed_data", tmp_path / "broken")
    assert first_run.first_run(serve_too=False, host="127.0.0.1", port=8000) == 2
    assert "catalog.yaml" in capsys.readouterr().err
    assert not own_place.exists()


@pytest.mark.usefixtures("own_place")
def test_a_taken_port_is_said_before_anything_is_done(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert first_run.first_run(serve_too=True, host="127.0.0.1", port=port) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert f"run python3 -m api --port {port + 1}" in said.err


def test_readme_front_page_and_first_command_show_the_same() -> None:
    example = example_of(demo_edition().catalog)
    assert example is not None
    assert example.written == of_the_demo_catalog
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert f'"id": "{of_the_demo_catalog["vehicle"]["id"]}"' in readme
    assert of_the_demo_catalog["jobs"][0] in readme
