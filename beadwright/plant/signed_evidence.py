"""The evidence that a release is over: kept as it was signed, looked at again, held against now.

Read :func:`signed_evidence`. What was hashed is a text; as a release is entered it is kept beside
the store under that hash, so that nobody can put another in its place.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from beadwright.errors import Misuse
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.attached import content_of, folder, keep_content
from beadwright.plant.bounds import OWN, own_words
from beadwright.plant.release import assess

__all__ = ["Shown", "SignedEvidence", "keep_signed", "signed_evidence"]

_LIMIT = 10
_STATED = 10
"""Parts of a limit that every version of the text has."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A part of the evidence, as a table."""

    title: str
    columns: tuple[str, ...]
    """As the tables of an entry have them."""
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class SignedEvidence:
    """What a release was given over."""

    sha256: str
    same_now: bool
    """Whether the evidence there is now is this one."""
    text: str | None
    """What was hashed; None where it was not kept and is no longer what there is."""
    words: str
    """How it is known, or why it is not."""
    shown: tuple[Shown, ...] = ()
    changed: tuple[str, ...] = ()
    """What is otherwise in the evidence there is now."""


def keep_signed(lot: LotAssessment) -> None:
    """Keep the evidence of a lot that is being signed; nothing where the store has no files."""
    if lot.written:
        with suppress(Misuse):
            keep_content(lot.written.encode(), "evidence.json", folder())


def signed_evidence(plant_no: int, lot: str, sha256: str) -> SignedEvidence:
    """Give the evidence of a lot that a release names by its hash."""
    now = _now(plant_no, lot)
    same = now is not None and now.same(sha256)
    text = _kept(sha256)
    words = "Kept as it was signed; its hash is the one that the release names."
    if text is None and now is not None and _hash(now.written) == sha256:
        text, words = now.written, "The evidence there is now has the hash that the release names."
    if text is None:
        words = "It was not kept when it was signed" + (
            "; the evidence there is now is the same, hashed as the tool does now."
            if same
            else ", and the evidence there is now is another."
        )
        return SignedEvidence(sha256, same, None, words)
    body: Mapping[str, Any] = json.loads(text)
    after = {} if now is None or not now.written else json.loads(now.written)
    changed = () if same else tuple(_changes(body, after))
    return SignedEvidence(sha256, same, text, words, tuple(_shown(body)), changed)


def _now(plant_no: int, lot: str) -> LotAssessment | None:
    try:
        found = assess(plant_no, [lot], way_back=False).lots
    except Misuse:  # a correction has taken the lot out
        return None
    return next((one for one in found if one.lot == lot), None)


def _kept(sha256: str) -> str | None:
    try:
        return content_of(sha256, folder()).decode()
    except Misuse:
        return None


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _shown(body: Mapping[str, Any]) -> Iterator[Shown]:
    yield Shown(
        "Readings", ("entry", "characteristic", "value>", "unit", "specimen"),
        tuple((str(seq), _plain(name), value, unit, specimen)
              for seq, _, name, value, unit, specimen, _ in body["readings"]),
    )  # fmt: skip
    yield _limits("Limits of the lot's own readings", body["limits"])
    for test in body.get("tests", ()):
        proof = test[6]
        if proof:
            yield _limits(f"{_plain(test[2])}: {_plain(test[1])}, {_by(proof)}", proof[9])
    causes = tuple((cause, "closed" if shut else "open") for cause, _, shut in body["causes"])
    if causes:
        yield Shown("Holds and nonconformities that reached it", ("cause", "then"), causes)
    aside = tuple((instrument, words) for instrument, words, _ in body.get("aside", ()))
    if aside:
        yield Shown("Readings that were no evidence", ("instrument", "why"), aside)


def _by(proof: Sequence[Any]) -> str:
    report, lot, laboratory = proof[:3]
    return f"report {report}, {laboratory}" if report else f"readings of {lot}"


def _limits(title: str, limits: Sequence[Sequence[Any]]) -> Shown:
    rows = tuple(
        (_plain(one[1]), one[3], f"{one[2]} {one[4]}", _plain(one[7]), _source(one))
        for one in limits
    )
    return Shown(title, ("characteristic", "of", "limit", "found", "source"), rows)


def _source(limit: Sequence[Any]) -> str:
    """Give the source of a limit; of the plant's own it is what its setting said."""
    is_own = len(limit) > _STATED and str(limit[_STATED]).startswith(OWN)
    return own_words(limit[6]) if is_own else str(limit[6])


def _changes(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    """Say what is otherwise now, part by part."""
    if not now:
        yield "the lot is no longer in the record as a lot of blocks"
        return
    if was["answer"] != now["answer"]:
        yield f"the answer was {_plain(was['answer'])} and is {_plain(now['answer'])}"
    before, after = ({tuple(one) for one in body["readings"]} for body in (was, now))
    for what, some in (("since", after - before), ("no longer among it", before - after)):
        if some:
            told = ", ".join(map(str, sorted({one[0] for one in some})))
            yield f"readings {what}: entries {told}"
    of = [{one[0]: one[:_LIMIT] for one in body["limits"]} for body in (was, now)]
    names = sorted(name for name in of[0] | of[1] if of[0].get(name) != of[1].get(name))
    if names:
        yield f"limits, or what was found by them: {', '.join(names)}"
    for part, words in _PARTS.items():
        if part in was and part in now and was[part] != now[part]:
            yield words
    if was["version"] != now["version"]:
        yield "the tool's hash covers more since"


_PARTS: Mapping[str, str] = {
    "product": "what the product is set to be",
    "ties": "the ties",
    "causes": "holds and nonconformities that reach it",
    "ages": "rules of age",
    "tests": "tests that the plan asks besides",
    "aside": "readings that are no evidence",
    "first_pieces": "first pieces",
}


def _plain(text: str) -> str:
    return text.replace("_", " ")
