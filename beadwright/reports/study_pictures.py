"""The pictures of a study, by the names that its sections have.

Read :func:`pictures`. Page and paper take the same ones.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.charts.gauge_study import Level, Line, Mark, Readings, draw
from beadwright.charts.svg import Drawing
from beadwright.plant.gauge_studies.crossed import GaugeStudy
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.jig import JigStudy
from beadwright.plant.gauge_studies.laboratories import Comparison, LevelStudy

__all__ = ["pictures"]


def pictures(found: GaugeStudy | DestroyedStudy | JigStudy | Comparison) -> dict[str, Drawing]:
    """Draw what a study shows."""
    if isinstance(found, GaugeStudy):
        specs = _gauge(found)
    elif isinstance(found, DestroyedStudy):
        specs = _destroyed(found)
    elif isinstance(found, JigStudy):
        specs = _jig(found)
    else:
        specs = _laboratories(found)
    return {spec.name: draw(spec) for spec in specs}


def _gauge(found: GaugeStudy) -> Iterator[Readings]:
    array, cells = found.cells.array, found.cells
    up = f"Reading, {found.unit}"
    alone = {(one.part, one.person, one.trial) for one in found.outliers}
    placed = [
        (i, j, float(array[i, j, k]), (part, person, k + 1) in alone)
        for i, part in enumerate(cells.parts)
        for j, person in enumerate(cells.people)
        for k in range(cells.trials)
    ]
    of_parts = tuple(array.mean(axis=(1, 2)).tolist())
    yield Readings(
        "by-part", "Readings by part",
        "Every reading over its part, each person's by the shape of the mark, with a line through"
        f" the means of parts. {_ringed(found)}",
        "part", up, cells.parts, cells.people,
        tuple(Mark(i, j, value, far) for i, j, value, far in placed), (Line(of_parts),),
    )  # fmt: skip
    away = [(j, value - of_parts[i], far) for i, j, value, far in placed]
    means = array.mean(axis=(0, 2)) - float(array.mean())
    yield Readings(
        "by-person", "Readings by person",
        "Every reading less the mean of its part, over the person who took it, with a line through"
        " people's means: level where they agree.",
        "person", f"Reading less its part's mean, {found.unit}", cells.people, ("",),
        tuple(Mark(j, 0, value, far) for j, value, far in away), (Line(tuple(means.tolist())),),
    )  # fmt: skip
    apart = array.mean(axis=2) - array.mean(axis=(1, 2))[:, None]
    yield Readings(
        "interaction", "Person and part together",
        "Each person's mean of each part less the mean of the part, a line for each person: side by"
        " side where all read every part alike, crossing where not.",
        "part", f"Person's mean less the part's, {found.unit}", cells.parts, cells.people, (),
        tuple(
            Line(tuple(apart[:, j].tolist()), person, j) for j, person in enumerate(cells.people)
        ),
    )  # fmt: skip


def _destroyed(found: DestroyedStudy) -> Iterator[Readings]:
    values, cells = found.cells.values, found.cells
    many = values.shape[1]
    names = [(j, part) for j, own in enumerate(cells.parts) for part in own]
    yield Readings(
        "by-part", "Readings by part",
        "Every specimen's reading over its part, each person's parts side by side and marked by the"
        " shape, with a line through the means of parts.",
        "part", f"Reading, {found.unit}", tuple(part for _, part in names), cells.people,
        tuple(
            Mark(n, j, float(value))
            for n, (j, _) in enumerate(names)
            for value in values[j, n % many]
        ),
        (Line(tuple(values.mean(axis=2).ravel().tolist())),),
    )  # fmt: skip


def _ringed(found: GaugeStudy) -> str:
    if not found.outliers:
        return "None is ringed: no trials of a cell lie too far apart."
    return f"Ringed, as not seeming to belong: {len(found.outliers)}."


def _jig(found: JigStudy) -> Iterator[Readings]:
    judges = found.study.judges
    misses = [100 * one.miss.share for one in judges]
    alarms = [100 * one.false_alarm.share for one in judges]
    marks = [Mark(n, 0, value) for n, value in enumerate(misses)]
    marks += [Mark(n, 1, value) for n, value in enumerate(alarms)]
    yield Readings(
        "misses", "Misses and false alarms by person",
        "For each person the share of judgements of bad pieces that let it pass, and of good pieces"
        " that turned it away, in per cent.",
        "person", "Of judgements, %", found.cells.people, ("misses", "false alarms"), tuple(marks),
    )  # fmt: skip


def _laboratories(found: Comparison) -> Iterator[Readings]:
    for n, one in enumerate(found.levels):
        yield _level(one, f"h-and-k-{n}" if len(found.levels) > 1 else "h-and-k")


def _level(one: LevelStudy, name: str) -> Readings:
    labs, study = one.study.laboratories, one.study
    marks = [Mark(n, 0, lab.h) for n, lab in enumerate(labs)]
    marks += [Mark(n, 1, lab.k) for n, lab in enumerate(labs)]
    of = f" at level {one.name}" if one.name else ""
    return Readings(
        name, f"h and k by laboratory{of}",
        f"For each laboratory h, its mean from the others, and k, its scatter by the others',"
        f" with the values beyond which each is marked: {study.h_critical:.2f} either way and"
        f" {study.k_critical:.2f}.",
        "laboratory", "In standard deviations", one.laboratories, ("h", "k"), tuple(marks), (),
        (
            Level(study.h_critical, "h marked above"), Level(-study.h_critical, "h marked below"),
            Level(study.k_critical, "k marked above", right=True),
        ),
    )  # fmt: skip
