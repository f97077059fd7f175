"""The record: the only code that appends. One transaction, one lock, once per client key.

Read :func:`append` first, then :class:`Append`. What a plant allows is not known here: the judge
and other apps' projections are handed in as :class:`Rules`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from django.db import transaction

from beadwright.errors import Fault, Refusal
from beadwright.ledger import changes, checks, heads, holds, store
from beadwright.ledger.body import SCHEMA, digest, digest_of, kind_of
from beadwright.ledger.chain import Chained, canonical, entry_hash
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.fold import EMPTY, FoldLot, FoldStep, Found, apply
from beadwright.ledger.projection import (
    Rows,
    content_lot,
    decision_row,
    fold_step,
    hold_step,
    new_lot,
    time_after,
)
from beadwright.ledger.refold import Refold
from beadwright.ledger.rules import Rules
from beadwright.ledger.texts import content_of, text_faults
from beadwright.ledger.undisturbed import undisturbed

__all__ = ["Append", "Posted", "Stamp", "append", "foresee"]


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who keyed it and when the record took it."""

    account: str
    recorded_at: int


@dataclass(frozen=True, slots=True)
class Posted:
    """What became of a draft: its place in the record, and the nonconformities it raised."""

    key: str
    seq: int
    hash: str
    repeated: bool = False
    """The same draft had been posted before; nothing was written."""
    found: tuple[Found, ...] = ()


def append(plant: str, drafts: Sequence[Draft], stamp: Stamp, rules: Rules) -> tuple[Posted, ...]:
    """Append drafts in one transaction: all of them, or none.

    Raises
    ------
    Refusal
        With every structural fault of every draft; nothing was written.
    """
    try:
        with undisturbed(), transaction.atomic():
            posted = Append(plant, stamp, rules).take(drafts)
    except BaseException:
        heads.forget()
        raise
    store.grown([one.seq for one in posted if not one.repeated])
    return posted


def foresee(plant: str, draft: Draft, now_ms: int, rules: Rules) -> list[Fault]:
    """Give every reason why a planned draft would be refused; writes nothing, takes no lock."""
    return Append(plant, Stamp("", now_ms), rules, lock=False).foresee(draft)


class Append:
    """One append under the lock of the plant's head."""

    def __init__(self, plant: str, stamp: Stamp, rules: Rules, *, lock: bool = True) -> None:
        """Lock the head (under SQLite the immediate transaction has done so)."""
        self.plant = plant
        self._stamp, self._account = stamp, canonical(stamp.account)
        self._rules = rules
        self._head = heads.lock(plant) if lock else heads.look(plant) or heads.nobody(plant)
        self._lots: dict[str, FoldLot] = {}
        self._known: dict[str, store.StoredLot] = {}
        self._introduced: dict[str, str] = {}
        self._entries: list[tuple[object, ...]] = []
        self._keys: list[tuple[object, ...]] = []
        self._used: dict[str, tuple[int, str]] = {}
        self._rows = Rows(self._head.no)
        self._steps: list[FoldStep] = []
        self._readings: list[tuple[int, ReadingsDraft | Void]] = []
        self._since: dict[str, int] = {}
        self._folded = False
        self._found: dict[int, tuple[Found, ...]] = {}

    def take(self, drafts: Sequence[Draft]) -> tuple[Posted, ...]:
        """Append the drafts in the order given, and fold what they change."""
        self._look_up(drafts)
        faults: list[Fault] = []
        posted: list[Posted] = []
        for sent in drafts:
            if faults and not isinstance(sent, StepDraft | ReadingsDraft):
                continue  # what it speaks of may be among the refused
            draft = self._timed(sent)
            wrong = self._structural(draft)
            if wrong:
                faults += wrong
            elif not faults:
                posted.append(self._one(draft, sent))
        if faults:
            raise Refusal(faults)
        self._flush()
        heads.write(self.plant, self._head)
        return tuple(
            Posted(p.key, p.seq, p.hash, p.repeated, self._found.get(p.seq, ())) for p in posted
        )

    def foresee(self, sent: Draft) -> list[Fault]:
        """Faults of a draft as things stand now."""
        self._look_up([sent])
        draft = self._timed(sent)
        faults = self._structural(draft)
        if faults:
            return faults
        content_of(draft)
        if draft.key in self._used:
            return changes.other_content(draft, self._used, digest_of(sent))
        if isinstance(draft, Correction | Reversal):
            return changes.restatement_faults(self._head.no, draft)
        if isinstance(draft, ReadingsDraft | Void):
            return self._rules.unread(self._head.no, draft)
        if self._rules.asks(draft):
            return self._undecidable(draft)
        return self._forbidden(draft) if isinstance(draft, StepDraft) else []

    def _forbidden(self, draft: StepDraft) -> list[Fault]:
        step = fold_step(self._head.seq + 1, draft, _Numbers(self._lots))
        known = {lot[0].no: lot[2] for lot in self._known.values()}
        states = {line.lot: known.get(line.lot, EMPTY) for line in step.lines}
        by_no = {lot.no: lot for lot in self._lots.values()}
        settings_, concessions = heads.in_force(self.plant, self._head)
        _, found = apply(step, by_no, states, (self._rules.judge, settings_, concessions))
        return self._faults_of(draft, found) + self._rules.planned(
            self._head.no, draft, self._lots, states
        )

    def _undecidable(self, draft: Release | Lift | Decision) -> list[Fault]:
        return self._rules.undecidable(self._head.no, draft, self._stamp.recorded_at)

    def _timed(self, draft: Draft) -> Draft:
        """Time a planned step under the lock, and say since when a hold on a place counts."""
        if isinstance(draft, Hold):
            since = holds.since(self._head.no, draft, self._lots)
            return draft if since is None else replace(draft, since=since)
        if not isinstance(draft, StepDraft) or not draft.planned:
            return draft
        self._flush()
        self._refresh()
        at_ms = self._stamp.recorded_at
        for code in checks.codes_of(draft):
            if code in self._known:
                at_ms = max(at_ms, time_after(self._known[code][1][0]))
        return replace(draft, happened_at=at_ms)

    def _faults_of(self, draft: StepDraft, found: Iterable[Found]) -> list[Fault]:
        names = {lot.no: lot.code for lot in self._lots.values()}
        return [
            Fault(f.code, f.detail, names.get(f.lot, "") if f.lot else "", draft.key)
            for f in found
            if f.code not in self._rules.notices
        ]

    def _refuse_planned(self, draft: StepDraft, seq: int) -> None:
        states = {lot[0].no: lot[2] for lot in self._known.values()}
        faults = self._rules.planned(self._head.no, draft, self._lots, states)
        self._flush()
        faults = self._faults_of(draft, self._found.get(seq, ())) + faults
        if faults:
            raise Refusal(faults)

    def _look_up(self, drafts: Sequence[Draft]) -> None:
        codes: set[str] = set()
        keys: list[str] = []
        for draft in drafts:
            codes.update(checks.codes_of(draft))
            keys.append(draft.key)
        self._known = store.lots_by_code(self._head.no, codes)
        self._lots = {code: lot[0] for code, lot in self._known.items()}
        self._used = changes.used_keys(self._head.no, keys)

    def _structural(self, draft: Draft) -> list[Fault]:
        """Faults that do not depend on what the plant allows."""
        now = self._stamp.recorded_at
        faults = list(text_faults(draft))
        if isinstance(draft, StepDraft):
            faults += self._new_lots(draft.key, draft)
            return faults + list(checks.step_faults(draft, self._lots, now))
        faults += checks.key_faults(draft.key)
        times = [draft.happened_at, *([draft.since or 0] if isinstance(draft, Hold) else [])]
        faults += [
            fault for at in times if (fault := checks.time_fault(at, now, draft.key)) is not None
        ]
        if isinstance(draft, Correction):
            self._flush()
            faults += self._new_lots(draft.key, draft.restated)
            # What is restated has happened: it needs a time, planned or not as it was once.
            faults += checks.step_faults(replace(draft.restated, planned=False), self._lots, now)
            if draft.restated.key != draft.step:
                faults.append(Fault("key_differs", "a correction keeps the key", "", draft.key))
        elif isinstance(draft, SettingDraft):
            faults += checks.place_faults(content_lot(draft), self._lots, draft.key)
        elif isinstance(draft, Hold | Lift | Release | ReadingsDraft):
            faults += [
                checks.lot_fault(c, draft.key)
                for c in checks.codes_of(draft)
                if c not in self._lots
            ]
        if isinstance(draft, Hold | Lift | Concession) and draft.key not in self._used:
            self._flush()
            faults += holds.decision_faults(self._head.no, draft)
        return faults

    def _new_lots(self, key: str, draft: StepDraft) -> list[Fault]:
        """Number the lots a step introduces; a correction may say anew what its own are."""
        faults: list[Fault] = []
        if key in self._used:
            return faults
        seen: set[str] = set()
        for new in draft.new_lots:
            old = self._lots.get(new.code)
            if old is None:
                self._head.lots += 1
                self._lots[new.code] = new_lot(self._head.lots, new)
                self._introduced[new.code] = draft.key
                at_ms = draft.happened_at or 0
                self._rows.add_lot(self._head.seq + 1, at_ms, self.plant, new, self._lots[new.code])
            elif key != draft.key and new.code not in seen and self._brought(new.code, draft.key):
                self._lots[new.code] = new_lot(old.no, new)
            else:
                what = f"lot {new.code} is in the record already"
                remedy = "Give the new lot a code of its own."
                faults.append(Fault("lot_exists", what, new.code, draft.key, remedy))
            seen.add(new.code)
        return faults

    def _brought(self, code: str, step: str) -> bool:
        """Whether a step, itself or in a correction, brought a lot into the record."""
        by = self._introduced.get(code) or changes.introduced_by(self.plant, self._head.no, code)
        return by == step

    def _one(self, draft: Draft, sent: Draft) -> Posted:
        content = content_of(draft)
        filled = sent is not draft or isinstance(draft, Hold)
        own = digest_of(sent) if filled else digest(content)
        if draft.key in self._used:
            other = changes.other_content(draft, self._used, own)
            if other:
                raise Refusal(other)
            return Posted(draft.key, self._used[draft.key][0], "", repeated=True)
        if isinstance(draft, Correction | Reversal | Hold) or self._rules.asks(draft):
            self._flush()
        if self._rules.asks(draft) and (wrong := self._undecidable(draft)):
            raise Refusal(wrong)
        seq = self._chain(draft, content)
        self._used[draft.key] = (seq, own)
        self._keys.append((self._head.no, draft.key, seq, own))
        self._project(seq, draft)
        if isinstance(draft, StepDraft) and draft.planned:
            self._refuse_planned(draft, seq)
        return Posted(draft.key, seq, self._head.hash)

    def _chain(self, draft: Draft, content: str) -> int:
        head, at_ms = self._head, self._stamp.recorded_at
        body = f'{{"account":{self._account},"draft":{content},"recorded_at":{at_ms}}}'
        kind, seq = kind_of(draft), head.seq + 1
        entry = Chained(self.plant, seq, kind, SCHEMA, body, head.hash, "")
        own = entry_hash(entry)
        self._entries.append((*entry[:-1], own))
        head.seq, head.hash = seq, own
        return seq

    def _project(self, seq: int, draft: Draft) -> None:
        numbers = _Numbers(self._lots)
        if isinstance(draft, StepDraft):
            step = fold_step(seq, draft, numbers)
            self._steps.append(step)
            self._rows.add_step(step, seq)
            self._rows.add_losses(seq, draft)
            self._rows.add_labels(seq, draft, numbers)
            return
        decision = decision_row(self._head.no, seq, draft)
        if decision is not None:
            self._rows.decisions.append(decision)
        if isinstance(draft, ReadingsDraft | Void):
            self._readings.append((seq, draft))
        elif isinstance(draft, SettingDraft):
            self._set(seq, draft)
        elif isinstance(draft, Concession | Release):
            self._head.rules = seq
            self._rejudge(draft.happened_at, "ship" if isinstance(draft, Release) else "")
        elif isinstance(draft, Correction | Reversal):
            self._flush_entries()
            self._found[seq] = changes.restate(self._refold(), self._head.no, seq, draft, numbers)
            self._folded = True
        elif isinstance(draft, Hold | Lift):
            step = hold_step(seq, draft, numbers)
            self._steps.append(step)
            self._rows.add_step(step, seq)

    def _set(self, seq: int, draft: SettingDraft) -> None:
        self._rows.add_setting(seq, draft)
        self._head.rules = seq
        new = content_lot(draft)
        if new is not None and new.code not in self._lots:
            self._head.lots += 1
            self._lots[new.code] = new_lot(self._head.lots, new)
            self._rows.add_lot(seq, draft.happened_at, self.plant, new, self._lots[new.code])
        if draft.topic in self._rules.judged:
            self._rejudge(draft.happened_at if draft.since is None else draft.since)

    def _rejudge(self, since: int, kind: str = "") -> None:
        self._since[kind] = min(self._since.get(kind, since), since)

    def _flush_entries(self) -> None:
        store.insert("entry", "plant, seq, kind, schema, body, prev, hash", self._entries)
        store.insert("posted", "p, key, seq, digest", self._keys)
        self._entries.clear()
        self._keys.clear()
        self._rows.write()

    def _flush(self) -> None:
        """Write what was gathered, and fold the new steps with what they change downstream."""
        self._flush_entries()
        if self._readings:
            self._rules.readings(self._head.no, self.plant, self._readings)
            self._readings = []
        if not self._steps and not self._since:
            return
        self._refresh()
        refold = self._refold()
        if self._since:
            new = {step.no for step in self._steps}
            refold.again(changes.steps_since(self._head.no, self._since, new))
        used = {line.lot for step in self._steps for line in step.lines}
        have = [lot for lot in self._known.values() if lot[0].no in used]
        fresh = [
            (lot, (0, 0), EMPTY)
            for code, lot in self._lots.items()
            if lot.no in used and code not in self._known
        ]
        refold.know([*have, *fresh])
        for step in self._steps:
            refold.add(step)
        self._found.update({no: tuple(found) for no, found in refold.settle().items()})
        self._steps, self._since, self._folded = [], {}, True

    def _refresh(self) -> None:
        """Read again how lots stand, where this append has changed that already."""
        if self._folded:
            self._known.update(store.lots_by_code(self._head.no, self._lots))
            self._folded = False

    def _refold(self) -> Refold:
        found = heads.in_force(self.plant, self._head)
        return Refold(self._head.no, self._rules.judge, found[0], found[1])


class _Numbers(Mapping[str, int]):
    """Lot numbers by code, as the fold's lines want them."""

    def __init__(self, lots: Mapping[str, FoldLot]) -> None:
        self._lots = lots

    def __getitem__(self, code: str) -> int:
        return self._lots[code].no

    def __iter__(self) -> Iterator[str]:
        return iter(self._lots)

    def __len__(self) -> int:
        return len(self._lots)
