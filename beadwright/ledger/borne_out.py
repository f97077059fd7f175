"""What one lot rests on in the tables, held against the record; nothing is written.

Read :func:`decided_differing`, then :func:`steps_differing`. A comparison of every table takes as
long as a rebuild (``compared``); before a lot is released, what it was made of is looked at: each
step on the way back to where its places were last swept empty is read from the record and judged
anew, from what is stored of the moment before.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from beadwright.ledger import holds, rebuild, settings, store
from beadwright.ledger.body import decode
from beadwright.ledger.draft import Correction, Draft, Hold, Lift, SettingDraft, StepDraft
from beadwright.ledger.fold import EMPTY, FoldLot, FoldStep, Judge, State, apply
from beadwright.ledger.projection import Rows, decision_row, fold_step, hold_step, new_lot, place_of
from beadwright.ledger.way_back import Window, way_back

__all__ = ["decided_differing", "steps_differing"]

_DECIDED = ("setting", "hold", "lift", "release", "concession", "decision", "void")
_LOT = re.compile(r'"lot":"([A-Z0-9-]{1,20})"')
_CHUNK = 5000


def decided_differing(plant: str, no: int) -> set[str]:
    """Tables of settings and decisions that do not hold what their entries say."""
    rows = Rows(no)
    marks = ",".join(["%s"] * len(_DECIDED))
    sql = f"SELECT seq, kind, body FROM ledger_entry WHERE plant=%s AND kind IN ({marks})"
    for seq, kind, body in store.select(sql, [plant, *_DECIDED]):
        draft = decode(kind, json.loads(body)["draft"])
        if isinstance(draft, SettingDraft):
            rows.add_setting(seq, draft)
        elif (row := decision_row(no, seq, draft)) is not None:
            rows.decisions.append(row)
    columns = {
        "setting": ("p, seq, topic, name, since, body", rows.settings),
        "decision": ("p, seq, kind, about, at_ms, by, body", rows.decisions),
    }
    return {
        table
        for table, (names, said) in columns.items()
        if set(store.select(f"SELECT {names} FROM ledger_{table} WHERE p=%s", [no])) != set(said)
    }


def steps_differing(plant: str, no: int, code: str, judge: Judge) -> set[str]:
    """Tables that do not hold what the record says of a lot and of the way it came by."""
    lot = store.lots_by_code(no, [code]).get(code)
    if lot is None:
        return {"lot"}
    steps, windows = way_back(no, lot[0].no)
    return _Compared(plant, no, judge).of(lot, steps, windows)


@dataclass(slots=True)
class _Compared:
    """One comparison: what was read of the record for it, and what was found to differ."""

    plant: str
    no: int
    judge: Judge
    newest: Mapping[str, rebuild.Newest] = field(default_factory=dict)
    found: set[str] = field(default_factory=set)

    def of(
        self, lot: store.StoredLot, steps: set[int], windows: Mapping[int, Sequence[Window]]
    ) -> set[str]:
        self.newest, described = rebuild.newest(self.plant)
        entries = dict(self._entries(steps))
        said = {no: self._said(draft) for no, draft in entries.items()}
        codes = {code for draft, _, _ in said.values() for code in _codes(draft)}
        lots = {one[0].code: one[0] for one in store.lots_by_code(self.no, codes).values()}
        if codes - lots.keys() or steps - said.keys():
            return {"lot" if codes - lots.keys() else "step"}
        self._lots(entries.values(), lots, described)
        numbers = {code: one.no for code, one in lots.items()}
        folded = {no: _folded(no, draft, numbers) for no, (draft, _, _) in said.items()}
        self._places(folded, {no: (one[1] or no, one[2]) for no, one in said.items()})
        self._judged(
            {no: step for no, step in folded.items() if not said[no][2]},
            {one.no: one for one in lots.values()},
        )
        last = store.last_touch(self.no, lot[0].no)
        end = ((0, 0), EMPTY) if last is None else ((last[0], last[1]), State(*last[2:]))
        if lot[1:] != end:
            self.found.add("lot")
        if any(self._left_out(steps, windows)):
            self.found.add("touch")
        return self.found

    def _entries(self, steps: Iterable[int]) -> Iterator[tuple[int, Draft]]:
        for batch in store.parts(sorted(steps)):
            marks = ",".join(["%s"] * len(batch))
            sql = (
                "SELECT seq, kind, body FROM ledger_entry"
                f" WHERE plant=%s AND seq IN ({marks}) AND kind IN ('step', 'hold', 'lift')"
            )
            for seq, kind, body in store.select(sql, [self.plant, *batch]):
                yield seq, decode(kind, json.loads(body)["draft"])

    def _said(self, draft: Draft) -> tuple[Draft, int, bool]:
        """Give the newest version of a step, the entry that restated it (or 0), whether undone."""
        last = self.newest.get(draft.key)
        if last is None:
            return draft, 0, False
        return last.restated or draft, last.seq, last.reversed

    def _lots(
        self,
        drafts: Iterable[Draft],
        lots: Mapping[str, FoldLot],
        described: rebuild.Described,
    ) -> None:
        """Compare what lots are with the step that brought them in, as it was last described."""
        for draft in drafts:
            for new in draft.new_lots if isinstance(draft, StepDraft) else ():
                held = lots.get(new.code)
                told = described.get((draft.key, new.code), new)
                if held is not None and held != new_lot(held.no, told):
                    self.found.add("lot")

    def _places(
        self, folded: Mapping[int, FoldStep], restated: Mapping[int, tuple[int, bool]]
    ) -> None:
        """Compare each step's row: what it is, when, which entry says it, whether it was undone."""
        columns = (
            "no, seq, reversed, kind, k, tie, at_ms, product, place, run, by, facts, remainder_mg"
        )
        held = {}
        for batch in store.parts(folded):
            marks = ",".join(["%s"] * len(batch))
            sql = f"SELECT {columns} FROM ledger_step WHERE p=%s AND no IN ({marks})"
            held.update({row[0]: row[1:] for row in store.select(sql, [self.no, *batch])})
        for no, step in folded.items():
            seq, undone = restated[no]
            if held.get(no) != (seq, undone, *place_of(step)):
                self.found.add("step")

    def _judged(self, steps: Mapping[int, FoldStep], lots: Mapping[int, FoldLot]) -> None:
        """Apply each step to what is stored of the moment before, and compare what it leaves."""
        rules = (self.judge, settings.load(self.no), holds.concessions(self.no))
        stored: dict[int, list[object]] = {no: [] for no in steps}
        for no, *kept in store.lines_of(self.no, steps):
            stored[no].append(tuple(kept))
        prior = store.states_prior(self.no, steps)
        findings = store.findings_of(self.no, steps)
        for no, step in steps.items():
            before = {line.lot: prior.get((no, line.lot), EMPTY) for line in step.lines}
            touched, found = apply(step, lots, before, rules)
            made = [(t.line, (t.differ_mg, t.differ_pieces), t.after) for t in touched]
            if sorted(made, key=lambda one: one[0].line) != stored[no]:
                self.found.add("touch")
            if sorted(map(repr, found)) != sorted(map(repr, findings.get(no, ()))):
                self.found.add("finding")

    def _left_out(self, steps: set[int], windows: Mapping[int, Sequence[Window]]) -> Iterator[int]:
        """Entries that touch a lot of the way within its time, and that no table knows of."""
        held = store.lots_by_no(self.no, windows)
        spans = {one[0].code: windows[no] for no, one in held.items()}
        for seq, draft in self._naming(spans):
            said, _, undone = self._said(draft)
            if seq in steps or undone:
                continue
            step = _folded(seq, said, dict.fromkeys(_codes(said), 0), lines=False)
            of = [window for code in _codes(said) for window in spans.get(code, ())]
            if any(window.holds(step.order) for window in of):
                yield seq

    def _naming(self, spans: Mapping[str, Sequence[Window]]) -> Iterator[tuple[int, Draft]]:
        """Steps, holds and lifts that name one of some lots, or did so before a correction."""
        restated = [
            f'"key":{json.dumps(key, ensure_ascii=False)}'
            for key, one in self.newest.items()
            if one.restated is not None and not spans.keys().isdisjoint(_codes(one.restated))
        ]
        last = 0
        while True:
            rows = store.select(
                "SELECT seq, kind, body FROM ledger_entry WHERE plant=%s AND seq > %s"
                " AND kind IN ('step', 'hold', 'lift') ORDER BY seq LIMIT %s",
                [self.plant, last, _CHUNK],
            )
            for seq, kind, body in rows:
                named = kind != "step" or not spans.keys().isdisjoint(_LOT.findall(body))
                if named or (restated and any(key in body for key in restated)):
                    draft = decode(kind, json.loads(body)["draft"])
                    yield seq, draft
            if len(rows) < _CHUNK:
                return
            last = rows[-1][0]


def _folded(no: int, draft: Draft, numbers: Mapping[str, int], *, lines: bool = True) -> FoldStep:
    if isinstance(draft, Hold | Lift):
        return hold_step(no, draft, numbers)
    said = draft.restated if isinstance(draft, Correction) else draft
    assert isinstance(said, StepDraft)  # noqa: S101 - for the reader of types
    return fold_step(no, said if lines else replace(said, lines=()), numbers)


def _codes(draft: Draft) -> set[str]:
    if isinstance(draft, Hold | Lift):
        return set(draft.lots)
    return {line.lot for line in draft.lines} if isinstance(draft, StepDraft) else set()
