"""What the README promises: its commands exist and do what it says."""

from __future__ import annotations

import io
import json
import re
import shlex
from datetime import date
from pathlib import Path

import pytest

from api.bootstrap import ROOT
from api.cli import Console, main
from tests.api.demo_examples import demo_service
from tests.api.harness import client

README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = "\n".join(re.findall(r"```sh\n(.*?)```", README, flags=re.DOTALL))
COMMANDS = [
    line.split(" #")[0].strip() for line in BLOCKS.splitlines() if line.startswith("once-apart")
]


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('readme') / 'demo.db'}"
    assert main(["--database", url, "load", str(ROOT / "seed_data")], _console()) == 0
    return url


def _console() -> Console:
    return Console(io.StringIO(), io.StringIO(), lambda: date(2026, 3, 2))


def test_the_two_first_commands_are_there_and_alone() -> None:
    first = re.findall(r"^python3 -m (\w+)", BLOCKS, flags=re.MULTILINE)
    assert first == ["api", "tests"]
    assert all((ROOT / name / "__main__.py").is_file() for name in first)


def test_the_readme_shows_commands() -> None:
    assert len(COMMANDS) >= 8


@pytest.mark.parametrize("command", COMMANDS)
def test_a_shown_command_runs(
    command: str, database: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    arguments = shlex.split(command)[1:]
    if arguments[0] == "serve":
        arguments = ["serve", "--help"]
    arguments = [
        str(ROOT / "seed_data") if a in ("seed_data", "my_catalog") else a for a in arguments
    ]
    monkeypatch.chdir(tmp_path)
    console = _console()
    try:
        status = main(["--database", database, *arguments], console)
    except SystemExit as stopped:  # --help
        status = int(stopped.code or 0)
    assert isinstance(console.err, io.StringIO)
    said = console.err.getvalue().splitlines()
    wrong = [line for line in said if not line.startswith("warning: ")]  # the demo has some
    assert (status, wrong) == (0, [])


def test_the_shown_curl_gets_a_valid_build_list() -> None:
    body = re.search(r"-d '(\{.*?\})'\n", BLOCKS, flags=re.DOTALL)
    assert body is not None
    with client(demo_service()) as web:
        answer = web.post("/v1/build-lists", json=json.loads(body[1]))
    assert (answer.status_code, answer.json()["status"]) == (200, "valid")


def test_every_address_of_the_readme_answers() -> None:
    shown = set(re.findall(r"`(?:GET |POST )?(/[^`\s]+)`", README))
    assert len(shown) >= 12
    with client(demo_service()) as web:
        for address in shown:
            path = address.format(brand="Fennick", number="FN-F12")
            if path not in ("/v1/", "/problems/"):
                assert web.get(path).status_code in (200, 405), path


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "docs/decisions/README.md"])
def test_links_lead_somewhere(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    targets = [t for t in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in t]
    missing = [t for t in targets if not ((ROOT / name).parent / t).exists()]
    assert missing == []
