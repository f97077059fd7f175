"""A gauge study in the record: of which instrument, what it found, and the sheet that it came from.

Read :func:`studies`. The sheet is kept beside the store under the hash of its content, so that the
study can be worked out again. :class:`Studied` says what measuring scatters by such a study, for
readings that were taken after it was recorded.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from beadwright.errors import BeadwrightError
from beadwright.ledger import decided
from beadwright.plant.frequency import day_of
from beadwright.plant.gauge_studies.crossed import Band
from beadwright.plant.gauge_studies.written import figures
from beadwright.plant.uncertainty import is_uncertainty
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.readings import ReadingView
from beadwright.units import factor

__all__ = [
    "BANDS",
    "FIGURES",
    "KIND",
    "NEEDED",
    "Figure",
    "RecordedStudy",
    "Studied",
    "recorded_json",
    "studies",
    "study_faults",
    "study_rows",
    "study_words",
]

KIND = "gauge_study"

BANDS: tuple[Band, ...] = ("fit", "conditional", "unfit")
"""Words of a verdict."""

FIGURES: Mapping[str, str] = {
    "repeatability": "repeatability",
    "reproducibility": "reproducibility",
    "measuring": "measuring, together",
    "share_of_tolerance": "of the tolerance",
    "share_of_study": "of what readings differ by",
    "misses": "misses",
    "false_alarms": "false alarms",
    "all_right": "rightly judged by all, every time",
    "kappa": "kappa among all",
}
"""Figures that a study can have, and what each is in words."""

NEEDED: Mapping[str, tuple[str, ...]] = {
    "gauge": ("repeatability", "reproducibility", "measuring"),
    "destroyed": ("repeatability", "reproducibility", "measuring"),
    "jig": ("misses", "false_alarms"),
}
"""Figures that a study of each sort has."""

_SHOWN = 3
"""Figures that are shown; the record keeps more."""

_PARTS = frozenset({"value", "low", "high"})


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with its unit, and its 95 % interval; empty where it has none."""

    value: str
    low: str = ""
    high: str = ""

    @property
    def exact(self) -> str:
        """Write it with its interval, as it is recorded."""
        low = self.low.partition(" ")[0]
        return f"{self.value} (95 %: {low} to {self.high})" if low else self.value

    @property
    def words(self) -> str:
        """Write it with its interval, in few figures."""
        value, low, high = map(_short, (self.value, self.low, self.high))
        return f"{value} (95 %: {low.partition(' ')[0]} to {high})" if low else value


@dataclass(frozen=True, slots=True)
class RecordedStudy:
    """One study of an instrument, as it was recorded."""

    instrument: str
    of: str
    """The characteristic that was measured, or judged by a jig."""
    sort: str
    """One of :data:`NEEDED`."""
    done: date
    band: Band
    figures: Mapping[str, Figure]
    sheet: str
    """Hash of the sheet's content."""
    name: str
    """What the sheet was called."""
    tolerance: str
    """As ``405.4..407.4 mm``; empty where none was taken."""
    tolerance_source: str
    decimal: str
    """The decimal sign that the sheet was read with, where somebody had to say."""
    at_ms: int
    by: str
    seq: int

    @property
    def measuring(self) -> str:
        """Standard uncertainty of one reading by anybody, with its unit; empty of a jig."""
        one = self.figures.get("measuring")
        return "" if one is None else one.value


def studies(plant_no: int, instrument: str = "") -> tuple[RecordedStudy, ...]:
    """Give the studies of the record, the newest first; those of one instrument where named."""
    found = [
        _study(one)
        for one in reversed(decided.of_kinds(plant_no, KIND))
        if instrument in {"", one.about}
    ]
    return tuple(sorted(found, key=lambda one: (one.done, one.seq), reverse=True))


def _study(one: decided.Said) -> RecordedStudy:
    body = {key: str(part) for key, part in one.body.items()}
    stated = cast("Mapping[str, Mapping[str, str]]", one.body["figures"])
    return RecordedStudy(
        instrument=one.about,
        of=body["of"],
        sort=body["sort"],
        done=day_of(body["done"]),
        band=cast("Band", body["band"]),
        figures={name: Figure(**stated[name]) for name in FIGURES if name in stated},
        sheet=body["sheet"],
        name=body.get("name", "sheet.csv"),
        tolerance=body.get("tolerance", ""),
        tolerance_source=body.get("tolerance_source", ""),
        decimal=body.get("decimal", ""),
        at_ms=one.at_ms,
        by=one.by,
        seq=one.seq,
    )


class Studied:
    """What measuring scatters, by the studies that were in the record when a reading was taken."""

    def __init__(self, found: Iterable[RecordedStudy] = ()) -> None:
        """Take the studies of a plant."""
        self._of: dict[tuple[str, str], list[RecordedStudy]] = {}
        for one in found:
            if one.measuring:
                self._of.setdefault((one.instrument, one.of), []).append(one)

    def of(self, reading: ReadingView) -> RecordedStudy | None:
        """Give the study that a reading's instrument had when it was taken, the one done last."""
        there = self._of.get((reading.instrument, reading.characteristic), ())
        known = [one for one in there if one.at_ms <= reading.at_ms]
        return max(known, key=lambda one: (one.done, one.seq), default=None)


def _short(text: str) -> str:
    number, _, unit = text.partition(" ")
    return f"{figures(float(number), _SHOWN)} {unit}".strip() if number else ""


def study_faults(body: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    """Give each value of a study that cannot be meant, and why; its parts are there."""
    sort, of, stated = str(body["sort"]), str(body["of"]), body["figures"]
    known = CHARACTERISTICS.get(of)
    if known is None:
        yield of, f"of: nothing is measured by the name {of!r}"
        return
    if not isinstance(stated, Mapping):
        return
    for name in NEEDED[sort]:
        if name not in stated:
            yield "", f"figures: {name} is not stated"
    for name, figure in stated.items():
        if name not in FIGURES or not _is_figure(figure):
            yield str(figure), f"figures: {name} is no figure of a study, with its interval"
        elif name in NEEDED["gauge"] and _unit_fault(figure["value"], known.kind, name):
            yield figure["value"], f"figures: {_unit_fault(figure['value'], known.kind, name)}"


def _is_figure(figure: object) -> bool:
    return (
        isinstance(figure, Mapping)
        and "value" in figure
        and figure.keys() <= _PARTS
        and all(isinstance(one, str) and _is_number(one) for one in figure.values())
    )


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text.partition(" ")[0]))
    except ValueError:
        return False


def _unit_fault(text: str, kind: Any, name: str) -> str:
    """Say why a figure is none of what was measured: its unit is of something else."""
    unit = text.partition(" ")[2]
    if name == "measuring" and not is_uncertainty(text):
        return f"measuring {text} is no standard uncertainty"
    try:
        factor(unit, kind)
    except (BeadwrightError, KeyError):
        return f"{name} is in {unit or 'no unit'}, which is none of what was measured"
    return ""


def study_rows(body: Mapping[str, object]) -> tuple[tuple[str, str], ...]:
    """Give every part of a study as it is recorded: what it is, and what it says."""
    stated = cast("Mapping[str, Mapping[str, str]]", body.get("figures", {}))
    names = {
        "of": "what was measured", "sort": "sort", "done": "done", "band": "verdict",
        "tolerance": "tolerance", "tolerance_source": "where that stood", "name": "sheet",
        "decimal": "decimal sign", "sheet": "hash of the sheet",
    }  # fmt: skip
    said = [(names[key], str(body[key])) for key in names if body.get(key)]
    told = [(FIGURES[name], Figure(**stated[name]).exact) for name in FIGURES if name in stated]
    return (*said[:4], *told, *said[4:])


def study_words(body: Mapping[str, object]) -> str:
    """Say what a study found: of what, when it was done, and its first figures."""
    stated = cast("Mapping[str, Mapping[str, str]]", body.get("figures", {}))
    first = ("measuring", "share_of_tolerance", "misses", "false_alarms")
    told = [f"{FIGURES[name]} {_short(stated[name]['value'])}" for name in first if name in stated]
    of = str(body.get("of", "")).replace("_", " ")
    return ", ".join([f"of {of}", f"done {body.get('done', '')}", *told])


def recorded_json(one: RecordedStudy) -> dict[str, Any]:
    """Give a recorded study as a program reads it."""
    blank = {"value": None, "low": None, "high": None}
    found = {
        name: {"value": it.value, "low": it.low or None, "high": it.high or None}
        for name, it in one.figures.items()
    }
    return {
        "of": one.of,
        "sort": one.sort,
        "done": one.done.isoformat(),
        "band": one.band,
        "figures": {name: found.get(name, blank) for name in FIGURES},
        "tolerance": one.tolerance or None,
        "tolerance_source": one.tolerance_source or None,
        "sheet": one.sheet,
        "name": one.name,
        "entry": one.seq,
        "by": one.by,
    }
