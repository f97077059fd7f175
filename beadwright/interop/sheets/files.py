"""Which of the paths given are settings, and which are sheets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from beadwright.errors import Fault

__all__ = ["FileSummary", "Found", "Source", "find"]

_LAYOUT = ".layout.toml"


class Source(NamedTuple):
    """A file and the name it goes by in messages and answers."""

    path: Path
    name: str


@dataclass(frozen=True, slots=True)
class FileSummary:
    """What was read of a file."""

    name: str
    kind: str
    """Sheet kind, or ``plant``; empty where the layout does not say."""
    rows: int


@dataclass(slots=True)
class Found:
    """Files to read, each once, in a stable order."""

    setups: list[Source] = field(default_factory=list)
    sheets: list[Source] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def find(paths: Sequence[Path]) -> Found:
    """Sort out files and folders; of a folder, its .toml and .csv files are read."""
    found = Found()
    files: dict[Path, Path] = {}
    for path in paths:
        if path.is_dir():
            inside = [each for each in sorted(path.iterdir()) if each.suffix in {".toml", ".csv"}]
            files.update((each.resolve(), each) for each in inside)
            if not inside:
                what = "the folder holds neither sheets (.csv) nor settings (.toml)"
                found.faults.append(Fault("folder_empty", what, str(path), "", "Check the path."))
        elif path.exists():
            files[path.resolve()] = path
        else:
            what = "there is no such file or folder"
            found.faults.append(Fault("file_missing", what, str(path), "", "Check the path."))
    for source in _named(files.values()):
        if source.path.suffix != ".toml":
            found.sheets.append(source)
        elif not source.path.name.endswith(_LAYOUT):
            found.setups.append(source)
    return found


def _named(paths: Iterable[Path]) -> Iterable[Source]:
    """Name files by their last part, or with their folder where two share it."""
    held = list(paths)
    count = Counter(path.name for path in held)
    for path in held:
        alone = count[path.name] == 1
        yield Source(path, path.name if alone else f"{path.resolve().parent.name}/{path.name}")
