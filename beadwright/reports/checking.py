"""A certificate's file held against the record: true, altered, not ours, or overtaken since.

Read :func:`check`.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from beadwright.errors import Fault, RecordBroken, Refusal
from beadwright.ledger import rebuild as record
from beadwright.plant.access import Who, may_ask
from beadwright.plant.assessment import Holder, LotAssessment
from beadwright.plant.lifted import lifted
from beadwright.plant.opening import Plant, projections_differing
from beadwright.plant.release import assess
from beadwright.reports.certificate import FIRST_TOLD, content, render
from beadwright.reports.inside import holds, plain
from beadwright.reports.issued import Issued, issued
from beadwright.reports.setting import SETTER

__all__ = ["WORDS", "Checked", "Verdict", "check", "differing"]

Verdict = Literal[
    "true", "altered", "not_ours", "superseded", "on_hold", "pieces_held", "out_of_date"
]

WORDS: dict[Verdict, str] = {
    "true": "true: as issued, and nothing has changed since",
    "altered": "altered: not the file that was issued",
    "not_ours": "not ours: no certificate of this record",
    "superseded": "as issued, but a newer certificate of the lot has taken its place",
    "on_hold": "as issued, but the lot's release no longer stands",
    "pieces_held": "as issued, but a bundle or shipment with pieces of the lot is on hold",
    "out_of_date": "as issued, but the evidence has changed since",
}

_FIGURES = (
    "lot", "product", "title", "plant", "pieces", "limits", "notes", "origin", "released",
    "evidence", "banner",
)  # fmt: skip
_TOLD_SINCE = ("how", "note")
"""What papers issued before it was told do not hold, and what no later entry changes."""

_NUMBER = re.compile(rb"C-[A-Z0-9-]{1,20}-[0-9]{1,6}")


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check has found; of more than one thing amiss the first verdict is the worst."""

    verdict: Verdict
    sha256: str
    """Of the file."""
    number: str = ""
    lot: str = ""
    seq: int = 0
    head: str = ""
    """The head that the certificate states; the chain verifies up to it and beyond."""
    set_again: bool | None = None
    """Whether the record's content, set again now, gives these very bytes; None: other setter."""
    reasons: tuple[str, ...] = field(default=())

    @property
    def good(self) -> bool:
        """Whether the paper may be relied on."""
        return self.verdict == "true"


def check(plant: Plant, pdf: bytes, who: Who) -> Checked:
    """Check the bytes of a file against the certificates of a plant.

    Raises
    ------
    RecordBroken
        If the record does not verify, or not up to the head that the certificate states.
    Refusal
        ``not_allowed``, where the role may not ask.
    """
    if not may_ask(who):
        what = f"{who.account} ({who.role or 'no role'}) may not ask questions of the record"
        raise Refusal([Fault("not_allowed", what, "", "", "Ask somebody whose role allows it.")])
    own = hashlib.sha256(pdf).hexdigest()
    known = issued(plant.no)
    same = [one for one in known if one.sha256 == own]
    _verify(plant, same[-1] if same else None)
    if not same:
        return _stranger(pdf, own, known)
    return _ours(plant, pdf, same[-1], known)


def _verify(plant: Plant, one: Issued | None) -> None:
    head = None
    if one is not None:
        seq, _, text = str(one.content["head"]).partition(":")
        head = (int(seq), text)
    for found in record.broken(plant.code, head):
        raise RecordBroken(found.seq, found.what)
    differing = projections_differing(plant.code)
    if differing:
        # What is set again is read from these tables: changed in secret, they would agree with it.
        what = f"tables that do not say what the record says: {', '.join(differing)}"
        raise RecordBroken(plant.head[0], f"{what}. `beadwright verify` says more.")


def _stranger(pdf: bytes, own: str, known: tuple[Issued, ...]) -> Checked:
    """Tell a file whose bytes were never issued: one that names a number of ours was altered."""
    by_number = {one.number: one for one in known}
    found = (text.decode() for part in plain(pdf) for text in _NUMBER.findall(part))
    named = list(dict.fromkeys(found))
    for number in named:
        if number in by_number:
            one = by_number[number]
            what = (
                f"it says that it is {number} of lot {one.lot}; the file issued under that number"
                f" (entry {one.seq}) has SHA-256 {one.sha256}"
            )
            return Checked("altered", own, number, one.lot, one.seq, reasons=(what,))
    what = f"it names {named[0]}, which was never issued" if named else "it names no certificate"
    return Checked("not_ours", own, reasons=(what,))


def _ours(plant: Plant, pdf: bytes, one: Issued, known: tuple[Issued, ...]) -> Checked:
    asked = assess(plant.no, [one.lot])
    told = next(lot for lot in asked.lots if lot.lot == one.lot)
    set_again = render(one.text) == pdf if one.setter == SETTER else None
    found = [
        *_of_file(pdf, one, set_again),
        *_of_lot(plant, one, told),
        *_of_pieces(one, asked.held),
        *(
            ("superseded", f"newer: {other.number}, entry {other.seq}")
            for other in known
            if other.lot == one.lot and other.seq > one.seq
        ),
    ]
    verdict: Verdict = found[0][0] if found else "true"
    on_it = one.content.get("lifted", ())
    lifts = [f"not on the paper: {each}" for each in lifted(plant, one.lot) if each not in on_it]
    reasons = [*(text for _, text in found), *lifts]
    if set_again is None:
        reasons.append(f"set by {one.setter}; here is {SETTER}: the page was not set again")
    return Checked(
        verdict, one.sha256, one.number, one.lot, one.seq, str(one.content["head"]), set_again,
        tuple(reasons),
    )  # fmt: skip


def _of_file(pdf: bytes, one: Issued, set_again: bool | None) -> Iterator[tuple[Verdict, str]]:  # noqa: FBT001 - not a flag
    """Tell bytes that the entry names, but that its content does not give."""
    if set_again is False:
        what = f"entry {one.seq} names these bytes, but its content, set again, gives others"
        yield "altered", what
    elif not holds(pdf, one.text):
        yield "altered", f"entry {one.seq} names these bytes, but they do not hold its content"


def _of_lot(plant: Plant, one: Issued, told: LotAssessment) -> Iterator[tuple[Verdict, str]]:
    """Tell a release that no longer stands, and figures that are no longer the record's."""
    said = one.content
    if not told.released:
        yield "on_hold", _why_not(told)
        return
    tells = frozenset(said.get("tells", FIRST_TOLD))
    now = content(plant, told, one.number, (one.at_ms, one.by, str(said["paper"])), tells)
    same = {"evidence": said["evidence"]} if told.same(str(said["evidence"])) else {}
    for name, here, there in differing(said, {**json.loads(now.text), **same}):
        yield "out_of_date", f"{name}: {here} on the paper, {there} in the record now"


def _of_pieces(one: Issued, held: Iterable[Holder]) -> Iterator[tuple[Verdict, str]]:
    """Tell bundles and shipments with pieces of the lot that are held, though the lot is not."""
    for each in held:
        if one.lot in each.lots:
            where = "with a receiver" if each.receiver else "in the plant"
            why = "; ".join(f"{up.sentence} ({up.cause.partition('@')[0]})" for up in each.upstream)
            yield "pieces_held", f"{each.code} ({each.what}), {where}, holds pieces of it: {why}"


def _why_not(told: LotAssessment) -> str:
    if told.answer == "may_ship":
        given = f"{len(told.approvals)} of {told.persons}"
        return f"{told.lot} is not released now: {given} people have approved its evidence"
    reason = told.reasons[0]
    return f"{told.lot} may not be relied on now: {reason.sentence} ({reason.source})"


def differing(
    said: Mapping[str, Any], now: Mapping[str, Any]
) -> Iterator[tuple[str, object, object]]:
    """Tell which figures of a certificate differ from those that the record gives now.

    Left out is what may change and harm nothing: its own issue, wordings, who has verified a limit
    since, pieces set aside since, later tests.
    """
    for name in _FIGURES:
        yield from _apart(name, said.get(name), now.get(name))


def _apart(name: str, here: object, there: object) -> Iterator[tuple[str, object, object]]:
    """Go down to the figures that differ; what has grown or shrunk is told by its length."""
    if isinstance(here, Mapping) and isinstance(there, Mapping):
        of = f"{name} ({here['characteristic']})" if "characteristic" in here else name
        left_out = {"status"} | ({*_TOLD_SINCE} - {*here})
        for key in sorted({*here, *there} - left_out):
            yield from _apart(f"{of}, {key}", here.get(key), there.get(key))
    elif isinstance(here, list) and isinstance(there, list):
        if len(here) != len(there):
            yield f"number of {name}", len(here), len(there)
        for i, (one, other) in enumerate(zip(here, there, strict=False), 1):
            yield from _apart(f"{name} {i}", one, other)
    elif here != there:
        yield name, here, there
