"""What was said: one entry of the record with what became of it, and all that was said of a lot.

Read :func:`entry` and :func:`history`. Everything comes from the record itself, so that both
versions of a step that was corrected are there, and readings that were voided; which other entries
reach a lot (holds above it, reports, nonconformity files) is asked of the projections.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from beadwright.errors import Misuse
from beadwright.ledger import decided, entered, lots
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Hold,
    Lift,
    ReadingsDraft,
    Reversal,
    StepDraft,
    Void,
)
from beadwright.ledger.entered import Entered
from beadwright.plant import nonconforming
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.nc_file import KINDS as FILE_KINDS
from beadwright.plant.nc_file import File
from beadwright.plant.opening import Plant
from beadwright.plant.release import assess, upstream
from beadwright.plant.restated import Change, changes
from beadwright.plant.restatements import Restatement, of_voids
from beadwright.quality import readings
from beadwright.quality.versions import correction_of, void_key

__all__ = ["EntryView", "Follower", "History", "Related", "Source", "entry", "history", "views"]

Related = Literal["names", "restates", "reaches", "covers", "calibrates", "file"]
"""Why an entry belongs to a lot's history: it names the lot; it restates, undoes or voids what
did; it is a decision on what reaches the lot; a report that covers it; a calibration,
entered late, by which readings of it count; a nonconformity file."""

_SHEET = re.compile(r"([a-z][a-z_]*)/([^/]+)(?:/.*)?")
_CORRECTION = re.compile(r"(corrections/[^/]+)(?:/.*)?")
_IMPORT, _SHELL, _SETTING = "import", "shell", "setting"
_AFTER: Mapping[str, str] = {"correct": "restated", "reverse": "reversed", "void": "voided",
                             "lift": "lifted"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Source:
    """Where an entry came from, as its account and client key say."""

    imported: str = ""
    """Id of the import that brought it; empty of what was keyed here."""
    sheet: str = ""
    row: str = ""
    """Number or id of the row, as the sheet itself gives it."""


@dataclass(frozen=True, slots=True)
class Follower:
    """A later entry that says something of this one: restated, reversed, voided, lifted."""

    seq: int
    did: str


@dataclass(frozen=True, slots=True)
class EntryView:
    """One entry with what it speaks of, what it changed, and what became of it."""

    entered: Entered
    source: Source
    about: int | None = None
    """The entry it restates, undoes, voids or lifts, or the hold's; None where it is about none."""
    changes: tuple[Change, ...] = ()
    """Of a correction: field by field, against the version before it; of readings that were
    restated, and of their void, likewise."""
    followers: tuple[Follower, ...] = ()
    restated: Restatement | None = None
    """Of a void, and of readings that stand since: what was restated, by whom, entered when."""
    together: tuple[int, ...] = ()
    """The other entries of the same correction."""

    @property
    def stands(self) -> bool:
        """Whether questions still use it: nothing has restated, reversed or voided it."""
        return all(one.did == "lifted" for one in self.followers)


@dataclass(frozen=True, slots=True)
class History:
    """Everything that was said of a lot, by when it happened, then by number."""

    lot: lots.LotView
    lines: tuple[tuple[EntryView, Related], ...]


def entry(plant: Plant, text: str) -> EntryView:
    """Give the entry of that number, or of that client key.

    Raises
    ------
    Misuse
        If the record holds none.
    """
    asked = text.strip()
    seq = int(asked) if asked.isdecimal() and asked.isascii() else _seq_of(plant, asked)
    found = {} if seq is None or seq > plant.head[0] else entered.by_number(plant.code, [seq])
    if seq is None or seq not in found:
        message = (
            f"the record of {plant.code} has no entry {text!r}: write a number from 1 to"
            f" {plant.head[0]}, or a client key such as mould_runs/17"
        )
        raise Misuse(message)
    return _Later.of(plant).view(found[seq])


def _seq_of(plant: Plant, key: str) -> int | None:
    """Entry of a client key; of a correction that restated readings alone, that of its void."""
    void = void_key(key)
    seqs = entered.seqs_of(plant.no, [key, void])
    found = seqs.get(key, seqs.get(void))
    return readings.marked(plant.no, key) if found is None and key else found


def views(plant: Plant, seqs: Iterable[int]) -> dict[int, EntryView]:
    """Give some entries, each with what it changed and what became of it."""
    later = _Later.of(plant)
    return {seq: later.view(one) for seq, one in entered.by_number(plant.code, seqs).items()}


def history(plant: Plant, code: str, assessed: Iterable[LotAssessment] | None = None) -> History:
    """Give everything that was said of a lot; ``assessed`` is its answer, where that is known.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot = lots.get(plant.no, code)
    if lot is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    later = _Later.of(plant)
    found: dict[int, tuple[Entered, Related]] = {}
    named = entered.naming(plant.code, code, readings.entries_of(plant.no, code))
    _take(found, named, "names")
    _take(found, later.speaking_of({one.draft.key for one in named}), "restates")
    _take(found, _reaching(plant, lot), "reaches")
    told = _assessed(plant, lot, assessed)
    _take(found, entered.by_number(plant.code, _covering(told)).values(), "covers")
    late = {one.calibration.seq for each in told for one in each.came.calibrations}
    _take(found, entered.by_number(plant.code, late).values(), "calibrates")
    _take(found, entered.by_number(plant.code, _files(plant, lot)).values(), "file")
    ordered = sorted(found.values(), key=lambda one: (_when(one[0]), one[0].seq))
    return History(lot, tuple((later.view(one), why) for one, why in ordered))


def _take(found: dict[int, tuple[Entered, Related]], more: Iterable[Entered], why: Related) -> None:
    for one in more:
        found.setdefault(one.seq, (one, why))


def _when(one: Entered) -> int:
    return one.recorded_at if one.draft.happened_at is None else one.draft.happened_at


def _reaching(plant: Plant, lot: lots.LotView) -> list[Entered]:
    """Holds above the lot with their lifts, and concessions on what reaches it."""
    causes = {one.cause for one in upstream(plant.no, lot.code)} | set(lot.causes)
    ids = {cause.removeprefix("hold:").partition("@")[0] for cause in causes if "hold:" in cause}
    said = entered.of_kinds(plant.code, "hold", "lift", "concession")
    ids |= {
        one.draft.hold
        for one in said
        if isinstance(one.draft, Hold | Lift) and lot.code in one.draft.lots
    }
    return [
        one
        for one in said
        if (isinstance(one.draft, Hold | Lift) and one.draft.hold in ids)
        or (isinstance(one.draft, Concession) and one.draft.cause in causes)
    ]


def _assessed(
    plant: Plant, lot: lots.LotView, known: Iterable[LotAssessment] | None
) -> list[LotAssessment]:
    """Give the answer of a lot, where it is one of blocks that were moulded."""
    if lot.kind != "block" or lot.what != "mould run":
        return []
    found = assess(plant.no, [lot.code]).lots if known is None else known
    return [one for one in found if one.lot == lot.code]


def _covering(told: Iterable[LotAssessment]) -> set[int]:
    """Entries of the reports, and readings of other lots, that cover a block lot."""
    return {
        each[0]
        for one in told
        for test in one.tests
        if test.proof is not None
        for each in test.proof.entries
    }


def _files(plant: Plant, lot: lots.LotView) -> set[int]:
    """Every entry of the nonconformity files that the lot, or a cause that reaches it, is in."""
    causes = set(lot.causes)
    numbers = {
        number
        for number, file in nonconforming.folded(plant.no).items()
        if _is_about(file, lot.code, causes)
    }
    said = decided.of_kinds(plant.no, *FILE_KINDS) if numbers else ()
    return {one.seq for one in said if one.about in numbers}


def _is_about(file: File, code: str, causes: set[str]) -> bool:
    complaint = file.complaint
    of_complaint = set() if complaint is None else {complaint.lot, complaint.shipment}
    named = {item.lot for item in file.items} | of_complaint
    return code in named or bool(causes.intersection(file.causes))


@dataclass(frozen=True, slots=True)
class _Later:
    """What was said of earlier entries, by the client key, or the hold, they speak of."""

    plant: Plant
    by_key: Mapping[str, Sequence[Entered]]
    own: Mapping[str, Entered]
    """The same by their own client keys."""
    holds: Mapping[str, int]
    """Entry of each hold, by its id."""
    first: dict[str, Entered] = field(default_factory=dict)
    """Entries that were restated, by client key; read when they are wanted."""
    voids: dict[int, Restatement | None] = field(default_factory=dict)
    """What each void restated, by its entry; read when it is wanted."""

    @classmethod
    def of(cls, plant: Plant) -> _Later:
        """Read them."""
        by_key: dict[str, list[Entered]] = {}
        own: dict[str, Entered] = {}
        for one in entered.of_kinds(plant.code, "correct", "reverse", "void", "lift"):
            by_key.setdefault(_spoken_of(one), []).append(one)
            own[one.draft.key] = one
        said = decided.of_kinds(plant.no, "hold")
        return cls(plant, by_key, own, {one.about: one.seq for one in said})

    def speaking_of(self, keys: Iterable[str]) -> list[Entered]:
        """Give the corrections, reversals and voids of what was posted under some keys."""
        return [
            one
            for key in keys
            for one in self.by_key.get(key, ())
            if not isinstance(one.draft, Lift)
        ]

    def view(self, one: Entered) -> EntryView:
        """Give an entry with what it speaks of and what became of it."""
        restated = self._restated(one)
        return EntryView(
            one,
            _source(one),
            self._about(one) if restated is None else restated.replaces,
            self._changes(one) if restated is None else restated.changes,
            tuple(self._followers(one)),
            restated,
            self._together(one, restated),
        )

    def _restated(self, one: Entered) -> Restatement | None:
        """Give what a void restated, or what readings that a correction wrote stand in place of."""
        void: Entered | None = one
        if isinstance(one.draft, ReadingsDraft):
            void = self.own.get(void_key(correction_of(one.draft)))
        if void is None or not isinstance(void.draft, Void):
            return None
        found = self._of_void(void)
        return found if found is not None and one.seq in {found.void, found.entry} else None

    def _of_void(self, void: Entered) -> Restatement | None:
        if void.seq not in self.voids:
            plant = (self.plant.no, self.plant.code)
            self.voids[void.seq] = of_voids(plant, [void], self.plant.zone).get(void.seq)
        return self.voids[void.seq]

    def _followers(self, one: Entered) -> Iterator[Follower]:
        for each in self._after(one):
            yield Follower(each.seq, _AFTER[each.kind])
            found = self._of_void(each) if isinstance(each.draft, Void) else None
            if found is not None and found.entry is not None:
                yield Follower(found.entry, "restated")

    def _together(self, one: Entered, restated: Restatement | None) -> tuple[int, ...]:
        """Find the other entries of a correction: of step and readings, and what follows them."""
        key = one.draft.key if restated is None else restated.correction
        found = _CORRECTION.fullmatch(key)
        if found is None:
            return ()
        root = found[1]
        same = [each for key, each in self.own.items() if key == root or key.startswith(f"{root}/")]
        seqs = {each.seq for each in same}
        told = (self._of_void(each) for each in same if isinstance(each.draft, Void))
        seqs |= {each.entry for each in told if each is not None and each.entry is not None}
        return tuple(sorted(seqs - {one.seq}))

    def _after(self, one: Entered) -> Iterable[Entered]:
        """Give what was said of an entry; of one that is itself restated, only that."""
        key = f"hold:{one.draft.hold}" if isinstance(one.draft, Hold) else one.draft.key
        if isinstance(one.draft, Correction):
            key = one.draft.step
        after = [each for each in self.by_key.get(key, ()) if each.seq > one.seq]
        restated = isinstance(one.draft, StepDraft | Correction)
        return after[:1] if restated else after

    def _about(self, one: Entered) -> int | None:
        if isinstance(one.draft, Lift):
            return self.holds.get(one.draft.hold)
        key = _spoken_of(one)
        return entered.seqs_of(self.plant.no, [key]).get(key) if key else None

    def _changes(self, one: Entered) -> tuple[Change, ...]:
        if not isinstance(one.draft, Correction):
            return ()
        before = self._version_before(one)
        return () if before is None else changes(before, one.draft.restated, self.plant.zone)

    def _version_before(self, one: Entered) -> StepDraft | None:
        key = _spoken_of(one)
        earlier = [
            each.draft.restated
            for each in self.by_key.get(key, ())
            if each.seq < one.seq and isinstance(each.draft, Correction)
        ]
        if earlier:
            return earlier[-1]
        if key not in self.first:
            seq = entered.seqs_of(self.plant.no, [key])[key]
            self.first[key] = entered.by_number(self.plant.code, [seq])[seq]
        draft = self.first[key].draft
        return draft if isinstance(draft, StepDraft) else None


def _spoken_of(one: Entered) -> str:
    """Client key of what an entry speaks of, or the hold it lifts; empty where it is of none."""
    match one.draft:
        case Correction() | Reversal():
            return one.draft.step
        case Void():
            return one.draft.readings
        case Lift():
            return f"hold:{one.draft.hold}"
        case _:
            return ""


def _source(one: Entered) -> Source:
    way, _, imported = one.account.partition(":")
    found = _SHEET.fullmatch(one.draft.key)
    if way != _IMPORT or found is None or found[1] in (_SHELL, _SETTING):
        return Source(imported if way == _IMPORT else "")
    return Source(imported, found[1], found[2])
