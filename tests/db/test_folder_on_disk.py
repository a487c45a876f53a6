"""Reading a folder within limits, and writing one that is never half there."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

import db.folder as folder_module
from db import read_folder, write_folder
from db.check_folder import main
from rules.faults import Fault, Faulty
from tests.folder.small_folder import SMALL_FOLDER


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small catalog on disk."""
    path = tmp_path / "catalog"
    write_folder(path, SMALL_FOLDER)
    return path


def faults_of(path: Path) -> list[Fault]:
    with pytest.raises(Faulty) as refused:
        read_folder(path)
    return list(refused.value.faults)


def test_what_is_written_is_read(folder: Path) -> None:
    assert read_folder(folder) == SMALL_FOLDER
    assert (folder / "catalog.yaml").read_bytes() == SMALL_FOLDER["catalog.yaml"].encode()


def test_what_is_no_table_and_no_yaml_is_passed_over(folder: Path) -> None:
    for name in ("README.md", ".hidden.csv", "~$parts.csv", ".~lock.kits.csv#", "photo.jpg"):
        (folder / name).write_text("not for us", encoding="utf-8")
    (folder / ".git").mkdir()
    (folder / ".git" / "config.yaml").write_text("not for us", encoding="utf-8")
    assert read_folder(folder) == SMALL_FOLDER


def test_endings_in_capitals_are_seen(folder: Path) -> None:
    (folder / "TOOLS.CSV").write_text("id\n", encoding="utf-8")
    assert "TOOLS.CSV" in read_folder(folder)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    missing = tmp_path / "missing"
    assert faults_of(missing) == [
        Fault(str(missing), "there is no such folder", "Give the path of a folder.")
    ]


def test_bytes_that_are_not_utf_8(folder: Path) -> None:
    path = folder / "parts" / "oil.csv"
    path.write_bytes(path.read_bytes().replace(b"Engine oil", "Motor\u00f6l".encode("latin-1")))
    assert faults_of(folder) == [
        Fault("parts/oil.csv:2", "the byte 0xf6 is not UTF-8", "Save the file as UTF-8.")
    ]


def test_links_that_lead_out(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text("a\n", encoding="utf-8")
    (folder / "rules" / "secret.yaml").symlink_to(tmp_path / "secret.csv")
    (folder / "cases" / "up").symlink_to(folder.parent)
    assert [fault.where for fault in faults_of(folder)] == ["cases/up", "rules/secret.yaml"]


def test_a_link_to_a_file_of_the_folder_is_followed(folder: Path) -> None:
    (folder / "rules" / "copy.yaml").symlink_to(folder / "rules" / "valve_train.yaml")
    assert read_folder(folder)["rules/copy.yaml"] == SMALL_FOLDER["rules/valve_train.yaml"]


def test_a_file_that_is_too_large(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    largest = max(SMALL_FOLDER, key=lambda name: len(SMALL_FOLDER[name]))
    size = len(SMALL_FOLDER[largest].encode())
    monkeypatch.setattr(folder_module, "LARGEST_FILE_BYTES", size - 1)
    assert faults_of(folder) == [
        Fault(largest, f"the file is larger than {size - 1} bytes", "Split it.")
    ]
    monkeypatch.setattr(folder_module, "LARGEST_FILE_BYTES", size)
    assert read_folder(folder) == SMALL_FOLDER


def test_a_folder_that_is_too_large(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folder_module, "LARGEST_FOLDER_BYTES", 3000)
    assert {fault.problem for fault in faults_of(folder)} == {
        "the folder is larger than 3000 bytes"
    }


def test_a_folder_with_too_many_files(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folder_module, "MOST_FILES", 5)
    assert faults_of(folder) == [Fault(".", "more than 5 files", "Take out what is not catalog.")]


def test_writing_over_a_folder_replaces_tables_and_leaves_the_rest(folder: Path) -> None:
    (folder / "README.md").write_text("mine", encoding="utf-8")
    fewer = {name: text for name, text in SMALL_FOLDER.items() if not name.startswith("cases/")}
    fewer["rules/other.yaml"] = fewer.pop("rules/valve_train.yaml")
    write_folder(folder, fewer)
    assert read_folder(folder) == fewer
    assert (folder / "README.md").read_text(encoding="utf-8") == "mine"


def test_a_disk_that_fails_changes_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = 0

    def failing(descriptor: int) -> None:
        nonlocal written
        written += 1
        if written == 5:
            raise OSError(28, "no space left", descriptor)

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises(OSError, match="no space left"):
        write_folder(folder, dict.fromkeys(SMALL_FOLDER, "new\n"))
    assert read_folder(folder) == SMALL_FOLDER
    assert [path.name for path in folder.parent.iterdir()] == ["catalog"]


def test_a_new_folder_is_not_there_until_it_is_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "new"
    flushed: list[bool] = []
    monkeypatch.setattr(os, "fsync", lambda _: flushed.append(target.exists()))
    write_folder(target, SMALL_FOLDER)
    assert flushed == [False] * len(SMALL_FOLDER) + [True]


@pytest.mark.parametrize("name", ["../x.csv", "/x.csv", "a/../../x.csv", "", "a/../x.csv"])
def test_paths_that_would_lie_outside(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="no path inside a folder"):
        write_folder(tmp_path / "new", {name: "x"})
    assert list(tmp_path.iterdir()) == []


def test_a_link_in_the_folder_does_not_lead_a_writer_out(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    (folder / "cases").rename(outside)
    (folder / "cases").symlink_to(outside)
    with pytest.raises(ValueError, match="leads out of the folder"):
        write_folder(folder, dict.fromkeys(SMALL_FOLDER, "new\n"))
    assert (folder / "catalog.yaml").read_text(encoding="utf-8") == SMALL_FOLDER["catalog.yaml"]
    assert [path.read_text(encoding="utf-8") for path in outside.iterdir()] == [
        SMALL_FOLDER["cases/cam.yaml"]
    ]


def test_a_file_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def refusing(path: Path, *arguments: Any, **options: Any) -> Any:
        if path.name == "kits.csv":
            raise PermissionError(13, "Permission denied")
        return opened(path, *arguments, **options)

    monkeypatch.setattr(Path, "open", refusing)
    assert faults_of(folder) == [
        Fault("kits.csv", "the file cannot be read: Permission denied", "Mend its permissions.")
    ]


def test_the_command_lists_faults_and_counts_them(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(folder)]) == 0
    assert capsys.readouterr().out == (
        "no faults: 3 part types, 5 parts, 2 configurations, 5 rules\n"
    )
    path = folder / "tools.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("95.00", "95,0"), encoding="utf-8")
    assert main([str(folder)]) == 1
    assert capsys.readouterr().out == (
        "tools.csv:2: the row has 10 cells, the header 9. Give every column a cell "
        "(empty ones too), and quote cells that hold a comma.\n1 faults\n"
    )


def test_the_command_without_a_path(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert capsys.readouterr().err == "usage: python -m db.check_folder PATH\n"
