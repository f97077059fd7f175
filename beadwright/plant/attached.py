"""Photographs, letters, reports: files kept beside the store under the hash of their content.

Read :func:`keep` and :func:`damaged`. The record holds hash, name and size; the content lies in
``<store>.files/ab/abcdef…``, or where BEADWRIGHT_FILES says (a PostgreSQL has no file beside it).
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from django.db import connection

from beadwright.errors import Misuse
from beadwright.ledger import decided
from beadwright.plant.gauge_studies.recorded import studies
from beadwright.plant.nc_file import KINDS, Attachment, attachments, fold
from beadwright.quality import readings
from beadwright.quality.conditions import CURVE

__all__ = [
    "FOLDER",
    "Damaged",
    "content_of",
    "damaged",
    "folder",
    "keep",
    "keep_content",
    "path_of",
    "referred",
]

FOLDER = "BEADWRIGHT_FILES"
"""Environment variable that says where the files are kept."""

_CHUNK = 1 << 20
_REPORT = "report"
_SHA = re.compile(r"[0-9a-f]{64}")
_READ_ONLY = 0o444


@dataclass(frozen=True, slots=True)
class Damaged:
    """A file that the record refers to and that is not there as it was."""

    about: str
    """Number of the nonconformity file, or of the report; of a curve or of evidence that was
    signed, the lot; of a study's sheet, the instrument."""
    name: str
    sha256: str
    path: str
    what: Literal["missing", "altered"]


def folder() -> Path:
    """Give the folder of this store's files; it need not be there yet.

    Raises
    ------
    Misuse
        If the store is no file and nothing says where else.
    """
    named = os.environ.get(FOLDER)
    if named:
        return Path(named)
    store = str(connection.settings_dict["NAME"] or "")
    if connection.vendor == "sqlite" and Path(store).is_file():
        return Path(f"{store}.files")
    message = f"set {FOLDER} to the folder where photographs and letters of this store are kept"
    raise Misuse(message)


def path_of(where: Path, sha256: str) -> Path:
    """Give where a content lies under a folder."""
    return where / sha256[:2] / sha256


def keep(source: Path, where: Path) -> Attachment:
    """Copy a file to where the store's files are; the same content is kept once.

    It is written whole under another name first, so that no half of a file stands under a hash.

    Raises
    ------
    Misuse
        If it cannot be read, or is no file.
    """
    if not source.is_file():
        message = f"{source} is no file: check the path"
        raise Misuse(message)
    if not source.stat().st_size:
        message = f"{source} is empty: take the picture, or export the letter, again"
        raise Misuse(message)
    where.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=".coming-", dir=where)
    coming = Path(name)
    try:
        with source.open("rb") as given, os.fdopen(handle, "wb") as copy:
            digest, size = hashlib.sha256(), 0
            while chunk := given.read(_CHUNK):
                digest.update(chunk)
                size += copy.write(chunk)
            copy.flush()
            os.fsync(copy.fileno())
        sha256 = digest.hexdigest()
        target = path_of(where, sha256)
        target.parent.mkdir(exist_ok=True)
        if not target.is_file() or _hash(target) != sha256:
            coming.chmod(_READ_ONLY)
            coming.replace(target)
    except OSError as error:
        message = f"{source} cannot be kept in {where}: {error.strerror}"
        raise Misuse(message) from error
    finally:
        coming.unlink(missing_ok=True)
    return Attachment(sha256, source.name, size)


def keep_content(content: bytes, name: str, where: Path) -> Attachment:
    """Keep what is at hand as bytes; ``name`` is what it is called in messages.

    Raises
    ------
    Misuse
        As :func:`keep`.
    """
    with tempfile.TemporaryDirectory() as apart:
        source = Path(apart) / (Path(name).name or "file")
        source.write_bytes(content)
        return keep(source, where)


def content_of(sha256: str, where: Path) -> bytes:
    """Give a content that is kept.

    Raises
    ------
    Misuse
        If it is missing, or is not what was kept.
    """
    path = path_of(where, sha256) if _SHA.fullmatch(sha256) else None
    if path is None or not path.is_file():
        message = f"nothing is kept under {sha256[:12]}…: look for the files beside the store"
        raise Misuse(message)
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != sha256:
        message = f"what was kept under {sha256[:12]}… was altered: take it from a backup"
        raise Misuse(message)
    return content


def referred(plant_no: int) -> list[tuple[str, str, str]]:
    """Everything that the record refers to: what it belongs to, its name, its hash."""
    found = [
        (file.number, one.name, one.sha256)
        for file in fold(decided.of_kinds(plant_no, *KINDS)).values()
        for one in attachments(file)
    ]
    for report in decided.of_kinds(plant_no, _REPORT):
        sha256 = report.body.get("file")
        if isinstance(sha256, str) and sha256:
            found.append((report.about, "report", sha256))
    found += [(one.instrument, "study", one.sheet) for one in studies(plant_no)]
    return found + list(_curves(plant_no)) + list(_signed(plant_no))


def _curves(plant_no: int) -> Iterator[tuple[str, str, str]]:
    """Give what readings name, and the exports that lie behind it where it is there."""
    stated = readings.with_fact(plant_no, CURVE, voided=True)
    for lot, sha256 in dict.fromkeys((one.lot, one.facts[CURVE]) for one in stated):
        yield lot, "curve", sha256
        with suppress(Misuse, ValueError, KeyError, TypeError):
            yield lot, "export", json.loads(content_of(sha256, folder()))["file"]


def _signed(plant_no: int) -> Iterator[tuple[str, str, str]]:
    """Give the evidence of releases, where it was kept when it was signed."""
    with suppress(Misuse):
        where = folder()
        for lot, sha256 in decided.evidence_signed(plant_no):
            if path_of(where, sha256).is_file():
                yield lot, "evidence", sha256


def damaged(plant_no: int) -> tuple[Damaged, ...]:
    """Give what the record refers to and is missing or altered; nothing where all is well."""
    said = referred(plant_no)
    if not said:
        return ()
    try:
        where = folder()
    except Misuse:
        return tuple(Damaged(*one, f"{FOLDER} is not set", "missing") for one in said)
    return tuple(_damaged(said, where))


def _damaged(said: Iterable[tuple[str, str, str]], where: Path) -> Iterable[Damaged]:
    for about, name, sha256 in said:
        path = path_of(where, sha256)
        if not path.is_file():
            yield Damaged(about, name, sha256, str(path), "missing")
        elif _hash(path) != sha256:
            yield Damaged(about, name, sha256, str(path), "altered")


def _hash(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
