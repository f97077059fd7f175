"""An entry in one sentence, in the words of the trade.

Read :func:`sentence`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Line,
    Reading,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.plant.figures import mass
from beadwright.plant.gauge_studies.recorded import KIND as STUDY
from beadwright.plant.gauge_studies.recorded import study_words
from beadwright.plant.history import EntryView
from beadwright.plant.words import STEP_WORDS, in_runs, number, place_of
from beadwright.units import System

__all__ = ["ENTRY_WORDS", "amount", "keyed", "kind_of", "sentence", "step_words"]

ENTRY_WORDS = {
    "step": "step", "readings": "readings", "void": "void of readings", "setting": "setting",
    "hold": "hold", "lift": "lift", "release": "release", "concession": "concession",
    "decision": "decision", "correct": "correction", "reverse": "reversal",
}  # fmt: skip

_DECISION_WORDS = {
    "certificate": "certificate issued", "report": "test report", "signature": "limit signed",
    "report_withdrawn": "report withdrawn", "calibration": "calibration",
    "recall": "stage of a recall",
    "gauge_study": "gauge study",
    "frame_layout": "layout of a load frame's files kept",
    "nc_open": "nonconformity file opened", "nc_note": "note in a nonconformity file",
    "nc_disposition": "disposition", "nc_cause": "cause stated",
    "nc_action": "corrective action", "nc_check": "action checked",
    "nc_close": "nonconformity file closed",
}  # fmt: skip
_STATES_STOCK = frozenset({"weigh", "stocktake"})
"""Steps of which nothing is a statement too."""
_MOST = 6
"""Changes that one line of a history holds."""


def kind_of(view: EntryView) -> str:
    """Give what an entry is, in words."""
    draft = view.entered.draft
    if isinstance(draft, StepDraft):
        return step_words(draft.kind)
    if isinstance(draft, Decision):
        return _DECISION_WORDS.get(draft.kind, draft.kind.replace("_", " "))
    return ENTRY_WORDS[view.entered.kind]


def step_words(kind: str) -> str:
    """Give a kind of step in words."""
    return STEP_WORDS.get(kind, kind.replace("_", " "))


def amount(line: Line, units: System) -> str:
    """Give how much a line moved."""
    pieces = f"{number(line.pieces, 'piece')}, " if line.pieces else ""
    return f"{pieces}{mass(line.mg, units, 3)}"


def keyed(one: Reading) -> str:
    """Give a reading's characteristic, value and unit, as keyed."""
    return f"{one.characteristic.replace('_', ' ')} {one.value} {one.unit}".strip()


def sentence(view: EntryView, lot: str, units: System) -> str:
    """Give what an entry says; of a lot, where one is named."""
    draft = view.entered.draft
    match draft:
        case StepDraft():
            return _step(draft, lot, units)
        case ReadingsDraft():
            return f"{_of_lots(draft.readings, lot)}{_in_place(view)}"
        case Correction():
            return f"{draft.step}{_of(view)} corrected: {_changed(view)}; {draft.reason}"
        case Reversal():
            return f"{draft.step}{_of(view)} reversed; {draft.reason}"
        case Void():
            return f"readings {draft.readings}{_of(view)} {_voided(view)}; {draft.reason}"
        case _:
            return _decided(view, draft)


def _decided(view: EntryView, draft: Draft) -> str:
    text = kind_of(view)
    match draft:
        case Hold():
            text = f"hold {draft.hold} on {in_runs(draft.lots)}; {draft.reason}"
        case Lift():
            named = in_runs(draft.lots)
            text = f"hold {draft.hold}{_of(view)} lifted from {named}; {draft.reason}"
        case Release():
            text = f"release of {draft.lot} over evidence {draft.evidence[:12]}…"
        case Concession():
            text = f"concession on {draft.cause}; {draft.reason}"
        case SettingDraft():
            text = f"{draft.topic} {draft.name}"
        case Decision():
            text = f"{text}: {draft.about}{_told(draft)}"
        case _:
            pass
    return text


def _of(view: EntryView) -> str:
    return "" if view.about is None else f" (entry {view.about})"


def _told(draft: Decision) -> str:
    """Give what a decision says first: its title, result, text or reason; of a calibration all."""
    if draft.kind == "calibration":
        named = {"done": "done", "certificate": "certificate", "due": "holds until",
                 "as_found": "found with an error of", "as_left": "left with one of",
                 "uncertainty": "standard uncertainty"}  # fmt: skip
        said = [f"{word} {draft.body[key]}" for key, word in named.items() if draft.body.get(key)]
        return f": {', '.join([str(draft.body['result']), *said])}"
    if draft.kind == STUDY:
        return f": {study_words(draft.body)}"
    names = ("title", "result", "text", "what", "stage", "reason", "lot")
    first = next((str(draft.body[name]) for name in names if draft.body.get(name)), "")
    return f": {first}" if first else ""


def _step(draft: StepDraft, lot: str, units: System) -> str:
    own = [line for line in draft.lines if line.lot == lot]
    signs = {line.sign for line in own}
    words = step_words(draft.kind)
    if draft.place:
        words += f" at {draft.place}"
    if draft.run:
        words += f", run {draft.run}"
    for line in own:
        way = {1: "in", -1: "out", 0: "stated"}[line.sign]
        keyed_ = f" [{line.keyed}]" if line.keyed and line.keyed != f"{line.pieces} pieces" else ""
        to = f", now at {place_of(line.place)}" if line.place else ""
        if not (line.sign or line.mg or line.pieces) and draft.kind not in _STATES_STOCK:
            words += to
            continue
        words += f"; {way} {amount(line, units)} {line.evidence}{keyed_}{to}"
    for sign, word in ((1, "to"), (-1, "from")):
        others = dict.fromkeys(x.lot for x in draft.lines if x.sign == sign and x.lot != lot)
        if others and (not signs or -sign in signs):
            words += f"; {word} {in_runs(tuple(others))}"
    return words


def _of_lots(taken: Sequence[Reading], lot: str) -> str:
    """Give what was read of a lot; of another, whose test speaks for it, with that lot's code."""
    own = [one for one in taken if lot in {"", one.lot}]
    if own:
        return _readings(own)
    others = ", ".join(dict.fromkeys(one.lot for one in taken if one.lot))
    return f"{_readings(taken)}, of {others}"


def _readings(taken: Sequence[Reading]) -> str:
    parts = []
    for beside, group in groupby(taken, key=_beside):
        parts.append(", ".join(map(keyed, group)) + (f" ({beside})" if beside else ""))
    return "read: " + "; ".join(parts)


def _beside(one: Reading) -> str:
    """Give specimen, instrument and conditions of a reading."""
    conditions = (one.facts.get(name, "") for name in ("place", "state"))
    specimen = f"specimen {one.specimen}" if one.specimen else ""
    return ", ".join(filter(None, (specimen, *conditions, one.instrument)))


def _in_place(view: EntryView) -> str:
    """Say of readings that were restated what they replace, who did, and when it was entered."""
    one = view.restated
    if one is None:
        return ""
    what = f"; in place of entry {one.replaces}: {one.said}"
    return f"{what}; restated by {one.who}, entered {one.entered}; {one.reason}"


def _voided(view: EntryView) -> str:
    one = view.restated
    if one is None or one.entry is None:
        return "voided"
    return f"voided and restated as entry {one.entry}: {one.said}"


def _changed(view: EntryView) -> str:
    said: Iterable[str] = (
        f"{one.field} {one.before or 'nothing'} → {one.after or 'nothing'}"
        for one in view.changes[:_MOST]
    )
    more = len(view.changes) - _MOST
    return "; ".join(said) + (f"; and {number(more, 'field')} more" if more > 0 else "")
