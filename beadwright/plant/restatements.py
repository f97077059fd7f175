"""Readings that stand because earlier ones were restated: by whom, entered when, why, from what.

Read :class:`Restatement`, then :func:`of_readings`. All of it comes from the record's own entries:
a correction's void, the readings that it voids and those that stand in their place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from beadwright.ledger import entered, lots
from beadwright.ledger.draft import Correction, ReadingsDraft, Void
from beadwright.ledger.entered import Entered
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.restated import Change, reading_changes
from beadwright.plant.words import number
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView
from beadwright.quality.versions import MARK, correction_of, next_key, void_key

__all__ = ["Restatement", "by_entry", "of_readings", "of_voids", "restating", "sentences"]

_MOST = 6
"""Changes that one sentence holds."""


@dataclass(frozen=True, slots=True)
class Restatement:
    """Readings taken together that were restated, taken out, or added by a correction."""

    correction: str
    """Client key of the correction; empty of a void by itself."""
    replaces: int | None
    """The entry that the readings stood in before; None of readings that a correction added."""
    void: int | None
    """The entry that voided them."""
    entry: int | None
    """The entry they stand in since; None where they were taken out."""
    by: str
    """Who restated them; empty where nobody is named."""
    account: str
    """Who keyed that."""
    reason: str
    happened_at: int
    """When it was restated, as was said."""
    recorded_at: int
    """When that was entered."""
    dated: str
    """The two as days of the plant's calendar."""
    entered: str
    lots: tuple[str, ...]
    """What was read, before or since."""
    specimens: str
    values: tuple[Change, ...]
    """The values that differ."""
    beside: tuple[Change, ...]
    """What differs beside the values: time, lot, specimen, instrument, conditions."""
    count: int
    """How many readings say something else by it."""

    @property
    def changes(self) -> tuple[Change, ...]:
        """Everything that differs, values first."""
        return (*self.values, *self.beside)

    @property
    def words(self) -> tuple[str, ...]:
        """What differs, in words."""
        return tuple(_told(self, one) for one in self.changes)

    @property
    def said(self) -> str:
        """The same in one text; of many changes the first."""
        return _few(self.words)

    @property
    def who(self) -> str:
        """Who restated them; where nobody is named, the account that keyed it."""
        return self.by or f"account {self.account}"

    @property
    def did(self) -> str:
        """What was done: restated, taken out, or added by a correction."""
        if self.replaces is None:
            return "added"
        return "taken out" if self.entry is None else "restated"


def of_readings(
    plant: tuple[int, str], taken: Iterable[ReadingView], zone: ZoneInfo
) -> tuple[Restatement, ...]:
    """Give the restatements that took some readings out, or put them where they are.

    ``plant`` is its number and code; ``taken`` holds voided readings and those that stand.
    """
    voids: set[int] = set()
    marks: dict[str, int] = {}
    for one in taken:
        if one.voided_by is not None:
            voids.add(one.voided_by)
        if one.facts.get(MARK):
            marks[one.facts[MARK]] = one.seq
    if not voids and not marks:
        return ()
    no, code = plant
    seqs = entered.seqs_of(no, [key for mark in marks for key in (void_key(mark), mark)])
    read = entered.by_number(code, {*voids, *seqs.values(), *marks.values()})
    found = _back(plant, [one for one in read.values() if isinstance(one.draft, Void)], zone)
    replaced = {one.entry for one in found}
    added = [
        _added(read[seq], read.get(seqs.get(mark, 0)), zone)
        for mark, seq in marks.items()
        if seq not in replaced and seq in read
    ]
    return tuple(sorted((*found, *added), key=lambda one: (one.recorded_at, _seq(one))))


def _back(plant: tuple[int, str], voids: Sequence[Entered], zone: ZoneInfo) -> list[Restatement]:
    """Give what voids took out, and what had been restated into that, back to the first."""
    found: dict[int, Restatement] = {}
    while voids:
        more = of_voids(plant, voids, zone)
        found |= more
        before = entered.by_number(plant[1], (one.replaces or 0 for one in more.values()))
        marks = {
            correction_of(one.draft)
            for one in before.values()
            if isinstance(one.draft, ReadingsDraft)
        }
        seqs = entered.seqs_of(plant[0], [void_key(mark) for mark in marks if mark])
        voids = list(entered.by_number(plant[1], set(seqs.values()) - found.keys()).values())
    return list(found.values())


def _seq(one: Restatement) -> int:
    return one.void or one.entry or 0


def of_voids(
    plant: tuple[int, str], voids: Sequence[Entered], zone: ZoneInfo
) -> dict[int, Restatement]:
    """Give what each void took out, and what stands in its place, by the void's entry."""
    no, code = plant
    keys = [one.draft.readings for one in voids if isinstance(one.draft, Void)]
    seqs = entered.seqs_of(no, [each for key in keys for each in (key, next_key(key))])
    read = entered.by_number(code, seqs.values())
    found: dict[int, Restatement] = {}
    for one in voids:
        if not isinstance(one.draft, Void):
            continue
        key, correction = one.draft.readings, correction_of(one.draft)
        old, new = (_readings(read.get(seqs.get(each, 0))) for each in (key, next_key(key)))
        if new is not None and correction_of(new[1]) != correction:
            new = None
        if old is not None:
            found[one.seq] = _restated(one, (old, new), zone)
    return found


_Read = tuple[Entered, ReadingsDraft]


def _readings(one: Entered | None) -> _Read | None:
    draft = None if one is None else one.draft
    return (one, draft) if one is not None and isinstance(draft, ReadingsDraft) else None


def _restated(void: Entered, versions: tuple[_Read, _Read | None], zone: ZoneInfo) -> Restatement:
    assert isinstance(void.draft, Void)  # noqa: S101 - for the reader of types
    old, new = versions
    drafts = [old[1]] if new is None else [old[1], new[1]]
    values, beside = reading_changes(old[1], None if new is None else new[1], zone)
    return Restatement(
        correction=correction_of(void.draft),
        replaces=old[0].seq,
        void=void.seq,
        entry=None if new is None else new[0].seq,
        by=void.draft.by,
        account=void.account,
        reason=void.draft.reason,
        happened_at=void.draft.happened_at,
        recorded_at=void.recorded_at,
        dated=_day(void.draft.happened_at, zone),
        entered=_day(void.recorded_at, zone),
        lots=_lots(drafts),
        specimens=_specimens(drafts[-1]),
        values=values,
        beside=beside,
        count=max(len(one.readings) for one in drafts) if beside else len(values),
    )


def _added(one: Entered, correction: Entered | None, zone: ZoneInfo) -> Restatement:
    """Give readings that a correction wrote where there were none before."""
    assert isinstance(one.draft, ReadingsDraft)  # noqa: S101 - for the reader of types
    said = None if correction is None else correction.draft
    named = said if isinstance(said, Correction) else None
    values, _ = reading_changes(None, one.draft, zone)
    at_ms = one.draft.happened_at if named is None else named.happened_at
    return Restatement(
        correction=correction_of(one.draft),
        replaces=None,
        void=None,
        entry=one.seq,
        by="" if named is None else named.by,
        account=one.account,
        reason="" if named is None else named.reason,
        happened_at=at_ms,
        recorded_at=one.recorded_at,
        dated=_day(at_ms, zone),
        entered=_day(one.recorded_at, zone),
        lots=_lots([one.draft]),
        specimens=_specimens(one.draft),
        values=values,
        beside=(),
        count=len(values),
    )


def _lots(drafts: Iterable[ReadingsDraft]) -> tuple[str, ...]:
    named = (one.lot for draft in drafts for one in draft.readings if one.lot)
    return tuple(dict.fromkeys(named))


def _specimens(draft: ReadingsDraft) -> str:
    return ", ".join(dict.fromkeys(one.specimen for one in draft.readings if one.specimen))


def sentences(found: Sequence[Restatement]) -> Iterator[tuple[str, str]]:
    """Give in a sentence who restated which readings, entered when, from what to what, and why.

    One for all that a person entered on a day for one reason; with it the entries.
    """

    def together(one: Restatement) -> tuple[str, ...]:
        return one.did, one.who, one.reason, one.entered

    for (did, who, reason, day), each in groupby(sorted(found, key=together), together):
        some = list(each)
        what = number(sum(one.count for one in some), "reading")
        dated = dict.fromkeys(one.dated for one in some)
        days = f"entered {day}" + ("" if list(dated) == [day] else f", dated {', '.join(dated)}")
        told = _few([text for one in some for text in one.words])
        why = f'; "{reason}"' if reason else ""
        seqs = ", ".join(str(_seq(one)) for one in some)
        source = f"{'entries' if len(some) > 1 else 'entry'} {seqs}"
        yield f"{what} {did} by {who}, {days}: {told}{why}", source


def _few(told: Sequence[str]) -> str:
    more = f"; and {len(told) - _MOST} more" if len(told) > _MOST else ""
    return "; ".join(told[:_MOST]) + more


def _told(one: Restatement, change: Change) -> str:
    """Give one change in words: a value with its unit once, where it stayed, and its specimen."""
    was, now = change.before, change.after
    if one.did != "restated":
        text = f"{change.field} {was or now}"
    else:
        value, _, unit = was.rpartition(" ")
        if value and change in one.values and now.endswith(f" {unit}"):
            was = value
        text = f"{change.field} {was or 'nothing'} → {now or 'nothing'}"
    alone = one.specimens and one.specimens not in change.field and "," not in one.specimens
    return f"{text} ({one.specimens})" if alone and change in one.values else text


def _day(at_ms: int, zone: ZoneInfo) -> str:
    return datetime.fromtimestamp(at_ms / 1000, zone).date().isoformat()


def by_entry(found: Iterable[Restatement]) -> Mapping[int, Restatement]:
    """Give the restatements by the entry that readings stand in since."""
    return {one.entry: one for one in found if one.entry is not None}


def restating(
    plant_no: int,
    said: Mapping[str, Sequence[ReadingView]],
    tests: Iterable[tuple[str, Iterable[PlannedTest]]],
    zone: ZoneInfo,
) -> dict[str, tuple[Restatement, ...]]:
    """Give the restatements that bear on each of some lots, with the tests that answer for it.

    ``said`` holds the lots' readings, voided ones too.
    """
    proofs = {
        lot: {seq for one in some if one.proof is not None for seq, _ in one.proof.entries}
        for lot, some in tests
    }
    answering = readings.of_entries(plant_no, {seq for some in proofs.values() for seq in some})
    taken = [*(one for some in said.values() for one in some), *answering]
    found = of_readings((plant_no, lots.plant_code(plant_no)), taken, zone)
    into = by_entry(found)
    told = {}
    for lot, entries in proofs.items():
        bearing = {_seq(one) for one in found if lot in one.lots}
        for entry in entries:
            one = into.get(entry)
            while one is not None:
                bearing.add(_seq(one))
                one = into.get(one.replaces or 0)
        told[lot] = tuple(one for one in found if _seq(one) in bearing)
    return told
