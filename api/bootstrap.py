"""From a bare Python to a set-up one: the virtual environment and the locked packages.

Runs before anything is installed, so it imports the standard library only, and keeps to
syntax that an old Python can read far enough to say that it is too old.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST = (3, 11)
LOCKS = {"run": ROOT / "requirements.lock", "test": ROOT / "requirements-test.lock"}
"""The test lock holds everything that the run lock holds."""

DEBIAN_MEND = "On Debian and Ubuntu: apt-get install python3-venv. Then run the same again."


class SetupFailed(Exception):
    """Why the set-up stopped, and what would mend it."""


def enter(kind: str, module: str, arguments: list[str]) -> None:
    """Return when this process runs in the environment with ``kind``'s packages in place.

    Otherwise set it up, run ``python -m module arguments`` in it, and exit with its status.
    """
    try:
        _check_python(sys.version_info[:3])
        _prepare(kind)
    except SetupFailed as problem:
        print(problem, file=sys.stderr)  # noqa: T201
        raise SystemExit(1) from None
    if not inside():
        command = [str(environment_python()), "-m", module, *arguments]
        _replace_process(command)


def inside() -> bool:
    """Whether this process runs in the project's environment."""
    return Path(sys.prefix).resolve() == VENV.resolve()


def environment_python() -> Path:
    """The environment's interpreter."""
    return VENV / "Scripts" / "python.exe" if os.name == "nt" else VENV / "bin" / "python"


def wanted_stamp(kind: str, python: str) -> str:
    """What the environment was made from: the lock, the project's declaration, the Python."""
    digest = hashlib.sha256()
    for file in (LOCKS[kind], ROOT / "pyproject.toml"):
        digest.update(file.read_bytes())
    return f"{kind} {python} {ROOT} {digest.hexdigest()}"


def stamps() -> dict[str, Path]:
    """Where the environment remembers what it was made from; a test set-up serves a run too."""
    return {kind: VENV / f"once_apart.{kind}.stamp" for kind in LOCKS}


def is_prepared(kind: str) -> bool:
    """Whether the environment exists and was made from the files as they are now."""
    if not environment_python().exists():
        return False
    python = _environment_version()
    served_by = ("test", "run") if kind == "run" else ("test",)
    return any(_read(stamps()[name]) == wanted_stamp(name, python) for name in served_by)


def _check_python(version: tuple[int, ...]) -> None:
    if tuple(version[:2]) < OLDEST:
        found = ".".join(str(part) for part in version[:3])
        raise SetupFailed(
            f"Once Apart needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is {found}.\n"
            "Run the same command with a newer one, such as python3.11."
        )


def _prepare(kind: str) -> None:
    if is_prepared(kind):
        return
    started = time.monotonic()
    if not environment_python().exists():
        _say(f"Making a Python environment in {VENV.name} (once).")
        _make_environment()
    lock = LOCKS[kind]
    _say(f"Installing the packages of {lock.name}, each checked against its hash.")
    _pip("install", "--require-hashes", "--no-deps", "-r", str(lock))
    _pip("install", "--no-deps", "--no-build-isolation", "--editable", str(ROOT))
    stamps()[kind].write_text(wanted_stamp(kind, _environment_version()), encoding="utf-8")
    _say(f"Installed in {time.monotonic() - started:.0f} s.")


def _make_environment() -> None:
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing:
        raise SetupFailed(
            f"This Python lacks {' and '.join(missing)}, which makes environments.\n{DEBIAN_MEND}"
        )
    done = _run([sys.executable, "-m", "venv", str(VENV)])
    if done.returncode != 0:
        raise SetupFailed(f"The environment could not be made:\n{_tail(done)}\n{DEBIAN_MEND}")


def _pip(*arguments: str) -> None:
    quiet = ("--disable-pip-version-check", "--no-input", "--quiet")
    done = _run([str(environment_python()), "-m", "pip", *arguments, *quiet])
    if done.returncode != 0:
        raise SetupFailed(
            f"Installing failed:\n{_tail(done)}\n"
            "Packages come from the index that pip is set up for. Check the network (or set\n"
            f"PIP_INDEX_URL), or remove {VENV.name} and run the same again."
        )


def _run(command: list[str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)  # noqa: S603


def _tail(done: subprocess.CompletedProcess[str]) -> str:
    """The last lines that a command said."""
    return "\n".join((done.stdout + done.stderr).strip().splitlines()[-12:])


def _environment_version() -> str:
    """The version that the environment says it was made with."""
    settings = _read(VENV / "pyvenv.cfg") or ""
    pairs = (line.partition("=")[::2] for line in settings.splitlines())
    return {name.strip(): value.strip() for name, value in pairs}.get("version", "unknown")


def _read(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except OSError:
        return None


def _replace_process(command: list[str]) -> None:
    sys.stdout.flush()
    os.chdir(ROOT)
    if os.name == "nt":  # exec on Windows would let the shell go on before the work is done
        raise SystemExit(subprocess.run(command, check=False).returncode)  # noqa: S603
    os.execv(command[0], command)  # noqa: S606 - our own interpreter


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201 - progress for a person
