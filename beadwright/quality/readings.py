"""Questions about readings: of lots, of steps, and of a silo's filling; answers are frozen.

Voided readings are left out unless they are asked for.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from beadwright.lab.density import cup_density
from beadwright.ledger import lots, store
from beadwright.quality.characteristics import CUP_PLACES
from beadwright.quality.versions import MARK
from beadwright.units import parse_number, to_si

__all__ = [
    "Cup",
    "Filling",
    "Read",
    "ReadingView",
    "cups_of",
    "entries_of",
    "filling",
    "largest_with",
    "marked",
    "newest",
    "newest_by",
    "of_characteristics",
    "of_entries",
    "of_lots",
    "of_steps",
    "read_with",
    "set_at",
    "taken_with",
    "with_fact",
]

_SELECT = (
    "SELECT seq, line, lot, step, characteristic, value, unit, si, u_si, instrument, method,"
    " specimen, replicate, facts, parents, at_ms, by, voided_by FROM quality_reading"
)
_ORDER = "ORDER BY at_ms, seq, line"

_CUP = "cup_weight_"
_OPEN = 2**62
_EMPTIED = frozenset({"ran_empty", "swept_empty"})


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One reading: what was keyed, and what it is in SI."""

    seq: int
    """The entry it came with; with ``line`` its id."""
    line: int
    lot: str
    step: str
    characteristic: str
    value: str
    unit: str
    si: float | None
    u_si: float | None
    instrument: str
    method: str
    specimen: str
    replicate: int
    facts: Mapping[str, str]
    parents: tuple[int, ...]
    at_ms: int
    by: str
    voided_by: int | None

    @property
    def keyed(self) -> str:
        """Value and unit in one text."""
        return f"{self.value} {self.unit}".strip()

    def being(self, si: float | None) -> ReadingView:
        """Give the same reading with another value in SI, or none; what was keyed stays.

        Whoever asks what would have been read asks it of very many: ``replace`` takes twice as
        long.
        """
        return ReadingView(
            self.seq, self.line, self.lot, self.step, self.characteristic, self.value, self.unit,
            si, self.u_si, self.instrument, self.method, self.specimen, self.replicate, self.facts,
            self.parents, self.at_ms, self.by, self.voided_by,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Read:
    """How many readings of one characteristic were taken of one subject."""

    subject: str
    """A lot; of what is read of none, the client key of the step."""
    characteristic: str
    number: int


@dataclass(frozen=True, slots=True)
class Cup:
    """A level cup of beads weighed at one place: its mass, the cup's volume, beads' density."""

    reading: ReadingView
    mass_kg: float
    volume_m3: float
    density_kg_m3: float
    """Bulk density of the beads; never to be pooled over places."""


@dataclass(frozen=True, slots=True)
class Filling:
    """What came into a silo between two times it was empty, and its cups, by place and apart."""

    silo: str
    from_ms: int
    to_ms: int | None
    """When it was next empty; None while it is in use."""
    steps: tuple[str, ...]
    """Steps that brought beads in."""
    hot: tuple[Cup, ...] = ()
    dried: tuple[Cup, ...] = ()
    hopper: tuple[Cup, ...] = ()


def of_lots(
    plant_no: int,
    codes: Iterable[str],
    *,
    voided: bool = False,
    only: Iterable[str] | None = None,
) -> dict[str, tuple[ReadingView, ...]]:
    """Readings of lots, by lot, in the order in which they were taken.

    ``only``: of these characteristics alone.
    """
    return _by("lot", plant_no, codes, voided=voided, only=only)


def of_steps(
    plant_no: int, keys: Iterable[str], *, voided: bool = False
) -> dict[str, tuple[ReadingView, ...]]:
    """Readings taken at steps, by the client key of the step, in the order taken."""
    return _by("step", plant_no, keys, voided=voided)


def of_characteristics(plant_no: int, names: Iterable[str]) -> dict[str, tuple[ReadingView, ...]]:
    """Readings of some characteristics on any lot, by lot, in the order taken.

    An assessment asks so for the tests that one lot's readings make for a whole product.
    """
    wanted = sorted(set(names))
    if not wanted:
        return {}
    marks = ", ".join(["%s"] * len(wanted))
    sql = (
        f"{_SELECT} WHERE p=%s AND lot <> '' AND voided_by IS NULL"
        f" AND characteristic IN ({marks}) {_ORDER}"
    )
    found: dict[str, list[ReadingView]] = {}
    for row in store.select(sql, [plant_no, *wanted]):
        view = _view(row)
        found.setdefault(view.lot, []).append(view)
    return {lot: tuple(views) for lot, views in found.items()}


def with_fact(plant_no: int, fact: str, *, voided: bool = False) -> tuple[ReadingView, ...]:
    """Give every reading that states a fact, in the order taken."""
    which = "" if voided else "AND voided_by IS NULL"
    sql = f"{_SELECT} WHERE p=%s AND facts LIKE %s {which} {_ORDER}"
    found = map(_view, store.select(sql, [plant_no, f'%"{fact}"%']))
    return tuple(one for one in found if one.facts.get(fact))


def set_at(
    plant_no: int, machine: str, names: Iterable[str], since_ms: int
) -> dict[str, tuple[ReadingView, ...]]:
    """Give what a person set at a machine since a time, and the last before it, by characteristic.

    Each is a tuple of readings in the order taken.
    """
    found: dict[str, tuple[ReadingView, ...]] = {}
    for name in names:
        sql = f"{_SELECT} WHERE p=%s AND characteristic=%s AND specimen=%s AND voided_by IS NULL"
        given = [plant_no, name, machine]
        before = store.select(f"{sql} AND at_ms < %s ORDER BY at_ms DESC, seq DESC LIMIT 1",
                              [*given, since_ms])  # fmt: skip
        after = store.select(f"{sql} AND at_ms >= %s {_ORDER}", [*given, since_ms])
        found[name] = tuple(map(_view, [*before, *after]))
    return found


def of_entries(plant_no: int, entries: Iterable[int]) -> tuple[ReadingView, ...]:
    """Readings that came with some entries, voided since or not, in the order taken."""
    found: list[ReadingView] = []
    for batch in store.parts(sorted(set(entries))):
        marks = ", ".join(["%s"] * len(batch))
        sql = f"{_SELECT} WHERE p=%s AND seq IN ({marks}) {_ORDER}"
        found += map(_view, store.select(sql, [plant_no, *batch]))
    return tuple(found)


def filling(plant_no: int, silo: str, at_ms: int) -> Filling | None:
    """Give the filling that a silo held at a time, with its cups; None where it held nothing."""
    for span in _spans(lots.touches(plant_no, silo)):
        if span.first_in is not None and span.first_in <= at_ms < span.to_ms:
            return _filling(plant_no, silo, span)
    return None


@dataclass(slots=True)
class _Span:
    """From one time a silo was empty to the next."""

    from_ms: int = -1
    to_ms: int = _OPEN
    first_in: int | None = None
    steps: list[str] = field(default_factory=list)


def _spans(touches: Iterable[lots.TouchView]) -> Iterator[_Span]:
    span = _Span()
    for touch in touches:
        if touch.kind in _EMPTIED and touch.sign == 0:
            span.to_ms = touch.at_ms
            yield span
            span = _Span(touch.at_ms)
        elif touch.sign > 0:
            span.steps.append(touch.step)
            if span.first_in is None:
                span.first_in = touch.at_ms
    yield span


def _filling(plant_no: int, silo: str, span: _Span) -> Filling:
    """Gather the cups taken at the filling's steps, or of the silo while nothing else was in it."""
    names = [f"{_CUP}{place}" for place in CUP_PLACES]
    rows = store.select(
        f"{_SELECT} WHERE p=%s AND lot=%s AND voided_by IS NULL"
        f" AND characteristic IN ({', '.join(['%s'] * len(names))}) {_ORDER}",
        [plant_no, silo, *names],
    )
    steps = set(span.steps)
    cups: dict[str, list[Cup]] = {place: [] for place in CUP_PLACES}
    for row in rows:
        view = _view(row)
        within = not view.step and span.from_ms <= view.at_ms < span.to_ms
        if within or view.step in steps:
            cups[view.characteristic.removeprefix(_CUP)].append(_cup(view))
    to_ms = None if span.to_ms == _OPEN else span.to_ms
    hot, dried, hopper = (tuple(cups[place]) for place in CUP_PLACES)
    return Filling(silo, span.first_in or 0, to_ms, tuple(span.steps), hot, dried, hopper)


def read_with(plant_no: int, instrument: str, from_ms: int, to_ms: int) -> tuple[Read, ...]:
    """Count what an instrument read between two times, both ends included."""
    rows = store.select(
        "SELECT lot, step, characteristic, COUNT(*) FROM quality_reading"
        " WHERE p=%s AND instrument=%s AND at_ms BETWEEN %s AND %s AND voided_by IS NULL"
        " GROUP BY lot, step, characteristic",
        [plant_no, instrument, from_ms, to_ms],
    )
    return tuple(Read(lot or step, name, int(number)) for lot, step, name, number in rows)


def largest_with(plant_no: int, instrument: str) -> dict[str, float]:
    """Give the largest value, in SI, that an instrument ever read of each characteristic."""
    rows = store.select(
        "SELECT characteristic, max(si) FROM quality_reading"
        " WHERE p=%s AND instrument=%s AND voided_by IS NULL AND si IS NOT NULL"
        " GROUP BY characteristic",
        [plant_no, instrument],
    )
    return {name: float(si) for name, si in rows}


def taken_with(
    plant_no: int,
    instrument: str,
    span: tuple[int, int],
    before: tuple[int, int, int] | None,
    most: int,
) -> tuple[ReadingView, ...]:
    """Give what an instrument read from one time to another, the newest first, voided or not.

    ``before``: time, entry and line of the reading before which to go on; at most ``most`` of them.
    """
    sql = f"{_SELECT} WHERE p=%s AND instrument=%s AND at_ms BETWEEN %s AND %s"
    sql += " AND (at_ms, seq, line) < (%s, %s, %s) ORDER BY at_ms DESC, seq DESC, line DESC"
    given = [plant_no, instrument, *span, *(before or (_OPEN, 0, 0)), most]
    return tuple(map(_view, store.select(f"{sql} LIMIT %s", given)))


def newest(plant_no: int, entries: tuple[int, int] = (0, 2**62)) -> int:
    """Give the time of the newest reading, in UTC milliseconds; 0 where there is none.

    ``entries``: first and last number of those that brought the readings looked at.
    """
    sql = (
        "SELECT max(at_ms) FROM quality_reading"
        " WHERE p=%s AND seq BETWEEN %s AND %s AND voided_by IS NULL"
    )
    row = store.one(sql, [plant_no, *entries])
    return int(row[0]) if row and row[0] is not None else 0


def cups_of(plant_no: int, silos: Iterable[str], since_ms: int) -> tuple[tuple[str, Cup], ...]:
    """Give the cups of some silos' beads since a time, each with its place, in the order taken."""
    codes, names = sorted(set(silos)), [f"{_CUP}{place}" for place in CUP_PLACES]
    if not codes:
        return ()
    rows = store.select(
        f"{_SELECT} WHERE p=%s AND lot IN ({', '.join(['%s'] * len(codes))}) AND at_ms >= %s"
        f" AND voided_by IS NULL AND characteristic IN ({', '.join(['%s'] * len(names))}) {_ORDER}",
        [plant_no, *codes, since_ms, *names],
    )
    views = map(_view, rows)
    return tuple((view.characteristic.removeprefix(_CUP), _cup(view)) for view in views)


def _cup(view: ReadingView) -> Cup:
    value, _, unit = view.facts["cup_volume"].partition(" ")
    volume = to_si(parse_number(value, decimal="."), unit, "volume")
    mass = view.si or 0.0
    return Cup(view, mass, float(volume), float(cup_density(mass, float(volume))))


def _by(
    column: str,
    plant_no: int,
    subjects: Iterable[str],
    *,
    voided: bool,
    only: Iterable[str] | None = None,
) -> dict[str, tuple[ReadingView, ...]]:
    found: dict[str, list[ReadingView]] = {}
    names = [] if only is None else sorted(set(only))
    for batch in store.parts(dict.fromkeys(subjects)):
        marks = ", ".join(["%s"] * len(batch))
        kept = "" if voided else " AND voided_by IS NULL"
        if only is not None:
            kept += f" AND characteristic IN ({', '.join(['%s'] * len(names))})"
        sql = f"{_SELECT} WHERE p=%s AND {column} IN ({marks}){kept} {_ORDER}"
        for row in store.select(sql, [plant_no, *batch, *names]):
            view = _view(row)
            found.setdefault(getattr(view, column), []).append(view)
    return {subject: tuple(views) for subject, views in found.items()}


def _view(row: tuple[Any, ...]) -> ReadingView:
    parents = tuple(json.loads(row[14])) if row[14] else ()
    values = (*row[:13], _facts(row[13]), parents, *row[15:])
    return ReadingView(*values)


@lru_cache(maxsize=8192)
def _facts(text: str) -> Mapping[str, str]:
    """Conditions of a reading; the readings of a row share theirs, so nobody may change them."""
    return MappingProxyType(json.loads(text) if text else {})


def entries_of(plant_no: int, lot: str) -> frozenset[int]:
    """Give the entries that say readings of a lot, voided since or not."""
    sql = "SELECT seq FROM quality_reading WHERE p=%s AND lot=%s"
    return frozenset(row[0] for row in store.select(sql, [plant_no, lot]))


def marked(plant_no: int, correction: str) -> int | None:
    """Give the entry of the readings that a correction wrote, by its client key."""
    sql = "SELECT seq, facts FROM quality_reading WHERE p=%s AND facts LIKE %s ORDER BY seq"
    rows = store.select(sql, [plant_no, f'%"{MARK}": %'])
    return next((seq for seq, facts in rows if _facts(facts).get(MARK) == correction), None)


def newest_by(plant_no: int, person: str, limit: int) -> tuple[tuple[int, str, int], ...]:
    """Give the newest entries of readings by a person: entry, characteristic, time.

    Of the last readings of the record only: whoever asks wants what somebody did of late.
    """
    sql = (
        "SELECT seq, min(characteristic), max(at_ms) FROM (SELECT seq, characteristic, at_ms, by"
        " FROM quality_reading WHERE p=%s ORDER BY seq DESC, line LIMIT %s) t WHERE by=%s"
        " GROUP BY seq ORDER BY seq DESC LIMIT %s"
    )
    rows = store.select(sql, [plant_no, _LAST, person, limit])
    return tuple((seq, characteristic, at_ms) for seq, characteristic, at_ms in rows)


_LAST = 10_000
"""Readings that are looked through for a person's newest."""
