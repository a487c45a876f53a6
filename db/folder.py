"""A catalog folder on disk: read whole with limits, written whole."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from shutil import rmtree
from tempfile import mkdtemp
from typing import Final

from rules.faults import Fault, Faulty

SUFFIXES: Final = (".csv", ".yaml", ".yml")
MOST_FILES: Final = 2_000
LARGEST_FILE_BYTES: Final = 16_000_000
LARGEST_FOLDER_BYTES: Final = 128_000_000
DEEPEST: Final = 3
CATALOG_FOLDERS: Final = ("parts", "work", "rules", "cases")
FOLDER_MODE: Final = 0o755


def read_folder(path: Path | str) -> dict[str, str]:
    """The tables and YAML files under ``path``, by relative path with ``/``.

    Other files, and names that begin with ``.`` or ``~`` (editors leave those), are passed
    over. Raises Faulty for a folder that is not there or too large, for links that lead out
    of it, and for files that are not UTF-8.
    """
    root = Path(path)
    if not root.is_dir():
        raise Faulty([Fault(str(path), "there is no such folder", "Give the path of a folder.")])
    return _Reading(root.resolve()).files()


class _Reading:
    def __init__(self, root: Path) -> None:
        self._root = root
        self._faults: list[Fault] = []
        self._bytes = 0

    def files(self) -> dict[str, str]:
        read: dict[str, str] = {}
        for file in self._walk(self._root, 1):
            name = file.relative_to(self._root).as_posix()
            if len(read) >= MOST_FILES:
                self._fault(".", f"more than {MOST_FILES} files", "Take out what is not catalog.")
                break
            text = self._text(file, name)
            if text is not None:
                read[name] = text
        if self._faults:
            raise Faulty(self._faults)
        return read

    def _walk(self, folder: Path, depth: int) -> Iterator[Path]:
        for entry in sorted(folder.iterdir()):
            if entry.name.startswith((".", "~")) or not self._inside(entry):
                continue
            if entry.is_dir() and depth < DEEPEST:
                yield from self._walk(entry, depth + 1)
            elif entry.is_file() and entry.suffix.lower() in SUFFIXES:
                yield entry

    def _inside(self, entry: Path) -> bool:
        if not entry.is_symlink():
            return True
        inside = entry.resolve().is_relative_to(self._root) and not entry.is_dir()
        if not inside:
            self._fault(
                entry.relative_to(self._root).as_posix(),
                "a link that leads out of the folder or to a folder",
                "Put the file itself there.",
            )
        return inside

    def _text(self, file: Path, name: str) -> str | None:
        try:
            with file.open("rb") as stream:
                data = stream.read(LARGEST_FILE_BYTES + 1)
        except OSError as error:
            self._fault(name, f"the file cannot be read: {error.strerror}", "Mend its permissions.")
            return None
        self._bytes += len(data)
        if len(data) > LARGEST_FILE_BYTES:
            self._fault(name, f"the file is larger than {LARGEST_FILE_BYTES} bytes", "Split it.")
            return None
        if self._bytes > LARGEST_FOLDER_BYTES:
            self._fault(
                name,
                f"the folder is larger than {LARGEST_FOLDER_BYTES} bytes",
                "Take out what is not catalog.",
            )
            return None
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError as error:
            line = data.count(b"\n", 0, error.start) + 1
            self._fault(
                f"{name}:{line}",
                f"the byte 0x{data[error.start]:02x} is not UTF-8",
                "Save the file as UTF-8.",
            )
            return None

    def _fault(self, where: str, problem: str, mend: str) -> None:
        self._faults.append(Fault(where, problem, mend))


def write_folder(path: Path | str, files: Mapping[str, str]) -> None:
    """Write a catalog's files to ``path``, so that a reader never meets half a file.

    A folder that is not there yet appears whole, in one step. In one that is there each
    file is replaced in one step, after all of them were written beside it: a full disk
    changes nothing. Tables and YAML files that the catalog does not have any more go; other
    files stay. Raises ValueError for a path that would lie outside, OSError for the disk.
    """
    root = Path(path)
    for name in files:
        _refuse_outside(name)
    root.parent.mkdir(parents=True, exist_ok=True)
    staged = Path(mkdtemp(prefix=f".{root.name}-", dir=root.parent))
    try:
        for name, text in files.items():
            _write_through(staged / name, text)
        if root.exists():
            _replace_each(root, staged, files)
        else:
            staged.chmod(FOLDER_MODE)
            staged.rename(root)
        _flush_folder(root.parent)
    finally:
        rmtree(staged, ignore_errors=True)


def _refuse_outside(name: str) -> None:
    parts = PurePosixPath(name).parts
    if not parts or name.startswith("/") or any(part in ("..", ".") for part in parts):
        raise ValueError(f"{name!r} is no path inside a folder")


def _write_through(file: Path, text: str) -> None:
    """Write and wait until the disk has it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("w", encoding="utf-8", newline="\n") as stream:
        stream.write(text)
        stream.flush()
        os.fsync(stream.fileno())


def _replace_each(root: Path, staged: Path, files: Mapping[str, str]) -> None:
    for name in files:
        if not (root / name).parent.resolve().is_relative_to(root.resolve()):
            raise ValueError(f"{name!r} leads out of the folder through a link")
    stale = set(_catalog_files(root)) - {root / name for name in files}
    for name in files:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (staged / name).replace(root / name)
    for file in stale:
        file.unlink()


def _catalog_files(root: Path) -> Iterator[Path]:
    """The files that ``read_folder`` would read, without following links."""
    for folder in (root, *(root / name for name in CATALOG_FOLDERS)):
        for file in folder.glob("*"):
            if file.suffix in SUFFIXES and file.is_file() and not file.name.startswith((".", "~")):
                yield file


def _flush_folder(folder: Path) -> None:
    """Make the renames last through a power cut."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
