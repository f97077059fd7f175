"""Curves kept beside the store: a load frame's export as it came, and how a specimen was taken.

Read :func:`keep_curve` and :func:`kept_curve`. A reading names what is kept here by its hash (fact
``curve``), so that its result can be worked out again from the very file.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass

from beadwright.errors import Misuse
from beadwright.ledger.chain import canonical
from beadwright.plant.attached import content_of, folder, keep_content

__all__ = ["HowTaken", "KeptCurve", "keep_curve", "kept_curve"]

_FORM = "beadwright kept curve 1"


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


@dataclass(frozen=True, slots=True)
class KeptCurve:
    """An export that is kept, with how one specimen of it was taken."""

    sha256: str
    file_sha256: str
    taken: HowTaken
    raw: bytes


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
    try:
        body = json.loads(content_of(sha256, where))
        file = {_FORM: body["file"]}[body["form"]]
        taken = HowTaken(
            body["name"], body["specimen"], tuple((k, v) for k, v in body["answers"]),
            tuple(body["sizes"]), body["span"], body["method"],
        )  # fmt: skip
    except (ValueError, KeyError, TypeError) as error:
        message = f"what is kept under {sha256[:12]}… is no curve"
        raise Misuse(message) from error
    return KeptCurve(sha256, file, taken, content_of(file, where))
