"""A catalog folder on disk: read whole with limits, written whole."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rules.faults import Fault, Faulty

SUFFIXES: Final = (".csv", ".yaml", ".yml")
MOST_FILES: Final = 2_000
LARGEST_FILE_BYTES: Final = 16_000_000
LARGEST_FOLDER_BYTES: Final = 128_000_000
DEEPEST: Final = 3


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
            self._fault(entry.relative_to(self._root).as_posix(),
                        "a link that leads out of the folder or to a folder",
                        "Put the file itself there.")
        return inside

    def _text(self, file: Path, name: str) -> str | None:
        with file.open("rb") as stream:
            data = stream.read(LARGEST_FILE_BYTES + 1)
        self._bytes += len(data)
        if len(data) > LARGEST_FILE_BYTES:
            self._fault(name, f"the file is larger than {LARGEST_FILE_BYTES} bytes", "Split it.")
            return None
        if self._bytes > LARGEST_FOLDER_BYTES:
            self._fault(name, f"the folder is larger than {LARGEST_FOLDER_BYTES} bytes",
                        "Take out what is not catalog.")
            return None
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError as error:
            line = data.count(b"\n", 0, error.start) + 1
            self._fault(f"{name}:{line}", f"the byte 0x{data[error.start]:02x} is not UTF-8",
                        "Save the file as UTF-8.")
            return None

    def _fault(self, where: str, problem: str, mend: str) -> None:
        self._faults.append(Fault(where, problem, mend))


__all__ = ["read_folder"]
