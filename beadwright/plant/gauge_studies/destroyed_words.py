"""A nested study in words.

Read :func:`destroyed_written`.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.plant.gauge_studies.crossed import BANDS_SOURCE, ENOUGH_CLASSES
from beadwright.plant.gauge_studies.crossed_words import SAID, STATES
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.written import (
    Section,
    Table,
    Written,
    chance,
    figures,
    percent,
)
from beadwright.statistics.gauge_study import Component

__all__ = ["NOT_COUNTED", "destroyed_written"]

NOT_COUNTED = (
    "that specimens of one part differ: it counts as measuring here",
    "the machine's own error, which its calibration tells",
    "parts, people and machines that were not in the study",
)


def destroyed_written(found: DestroyedStudy) -> Written:
    """Write a study."""
    people, parts, trials = found.cells.values.shape
    sort, state = STATES[found.band]
    return Written(
        f"Study of a test that destroys, {found.file}",
        f"{people} people, {parts} parts of each, {trials} specimens of a part, in {found.unit}",
        sort,
        state,
        tuple(_verdict(found)),
        f"bands and number of classes: {BANDS_SOURCE}",
        (
            Section("Where the variation comes from", (_REMARK,), (_components(found),)),
            Section("By part", picture="by-part"),
            Section("Analysis of variance", (), (_table(found),)),
        ),
        NOT_COUNTED,
    )


_REMARK = (
    "No specimen is tested twice: what neighbours differ by counts as measuring. Cut them as alike"
    " as can be had, from one part."
)


def _verdict(found: DestroyedStudy) -> Iterator[str]:
    study, unit = found.study, found.unit
    of = "what readings differ by"
    if found.tolerance is not None:
        of = f"the tolerance, {found.tolerance.text}"
    yield f"Measuring takes at most {percent(found.deciding)} of {of}."
    yield f"{SAID[found.band]}."
    few = f"{ENOUGH_CLASSES} or more are wanted"
    enough = "enough" if study.distinct >= ENOUGH_CLASSES else few
    yield f"It tells {study.distinct:.0f} classes of these parts apart; {enough}."
    low, high = study.gauge.sd_interval
    yield (
        f"One reading by any of these people has a standard uncertainty of at most"
        f" {figures(study.gauge.sd, 3)} {unit} from measuring (95 %: {figures(low, 3)} to"
        f" {figures(high, 3)}). Add the calibration's to it, as squares."
    )


def _components(found: DestroyedStudy) -> Table:
    study = found.study
    named = (
        ("repeatability, with specimens", study.repeatability), ("people", study.person),
        ("measuring, together", study.gauge), ("parts", study.part), ("total", study.total),
    )  # fmt: skip
    columns = ("!source", f"standard deviation, {found.unit}>", "!95 %>", "of the study>")
    total = study.total.sd
    return Table(
        "Components of variance", columns, tuple(_row(name, one, total) for name, one in named)
    )


def _row(name: str, one: Component, total: float) -> tuple[str, ...]:
    low, high = one.sd_interval
    share = percent(one.sd / total if total else 0.0)
    return name, figures(one.sd), f"{figures(low, 3)} to {figures(high, 3)}", share


def _table(found: DestroyedStudy) -> Table:
    rows = tuple(
        (
            row.source, str(row.dof), figures(row.squares, 5),
            figures(row.mean_square, 5) if row.source != "total" else "",
            "" if row.f is None else figures(row.f, 5), chance(row.p),
        )
        for row in found.study.table
    )  # fmt: skip
    columns = ("!source", "degrees of freedom>", "squares>", "mean square>", "F>", "p>")
    return Table("People tested against parts, parts against specimens", columns, rows)
