"""What a lot is judged by that came into the record after the lot did: for whoever decides.

Read :func:`told`. A limit, a product or a plan may be set for a day before, a report may come late,
a step may be corrected: each is allowed, each is signed for, and each may turn an answer. So the
lot's answer names them. What came with the lot, by the same files within a week, is not named: a
plant that reads its old files enters all of it late, and nothing of it by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.ledger import entered, lots, restated, said
from beadwright.ledger.draft import Correction
from beadwright.ledger.entered import Mark
from beadwright.ledger.settings import Settings
from beadwright.plant.access import is_house
from beadwright.plant.plan import LOT, Planbook, day_at
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.provenance import LATE_DAYS
from beadwright.plant.restated import changes
from beadwright.plant.setting_changes import Key, keys_of, value_of
from beadwright.plant.shifts import SHIFT
from beadwright.plant.words import STEP_WORDS, number

__all__ = ["Asked", "Told", "told"]

_OF_PRODUCT = ("approved", "inspection", "product")
"""Topics whose settings are named by the product they are of."""

_FOR_PRODUCT = ("limit", "plan", "variables")
"""Topics whose settings say which product they are for; ``*`` is every one."""

_OF_ALL = (
    "age_gate", "ageing", "decision", "first_piece", "grade", "instrument", "place", "reading",
    "repeatability", "tolerance",
)  # fmt: skip

_FIRST = frozenset({"value", "bound", "characteristic"})
"""Keys of a limit that say what it asks."""

_LATE_MS = LATE_DAYS * 86_400_000
_MOST = 12
_FOLLOWED = 50
"""Lots of which the steps on the way back are looked at; of more, nothing is said of these."""

Told = tuple[str, str, str]
"""Code of a reason, a sentence, and where it is written."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A lot as it is judged: of what product, made when, brought into the record by which entry."""

    lot: str
    product: str
    made_ms: int
    born: int
    tests: tuple[PlannedTest, ...] = ()


@dataclass(frozen=True, slots=True)
class _Set:
    """A setting in force when a lot was made, and entered after it."""

    topic: str
    name: str
    seq: int
    since: int
    keys: tuple[Key, ...]


def told(
    plant_no: int,
    in_force: Settings,
    asked: Sequence[Asked],
    zone: ZoneInfo,
    *,
    way_back: bool = True,
) -> dict[str, list[Told]]:
    """Say of each lot what it is judged by that was entered after it.

    With ``way_back``, and of a few lots, also which steps were corrected that it was made by.
    """
    plant = lots.plant_code(plant_no)
    sets = {one.lot: [*_settings(in_force, one)] for one in asked}
    reports = {one.lot: [*_reports(one)] for one in asked}
    corrected = _corrected(plant_no, asked) if way_back else {}
    seqs = {one.seq for some in sets.values() for one in some}
    seqs |= {seq for some in reports.values() for _, seq in some}
    late = [one for one in asked if sets[one.lot] or reports[one.lot]]
    marks = entered.marks(plant, seqs.union(one.born for one in late))
    who = {seq: one.draft.by for seq, one in entered.by_number(plant, seqs).items()}
    steps = _steps(plant, plant_no, corrected, zone)
    found: dict[str, list[Told]] = {}
    for one in asked:
        born = marks.get(one.born)
        lines = [
            *_said_of_settings(_apart(sets[one.lot], marks, born), marks, who, zone),
            *_said_of_reports(reports[one.lot], (marks, born), who, zone),
            *(steps[seq] for seq in sorted(corrected.get(one.lot, ())) if seq in steps),
        ]
        if lines:
            found[one.lot] = lines
    return found


# -- settings ------------------------------------------------------------------------------------


def _settings(in_force: Settings, of: Asked) -> Iterator[_Set]:
    for topic, name in _bearing(in_force, of.product):
        stated = in_force.stated(topic, name)
        there = [one for one in stated if one[0] <= of.made_ms]
        if not there or there[-1][1] <= of.born:
            continue
        since, seq, body = there[-1]
        earlier = [one[2] for one in there if one[1] < of.born]
        keys = tuple(keys_of(earlier[-1] if earlier else {}, body))
        if keys and (topic not in _FOR_PRODUCT or _is_for(body, earlier, of.product)):
            yield _Set(topic, name, seq, since, keys)


def _bearing(in_force: Settings, product: str) -> Iterator[tuple[str, str]]:
    yield from ((topic, product) for topic in _OF_PRODUCT)
    by_shift = "shift" in Planbook(in_force).made_every(LOT)
    for topic in (*_FOR_PRODUCT, *_OF_ALL, *((SHIFT,) if by_shift else ())):
        yield from ((topic, name) for name in in_force.names(topic))


def _is_for(
    body: Mapping[str, object], earlier: Sequence[Mapping[str, object]], product: str
) -> bool:
    """Whether a limit or a row of the plan is for a product, or was before it was set anew."""
    of = {value_of(one.get("product", "")) for one in (body, *earlier[-1:])}
    return bool(of & {product, "*"})


def _apart(some: Iterable[_Set], marks: Mapping[int, Mark], born: Mark | None) -> list[_Set]:
    """Leave out what came with the lot."""
    return [one for one in some if not _together(marks.get(one.seq), born)]


def _together(mark: Mark | None, born: Mark | None) -> bool:
    if mark is None or born is None:
        return True
    # A file brings both at once; whoever keys at a page keys one after the other.
    return (
        is_house(born.account)
        and mark.account == born.account
        and mark.recorded_at - born.recorded_at <= _LATE_MS
    )


def _said_of_settings(
    some: Sequence[_Set], marks: Mapping[int, Mark], who: Mapping[int, str], zone: ZoneInfo
) -> Iterator[Told]:
    by_entry: dict[tuple[str, str], list[_Set]] = {}
    for one in some:
        key = (who.get(one.seq) or "nobody named", f"{day_at(marks[one.seq].recorded_at, zone)}")
        by_entry.setdefault(key, []).append(one)
    for (by, day), each in by_entry.items():
        words = [
            f"{one.topic} {one.name} from {day_at(one.since, zone)} ({_keys(one.keys)})"
            for one in each[:_MOST]
        ]
        more = f"; and {len(each) - _MOST} more" if len(each) > _MOST else ""
        what = (
            f"judged by {number(len(each), 'setting')} that {by} entered after the lot, on {day},"
            f" for the day it was made: {'; '.join(words)}{more}"
        )
        yield "set_afterwards", what, _entries(one.seq for one in each)


def _keys(keys: Sequence[Key]) -> str:
    """Give what a setting changed, or what a new one says; its value first."""
    new = not any(one.before for one in keys)
    words = [
        f"{one.key.replace('_', ' ')}: "
        + (one.after if new else f"{one.before or 'not stated'}, now {one.after or 'not stated'}")
        for one in sorted(keys, key=lambda one: one.key not in _FIRST)[:_MOST]
    ]
    more = [f"{len(keys) - _MOST} more"] if len(keys) > _MOST else []
    return ("new: " if new else "") + "; ".join([*words, *more])


# -- reports -------------------------------------------------------------------------------------


def _reports(of: Asked) -> Iterator[tuple[PlannedTest, int]]:
    for test in of.tests:
        if test.proof is not None and test.proof.report and test.proof.entries:
            seq = test.proof.entries[0][0]
            if seq > of.born:
                yield test, seq


def _said_of_reports(
    some: Iterable[tuple[PlannedTest, int]],
    came: tuple[Mapping[int, Mark], Mark | None],
    who: Mapping[int, str],
    zone: ZoneInfo,
) -> Iterator[Told]:
    marks, born = came
    for test, seq in some:
        mark, proof = marks.get(seq), test.proof
        if mark is None or proof is None or _together(mark, born):
            continue
        day = day_at(mark.recorded_at, zone)
        if (day - proof.sampled).days <= LATE_DAYS:
            continue
        name = test.characteristic.replace("_", " ")
        by = who.get(seq) or "nobody named"
        what = (
            f"{name}: report {proof.report}, sampled {proof.sampled}, was entered after the lot, on"
            f" {day}, by {by}"
        )
        yield "entered_late", what, f"entry {seq}"


# -- steps ---------------------------------------------------------------------------------------


def _corrected(plant_no: int, asked: Sequence[Asked]) -> dict[str, set[int]]:
    """Give the corrections of steps that each lot was made by, of a few lots."""
    if len(asked) > _FOLLOWED:
        return {}
    return restated.bearing_on(plant_no, [one.lot for one in asked])


def _steps(
    plant: str, plant_no: int, corrected: Mapping[str, set[int]], zone: ZoneInfo
) -> dict[int, Told]:
    seqs = {seq for some in corrected.values() for seq in some}
    found: dict[int, Told] = {}
    for seq, one in entered.by_number(plant, seqs).items():
        draft = one.draft
        if not isinstance(draft, Correction):
            continue
        before = said.step(plant, plant_no, draft.step, draft.key)
        after = draft.restated
        words = [
            f"{each.field} {each.before or 'nothing'} → {each.after or 'nothing'}"
            for each in (changes(before, after, zone) if before is not None else ())
        ]
        more = f"; and {len(words) - _MOST} more" if len(words) > _MOST else ""
        what = (
            f"a step that it rests on ({STEP_WORDS.get(after.kind, after.kind)}"
            f" {day_at(after.happened_at or 0, zone)}) was corrected by"
            f" {draft.by or one.account}, entered {day_at(one.recorded_at, zone)}:"
            f' {"; ".join(words[:_MOST])}{more}; "{draft.reason}"'
        )
        found[seq] = ("step_corrected", what, f"entry {seq}")
    return found


def _entries(seqs: Iterable[int]) -> str:
    some = sorted(set(seqs))
    return f"{'entries' if len(some) > 1 else 'entry'} {', '.join(map(str, some))}"
