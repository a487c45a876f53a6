"""Rule faults refuse a folder whole, at the rows as they are written; warnings only speak."""

from __future__ import annotations

import io
from contextlib import closing
from pathlib import Path

import pytest

from api.cli import Console, main
from api.store import load_folder
from db import list_editions, migrate, open_database, write_folder
from db.check_folder import main as check_folder
from rules.faults import Faulty
from tests.folder.small_folder import SMALL_FOLDER

LIMIT = 'limit: "camshaft.valve_lift_mm <= 14.0"'
REFUSED = {
    **SMALL_FOLDER,
    "rules/valve_train.yaml": SMALL_FOLDER["rules/valve_train.yaml"].replace(
        LIMIT, f"{LIMIT}\n    when: \"vehicle.family == 'tern' && vehicle.model_year > 2006\""
    ),
}
SAYS = (
    "rules/valve_train.yaml:lift_limit:when: the condition holds on no configuration and with no "
    "part, so the rule never applies. Mend the condition, add what it speaks of to the catalog, "
    "or take it out.\n"
)


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'shop.db'}"


def folder_with(tmp_path: Path, files: dict[str, str]) -> Path:
    write_folder(tmp_path / "catalog", files)
    return tmp_path / "catalog"


def run(url: str, *arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    status = main(["--database", url, *arguments], Console(out, err))
    return status, out.getvalue(), err.getvalue()


@pytest.mark.parametrize("command", ["check", "load"])
def test_a_rule_that_never_fires_refuses_the_folder(url: str, tmp_path: Path, command: str) -> None:
    folder = folder_with(tmp_path, REFUSED)
    assert run(url, command, str(folder)) == (2, "", SAYS)
    assert not (tmp_path / "shop.db").exists()


def test_a_refused_folder_leaves_the_editions_as_they_are(url: str, tmp_path: Path) -> None:
    load_folder(url, folder_with(tmp_path, dict(SMALL_FOLDER)), publish=True)
    with pytest.raises(Faulty):
        load_folder(url, folder_with(tmp_path, REFUSED), publish=True)
    migrate(url)
    with closing(open_database(url)) as database:
        assert [edition.number for edition in list_editions(database)] == [1]


def test_warnings_are_told_at_the_rows_as_written_and_the_load_goes_on(
    url: str, tmp_path: Path
) -> None:
    rows = "\n\n" + "Lumen,L-20,osprey,,,,,,\n"
    sold = {name: text for name, text in SMALL_FOLDER.items() if not name.startswith("cases/")}
    odd = {**sold, "fitment.csv": SMALL_FOLDER["fitment.csv"].rstrip("\n") + rows}
    odd["catalog.yaml"] = odd["catalog.yaml"].replace("[tern, heron]", "[tern, heron, osprey]")
    folder = folder_with(tmp_path, odd)
    row = len(odd["fitment.csv"].splitlines())
    for command in ("check", "load"):
        status, out, err = run(url, command, str(folder))
        assert (status, "warning" in out) == (0, False)
        assert f"warning: fitment.csv:{row}:number: no configuration matches the row." in err
    assert run(url, "jobs")[0] == 0


def test_the_command_that_checks_folders_says_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check_folder([str(folder_with(tmp_path, REFUSED))]) == 1
    assert capsys.readouterr().out == f"{SAYS}1 faults\n"
