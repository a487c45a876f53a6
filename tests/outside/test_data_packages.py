"""Data that cannot be had must fail loudly, and a changed file must not be believed."""

from __future__ import annotations

import subprocess
from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.outside.data_packages import DataMissingError, read_member


def test_a_registry_that_answers_no_is_said_with_the_mend(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no(*_: object, **__: object) -> subprocess.CompletedProcess[str]:
        return subprocess.CompletedProcess([], 1, "", "ERROR: no matching distribution")

    monkeypatch.setattr(subprocess, "run", no)
    with pytest.raises(DataMissingError, match=r"pip download[\s\S]*no matching distribution"):
        read_member(tmp_path, "orange3", "x", "y")
    assert not list(tmp_path.iterdir())


def test_a_changed_file_is_not_believed(tmp_path: Path) -> None:
    with ZipFile(tmp_path / "orange3-1.whl", "w") as archive:
        archive.writestr("data.tab", "bore\n9.99\n")
    with pytest.raises(DataMissingError, match="has sha256"):
        read_member(tmp_path, "orange3", "data.tab", "0" * 64)
