"""Curves kept beside the store: a load frame's export as it came, and how a specimen was taken.

Read :func:`keep_curve` and :func:`kept_curve`. A reading names what is kept here by its hash (fact
``curve``), so that its result can be worked out again from the very file. :func:`read_already` says
which results a specimen of a file gave; :func:`waiting` which curves gave none.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path

from beadwright.errors import Misuse
from beadwright.ledger import entered, lots
from beadwright.ledger.chain import canonical
from beadwright.plant.attached import content_of, folder, keep_content
from beadwright.quality import readings
from beadwright.quality.conditions import CURVE

__all__ = [
    "CurveRead",
    "HowTaken",
    "KeptCurve",
    "Waiting",
    "keep_curve",
    "kept_curve",
    "read_already",
    "specimens_read",
    "waiting",
]

_FORM = "beadwright kept curve 1"
_LARGEST = 1 << 16
"""Bytes that how a specimen was taken takes at most: nothing larger is looked into."""


@dataclass(frozen=True, slots=True)
class HowTaken:
    """How one specimen of an export was taken, as a person said it."""

    name: str
    """The file's own name."""
    specimen: str
    answers: tuple[tuple[str, str], ...] = ()
    """Answers to what the reader was not sure of."""
    sizes: tuple[str, str, str] = ("", "", "")
    """Length, width and height with their units; empty where the file's own were taken."""
    span: str = ""
    """Of a strip that was bent; empty where it was compressed."""
    method: str = ""
    plant: str = ""
    """Code of the plant that kept it; empty where it was kept before that was said."""


@dataclass(frozen=True, slots=True)
class KeptCurve:
    """An export that is kept, with how one specimen of it was taken."""

    sha256: str
    file_sha256: str
    taken: HowTaken
    raw: bytes


@dataclass(frozen=True, slots=True)
class CurveRead:
    """A result in the record that was read from a specimen of a file."""

    seq: int
    key: str
    """Client key of its entry."""
    characteristic: str
    lot: str
    specimen: str

    @property
    def title(self) -> str:
        """What was read, in words."""
        return self.characteristic.replace("_", " ").capitalize()


@dataclass(frozen=True, slots=True)
class Waiting:
    """A curve that is kept, and of which no result is in the record."""

    sha256: str
    name: str
    """The file's own name."""
    specimen: str
    kept_ms: int


def keep_curve(raw: bytes, taken: HowTaken) -> str:
    """Keep an export and how a specimen of it was taken; give the hash that a reading names.

    Raises
    ------
    Misuse
        If the store has no folder of files, or it cannot be written.
    """
    where = folder()
    file = keep_content(raw, taken.name, where)
    body = {"form": _FORM, "file": file.sha256, **asdict(taken)}
    listed = {**body, "answers": [list(one) for one in taken.answers], "sizes": list(taken.sizes)}
    return keep_content(canonical(listed).encode(), "curve.json", where).sha256


def kept_curve(sha256: str) -> KeptCurve:
    """Give what a reading names.

    Raises
    ------
    Misuse
        If it is not kept here, was altered, or is no curve.
    """
    where = folder()
    file, taken = _look(sha256, where)
    return KeptCurve(sha256, file, taken, content_of(file, where))


def read_already(plant: str, sha256: str) -> tuple[CurveRead, ...]:
    """Give the results in the record that were read from the same specimen of the same file.

    However it was taken then: with other sizes it is the same test all the same. A result that was
    voided is none. Nothing is given of what is not kept here.
    """
    where, no = folder(), lots.plant_number(plant)
    try:
        mine = _specimen_of(sha256, where)
    except Misuse:
        return ()
    found = [one for one in readings.with_fact(no, CURVE) if _is_of(one.facts[CURVE], where, mine)]
    read = entered.by_number(plant, {one.seq for one in found})
    return tuple(
        CurveRead(one.seq, read[one.seq].draft.key, one.characteristic, one.lot, one.specimen)
        for one in found
    )


def specimens_read(plant: str, file_sha256: str) -> frozenset[str]:
    """Give the specimens of a kept file that gave a result in the record."""
    where, found = folder(), set()
    for one in readings.with_fact(lots.plant_number(plant), CURVE):
        with suppress(Misuse):
            file, specimen = _specimen_of(one.facts[CURVE], where)
            found |= {specimen} if file == file_sha256 else set()
    return frozenset(found)


def waiting(plant: str) -> tuple[Waiting, ...]:
    """Give the curves that are kept and gave no result in the record, the newest first."""
    try:
        where = folder()
    except Misuse:
        return ()
    no = lots.plant_number(plant)
    keyed = set()
    for one in readings.with_fact(no, CURVE):
        with suppress(Misuse):
            keyed.add(_specimen_of(one.facts[CURVE], where))
    found: dict[tuple[str, str], Waiting] = {}
    for sha256, kept_ms in sorted(_kept(where), key=lambda one: one[1]):
        file, taken = _taken(sha256, where)
        if taken.plant in {"", plant} and (file, taken.specimen) not in keyed:
            found[file, taken.specimen] = Waiting(sha256, taken.name, taken.specimen, kept_ms)
    return tuple(sorted(found.values(), key=lambda one: -one.kept_ms))


def _kept(where: Path) -> Iterator[tuple[str, int]]:
    """Give the hash of every kept curve, and when it was kept."""
    for path in where.glob("[0-9a-f][0-9a-f]/*"):
        stat = path.stat()
        if stat.st_size <= _LARGEST and _is_curve(path.name, where):
            yield path.name, round(stat.st_mtime * 1000)


@lru_cache(maxsize=1 << 16)
def _is_curve(sha256: str, where: Path) -> bool:
    try:
        _taken(sha256, where)
    except Misuse:
        return False
    return True


def _is_of(sha256: str, where: Path, specimen: tuple[str, str]) -> bool:
    with suppress(Misuse):
        return _specimen_of(sha256, where) == specimen
    return False


def _specimen_of(sha256: str, where: Path) -> tuple[str, str]:
    """Give what makes one test: the file, and the specimen in it."""
    file, taken = _taken(sha256, where)
    return file, taken.specimen


@lru_cache(maxsize=1 << 16)
def _taken(sha256: str, where: Path) -> tuple[str, HowTaken]:
    """Give as :func:`_look`, looked at once: what a hash names never changes."""
    return _look(sha256, where)


def _look(sha256: str, where: Path) -> tuple[str, HowTaken]:
    """Give the hash of a file, and how a specimen of it was taken.

    Raises
    ------
    Misuse
        As :func:`kept_curve`.
    """
    try:
        body = json.loads(content_of(sha256, where))
        file = {_FORM: body["file"]}[body["form"]]
        taken = HowTaken(
            body["name"], body["specimen"], tuple((k, v) for k, v in body["answers"]),
            tuple(body["sizes"]), body["span"], body["method"], body.get("plant", ""),
        )  # fmt: skip
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        message = f"what is kept under {sha256[:12]}… is no curve"
        raise Misuse(message) from error
    return file, taken
