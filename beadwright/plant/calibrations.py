"""Calibrations of instruments: whether a reading's instrument was fit when it was read.

Read :func:`status_at` first, the rule; :class:`Calibrations` asks it of readings, and
:func:`instruments` tells how each instrument of a plant stands. An instrument that the settings
do not list is not judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from beadwright.ledger import decided, settings
from beadwright.ledger.settings import Settings
from beadwright.plant.as_found import bears_on
from beadwright.plant.frequency import day_of, every_of
from beadwright.plant.gauge_studies.recorded import RecordedStudy, Studied, studies
from beadwright.plant.uncertainty import TOPIC, completed
from beadwright.plant.upstream import zone_of
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.readings import ReadingView

__all__ = [
    "LISTED",
    "NAMED",
    "WARN_DAYS",
    "Aside",
    "Calibration",
    "Calibrations",
    "Fitness",
    "Instrument",
    "Status",
    "by_instrument",
    "instruments",
    "is_by_instrument",
    "load",
    "status_at",
    "until",
]

Fitness = Literal["fit", "lapsed", "failed", "never"]

NAMED, LISTED = "named", "listed"
"""What a plant may ask of what its readings were taken with (topic ``reading``)."""

WARN_DAYS = 14
"""Days before its end that a calibration is told as due soon. Common practice, no source."""

_TOPIC = "instrument"
_RULE = "reading"
_KIND = "calibration"
_UNNAMED = "nobody says with what"
_UNLISTED = "taken with what the plant does not list"
_WORST = ("failed", "lapsed", "never", "due_soon", "in_time")


@dataclass(frozen=True, slots=True)
class Calibration:
    """One calibration of an instrument, as it was recorded."""

    instrument: str
    done: date
    passed: bool
    certificate: str
    due: date | None
    """Last day it holds, where the certificate says one."""
    seq: int
    by: str
    as_found: str = ""
    """Its error before it was adjusted, as :mod:`beadwright.plant.as_found` reads it."""
    as_left: str = ""
    """Its error once it was adjusted, likewise."""
    u: str = ""
    """Standard uncertainty of what it reads, by its certificate: with its unit, or in ``%``."""


@dataclass(frozen=True, slots=True)
class Status:
    """How an instrument stands on a day, by which calibration, and the last day that one holds."""

    fitness: Fitness
    last: Calibration | None = None
    due: date | None = None

    @property
    def words(self) -> str:
        """Say it in words."""
        if self.last is None:
            return "it had never been calibrated"
        if self.fitness == "failed":
            return f"it failed its calibration of {self.last.done}"
        if self.fitness == "lapsed":
            return f"its calibration of {self.last.done} held until {self.due}"
        return f"calibrated {self.last.done}, holds until {self.due}"


@dataclass(frozen=True, slots=True)
class Aside:
    """Readings of a lot that an unfit instrument took: they are no evidence."""

    instrument: str
    words: str
    day: date
    """Of the first of them."""
    pieces: tuple[tuple[str, int], ...]
    """Characteristics, by name, and the number of pieces that each was read of."""
    ids: tuple[tuple[int, int], ...]

    @property
    def known(self) -> bool:
        """Whether it is an instrument that the plant lists."""
        return self.words not in {_UNNAMED, _UNLISTED}

    @property
    def code(self) -> str:
        """Code of the reason that says so."""
        return "out_of_calibration" if self.known else "no_instrument"

    @property
    def source(self) -> str:
        """Where why is written."""
        return f"instrument {self.instrument}" if self.known else "the plant's rule on readings"

    @property
    def taken(self) -> str:
        """Say with what the readings were taken, and how it stood."""
        return f"were taken with {self.instrument}, when {self.words}"

    @property
    def characteristics(self) -> tuple[str, ...]:
        """What was read."""
        return tuple(name for name, _ in self.pieces)

    @property
    def said(self) -> str:
        """Say why, with the instrument's name."""
        if self.words == _UNNAMED:
            return self.words
        if self.words == _UNLISTED:
            return f"{self.words}: {self.instrument}"
        if self.words.startswith("its "):
            return f"{self.instrument}'s {self.words.removeprefix('its ')}"
        return f"{self.instrument} {self.words.removeprefix('it ')}"


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument that the plant lists, and how it stands."""

    name: str
    what: str
    place: str
    every: str
    state: Literal["in_time", "due_soon", "lapsed", "failed", "never"]
    status: Status
    in_days: int | None
    """Days until the calibration ends; below zero, days since."""
    calibrations: tuple[Calibration, ...]
    """In the order in which they were done."""


def status_at(calibrations: Iterable[Calibration], every: str, day: date) -> Status:
    """Say how an instrument stands on a day.

    The newest calibration done until then decides; of one day, the one recorded last. It holds
    until the day that its certificate says, else one period on, that day included.
    """
    done = [one for one in calibrations if one.done <= day]
    if not done:
        return Status("never")
    last = max(done, key=lambda one: (one.done, one.seq))
    if not last.passed:
        return Status("failed", last)
    due = until(last, every)
    return Status("fit" if due is None or day <= due else "lapsed", last, due)


def until(one: Calibration, every: str) -> date | None:
    """Give the last day that a calibration holds: as it says, else one period on."""
    return one.due or (every_of(every).after(one.done) if one.passed else None)


class Calibrations:
    """The calibrations of a plant's listed instruments; asked of many lots, it reads once."""

    def __init__(
        self,
        in_force: Settings,
        found: Iterable[Calibration],
        zone: ZoneInfo | None = None,
        studied: Studied | None = None,
    ) -> None:
        """Take every dated setting, every calibration of the record, and every gauge study."""
        self._studied = studied or Studied()
        self._settings = in_force
        self._zone = zone or zone_of(in_force)
        self.listed = frozenset(in_force.names(_TOPIC))
        self._ruled = bool(in_force.names(_RULE))
        self._of: dict[str, list[Calibration]] = {}
        for one in found:
            self._of.setdefault(one.instrument, []).append(one)
        self._known: dict[tuple[str, str, date, str], Status] = {}
        self._asked: dict[tuple[str, int, str], Status | None] = {}
        """By instrument and time: what was read together is asked about together."""

    def status(self, instrument: str, at_ms: int, of: str = "") -> Status | None:
        """Say how an instrument stood at a time; None where it was not listed then.

        ``of`` a characteristic: a failure by an error in another unit says nothing of it.
        """
        if instrument not in self.listed:
            return None
        there = (instrument, at_ms, of)
        if there not in self._asked:
            self._asked[there] = self._status(*there)
        return self._asked[there]

    def status_of(self, one: ReadingView) -> Status | None:
        """Say how what took a reading stood for it."""
        return self.status(one.instrument, one.at_ms, one.characteristic)

    def _status(self, instrument: str, at_ms: int, of: str) -> Status | None:
        body = self._settings.at(_TOPIC, instrument, at_ms)
        if body is None:
            return None
        every = str(body["every"])
        key = (instrument, every, self.day(at_ms), of)
        if key not in self._known:
            self._known[key] = status_at(self._bearing(instrument, of), every, key[2])
        return self._known[key]

    def _bearing(self, instrument: str, of: str) -> list[Calibration]:
        some = self._of.get(instrument, [])
        return [one for one in some if one.passed or not of or bears_on(one.as_found, of)]

    def late(self, taken: Iterable[ReadingView]) -> dict[Calibration, tuple[ReadingView, ...]]:
        """Give the calibrations that make readings evidence and were entered after them.

        One counts only where no calibration entered before the reading would have done.
        """
        found: dict[Calibration, list[ReadingView]] = {}
        for one in taken:
            status = self.status_of(one)
            last = None if status is None else status.last
            if last is None or last.seq < one.seq:
                continue
            body = self._settings.at(_TOPIC, one.instrument, one.at_ms) or {}
            bearing = self._bearing(one.instrument, one.characteristic)
            before = [each for each in bearing if each.seq < one.seq]
            if status_at(before, str(body["every"]), self.day(one.at_ms)).fitness != "fit":
                found.setdefault(last, []).append(one)
        return {last: tuple(some) for last, some in found.items()}

    def of(self, instrument: str) -> tuple[Calibration, ...]:
        """Every calibration of an instrument, in the order in which they were done."""
        return tuple(sorted(self._of.get(instrument, ()), key=lambda one: (one.done, one.seq)))

    def day(self, at_ms: int) -> date:
        """Give the day of the plant's calendar."""
        return datetime.fromtimestamp(at_ms / 1000, self._zone).date()

    def parted(
        self, readings: Sequence[ReadingView]
    ) -> tuple[tuple[ReadingView, ...], tuple[Aside, ...]]:
        """Part a lot's readings into those that are evidence, and what is set aside."""
        if not self._ruled and not any(one.instrument in self.listed for one in readings):
            return tuple(readings), ()
        kept: list[ReadingView] = []
        aside: dict[tuple[str, str], list[ReadingView]] = {}
        for one in readings:
            why = self._why_not(one)
            if why:
                aside.setdefault((one.instrument, why), []).append(one)
            else:
                kept.append(completed(one, self._u(one), self._settings, self._scatter(one)))
        return tuple(kept), tuple(self._aside(key, some) for key, some in sorted(aside.items()))

    def _u(self, one: ReadingView) -> str:
        """Give the standard uncertainty of what took a reading, as it was stated for that time."""
        status = self.status_of(one)
        if status is None:
            return ""
        if status.last is not None and status.last.u:
            return status.last.u
        return str((self._settings.at(_TOPIC, one.instrument, one.at_ms) or {}).get("u", ""))

    def study(self, one: ReadingView) -> RecordedStudy | None:
        """Give the gauge study whose scatter a reading's uncertainty holds; None without one."""
        body = self._settings.at(TOPIC, one.characteristic, one.at_ms) or {}
        return self._studied.of(one) if body.get("study") is True else None

    def _scatter(self, one: ReadingView) -> str:
        """Give what measuring scatters by the study of what took a reading; empty without one."""
        study = self._studied.of(one)
        return "" if study is None else study.measuring

    def _why_not(self, one: ReadingView) -> str:
        """Say why a reading is no evidence, by what took it; empty where it is."""
        status = self.status_of(one)
        if status is not None:
            return "" if status.fitness == "fit" else status.words
        if not self._ruled or not by_instrument(one):
            return ""
        asked = (self._settings.at(_RULE, "rule", one.at_ms) or {}).get("instrument")
        if asked and not one.instrument:
            return _UNNAMED
        return _UNLISTED if asked == LISTED else ""

    def unproven(self, taken: Iterable[ReadingView]) -> list[ReadingView]:
        """Give the readings that count though nothing shows that what took them was fit.

        Those that name no instrument; where the plant lists any, those of one that it does not.
        """
        return [
            one
            for one in taken
            if by_instrument(one)
            and (not one.instrument or self.listed)
            and self.status_of(one) is None
        ]

    def _aside(self, key: tuple[str, str], some: Sequence[ReadingView]) -> Aside:
        read: dict[str, set[object]] = {}
        for one in some:
            piece = one.specimen or (one.seq, one.line)
            read.setdefault(one.characteristic, set()).add(piece)
        pieces = tuple((name, len(of)) for name, of in sorted(read.items()))
        day = self.day(min(one.at_ms for one in some))
        return Aside(*key, day, pieces, tuple((one.seq, one.line) for one in some))


def by_instrument(one: ReadingView) -> bool:
    """Whether an instrument takes such a reading: it is not counted, tried by hand or looked at."""
    return is_by_instrument(one.characteristic)


def is_by_instrument(characteristic: str) -> bool:
    """Whether an instrument measures it."""
    known = CHARACTERISTICS.get(characteristic)
    return known is not None and known.by_instrument


def load(plant_no: int, in_force: Settings) -> Calibrations:
    """Read the calibrations of a plant; where it lists no instrument, nothing is asked."""
    listed = in_force.names(_TOPIC)
    if not listed:
        return Calibrations(in_force, ())
    asked = any(
        body.get("study") is True
        for name in in_force.names(TOPIC)
        for _, _, body in in_force.stated(TOPIC, name)
    )
    studied = Studied(studies(plant_no)) if asked else None
    return Calibrations(in_force, _calibrations(plant_no), studied=studied)


def instruments(plant_no: int, at_ms: int) -> tuple[Instrument, ...]:
    """Every instrument in force at a time with how it stands, those out of calibration first."""
    in_force = settings.load(plant_no)
    known = load(plant_no, in_force)
    found = []
    for name, body in in_force.all(_TOPIC, at_ms):
        status = known.status(name, at_ms)
        if status is not None:
            what, place, every = (str(body.get(key, "")) for key in ("what", "place", "every"))
            days = None if status.due is None else (status.due - known.day(at_ms)).days
            fit = status.fitness == "fit"
            soon = fit and days is not None and days <= WARN_DAYS
            state = status.fitness if status.fitness != "fit" else "due_soon" if soon else "in_time"
            found.append(Instrument(name, what, place, every, state, status, days, known.of(name)))
    return tuple(sorted(found, key=lambda one: (_WORST.index(one.state), one.name)))


def _calibrations(plant_no: int) -> list[Calibration]:
    return [
        Calibration(
            said.about,
            day_of(str(said.body["done"])),
            said.body["result"] == "pass",
            str(said.body.get("certificate", "")),
            _day(said.body),
            said.seq,
            said.by,
            str(said.body.get("as_found", "")),
            str(said.body.get("as_left", "")),
            str(said.body.get("uncertainty", "")),
        )
        for said in decided.of_kinds(plant_no, _KIND)
    ]


def _day(body: Mapping[str, object]) -> date | None:
    text = str(body.get("due", ""))
    return day_of(text) if text else None
