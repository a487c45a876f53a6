"""From a bare Python to a set-up one; and the files that the set-up rests on."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from api import bootstrap

FIRST_IMPORTS = ("api/__init__.py", "api/__main__.py", "api/bootstrap.py",
                 "tests/__init__.py", "tests/__main__.py")  # fmt: skip


class Recorder:
    """In place of running commands: remembers them, and makes what they would make."""

    def __init__(self, failing: str = "") -> None:
        self.commands: list[list[str]] = []
        self.failing = failing

    def __call__(self, command: list[str]) -> subprocess.CompletedProcess[str]:
        self.commands.append(command)
        if "venv" in command:
            bootstrap.environment_python().parent.mkdir(parents=True)
            bootstrap.environment_python().touch()
            (bootstrap.VENV / "pyvenv.cfg").write_text("home = x\nversion = 3.11.7\n")
        failed = bool(self.failing) and self.failing in command
        return subprocess.CompletedProcess(command, int(failed), "", "the cause\n" * 20)


@pytest.fixture
def recorder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Recorder:
    """A project of three files in a folder of its own, where commands are only recorded."""
    for name in ("requirements.lock", "requirements-test.lock", "pyproject.toml"):
        (tmp_path / name).write_text(name)
    monkeypatch.setattr(bootstrap, "ROOT", tmp_path)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / ".venv")
    locks = {kind: tmp_path / file.name for kind, file in bootstrap.LOCKS.items()}
    monkeypatch.setattr(bootstrap, "LOCKS", locks)
    record = Recorder()
    monkeypatch.setattr(bootstrap, "_run", record)
    return record


def pip_installs(recorder: Recorder) -> list[list[str]]:
    return [command for command in recorder.commands if "install" in command]


def test_the_first_time_everything_is_installed_by_hash(recorder: Recorder) -> None:
    bootstrap._prepare("run")
    packages, project = pip_installs(recorder)
    assert "--require-hashes" in packages
    assert packages[packages.index("-r") + 1].endswith("requirements.lock")
    assert {"--no-deps", "--no-build-isolation", "--editable"} <= set(project)
    assert bootstrap.is_prepared("run")


def test_the_second_time_nothing_is(recorder: Recorder) -> None:
    bootstrap._prepare("run")
    recorder.commands.clear()
    bootstrap._prepare("run")
    assert recorder.commands == []


@pytest.mark.usefixtures("recorder")
def test_a_test_set_up_serves_a_run_but_not_the_other_way_round() -> None:
    bootstrap._prepare("run")
    assert not bootstrap.is_prepared("test")
    bootstrap._prepare("test")
    assert bootstrap.is_prepared("test")
    (bootstrap.VENV / "once_apart.run.stamp").unlink()
    assert bootstrap.is_prepared("run")


@pytest.mark.parametrize("name", ["requirements.lock", "pyproject.toml", ".venv/pyvenv.cfg"])
def test_a_change_installs_anew(recorder: Recorder, name: str) -> None:
    bootstrap._prepare("run")
    (bootstrap.ROOT / name).write_text("version = 3.12.1\n")
    recorder.commands.clear()
    bootstrap._prepare("run")
    assert len(pip_installs(recorder)) == 2


@pytest.mark.parametrize(
    ("failing", "says"),
    [("venv", "python3-venv"), ("install", "PIP_INDEX_URL"), ("--editable", "Installing failed")],
)
def test_a_failure_says_the_cause_and_the_mend(recorder: Recorder, failing: str, says: str) -> None:
    recorder.failing = failing
    with pytest.raises(bootstrap.SetupFailed, match=says) as stopped:
        bootstrap._prepare("run")
    assert "the cause" in str(stopped.value)
    assert not bootstrap.is_prepared("run")


def test_a_python_without_venv_is_told_so(
    recorder: Recorder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)
    with pytest.raises(bootstrap.SetupFailed, match="lacks venv and ensurepip"):
        bootstrap._prepare("run")
    assert recorder.commands == []


def test_an_old_python_is_told_so() -> None:
    with pytest.raises(bootstrap.SetupFailed, match=r"3\.11 or newer; this is 3\.9\.2"):
        bootstrap._check_python((3, 9, 2))
    bootstrap._check_python((3, 11, 0))
    bootstrap._check_python((4, 0, 0))


@pytest.mark.parametrize("name", FIRST_IMPORTS)
def test_an_old_python_can_read_what_tells_it_so(name: str) -> None:
    source = (bootstrap.ROOT / name).read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 8))


def test_nothing_needs_to_be_installed_for_the_set_up() -> None:
    """Isolated, without site-packages: only the standard library is there."""
    code = (
        f"import sys; sys.path.insert(0, {str(bootstrap.ROOT)!r});"
        "import api.__main__, tests.__main__, api.bootstrap;"
        "print(sorted({n.partition('.')[0] for n in sys.modules} - sys.stdlib_module_names))"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "['__main__', 'api', 'tests']"


def locked(name: str) -> set[tuple[str, str]]:
    """Package and version; more than one where they differ by Python."""
    text = (bootstrap.ROOT / name).read_text(encoding="utf-8")
    return set(re.findall(r"^([a-z0-9-]+)==([^ ;\\]+)", text, flags=re.MULTILINE))


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-test.lock"])
def test_every_locked_package_has_hashes_and_no_address(name: str) -> None:
    text = (bootstrap.ROOT / name).read_text(encoding="utf-8")
    entries = re.split(r"\n(?=[a-z])", text)[1:]
    assert entries
    assert all("--hash=sha256:" in entry for entry in entries)
    assert re.findall(r"://|--index|--find-links|@ |file:", text) == []


def test_the_test_lock_holds_the_run_lock() -> None:
    assert locked("requirements.lock") <= locked("requirements-test.lock")


def test_every_declared_package_is_locked() -> None:
    project = tomllib.loads((bootstrap.ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    for declared, lock in (
        (project["dependencies"], "requirements.lock"),
        ([*extras["test"], *extras["check"]], "requirements-test.lock"),
    ):
        names = {re.split(r"[\[<>=~! ]", one)[0].lower() for one in declared}
        assert names <= {package for package, _ in locked(lock)}
