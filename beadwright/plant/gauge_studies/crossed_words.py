"""A crossed study in words: the verdict first, then what it rests on.

Read :func:`crossed_written`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from beadwright.plant.gauge_studies.crossed import (
    BANDS_SOURCE,
    ENOUGH_CLASSES,
    POOL_ABOVE,
    Band,
    GaugeStudy,
    band_of,
)
from beadwright.plant.gauge_studies.written import (
    Section,
    Sort,
    Table,
    Written,
    chance,
    figures,
    percent,
)
from beadwright.plant.words import number
from beadwright.statistics.gauge_study import Component

__all__ = ["NOT_COUNTED", "SAID", "STATES", "crossed_written", "uncertainty_words"]

STATES: dict[Band, tuple[Sort, str]] = {
    "fit": ("good", "fit"),
    "conditional": ("ask", "fit for some uses"),
    "unfit": ("stop", "not fit"),
}
SAID: dict[Band, str] = {
    "fit": "Measuring takes so little that it hardly matters",
    "conditional": "Measuring takes a part that matters: use it where a wrong verdict costs little,"
    " and keep a distance from the limits",
    "unfit": "Measuring takes too much: mend the gauge or how it is used before deciding by it",
}

NOT_COUNTED = (
    "the gauge's own error, which its calibration tells",
    "temperature, humidity and wear, unless they changed during the study",
    "parts, people and gauges that were not in the study",
)
_TIMES = 3.0
"""How many times one source must exceed another for it alone to be named. Common practice."""


def crossed_written(found: GaugeStudy) -> Written:
    """Write a study."""
    cells, unit = found.cells, found.unit
    sort, state = STATES[found.band]
    if found.band == "fit" and found.study.distinct < ENOUGH_CLASSES and found.tolerance is None:
        sort, state = "ask", "fit for some uses"
    each = number(cells.trials, "trial")
    return Written(
        f"Gauge study, {found.file}",
        f"{len(cells.parts)} parts, {len(cells.people)} people, {each} of each, in {unit}",
        sort,
        state,
        tuple(_verdict(found)),
        f"bands and number of classes: {BANDS_SOURCE}",
        tuple(_sections(found)),
        NOT_COUNTED,
    )


def uncertainty_words(found: GaugeStudy) -> str:
    """Say what to put on the instrument."""
    low, high = found.study.gauge.sd_interval
    return (
        f"One reading by any of these people has a standard uncertainty of"
        f" {figures(found.uncertainty, 3)} {found.unit} from measuring (95 %:"
        f" {figures(low, 3)} to {figures(high, 3)}). Add the calibration's to it, as squares."
    )


def _verdict(found: GaugeStudy) -> Iterator[str]:
    low, high = found.deciding_interval
    of = "what readings differ by"
    if found.tolerance is not None:
        of = f"the tolerance, {found.tolerance.text}"
        if found.tolerance.source != "as asked":
            of += f" ({found.tolerance.source})"
    span = f"95 %: {percent(low)} to {percent(high)}"
    yield f"Measuring takes {percent(found.deciding)} of {of} ({span})."
    yield f"{SAID[found.band]}."
    if band_of(low) != band_of(high):
        few = len(found.cells.people)
        yield (
            f"With {few} people the share is not known well: it may lie in another band. More"
            " people tell more than more trials."
        )
    classes = found.study.distinct
    told = "any number of" if math.isinf(classes) else f"{classes:.0f}"
    enough = "enough" if classes >= ENOUGH_CLASSES else f"{ENOUGH_CLASSES} or more are wanted"
    yield f"It tells {told} classes of these parts apart; {enough}."
    if found.tolerance is not None:
        yield f"Of what readings differ by it takes {percent(found.study.share)}."
    yield uncertainty_words(found)
    yield _where(found)


def _where(found: GaugeStudy) -> str:
    """Say what to mend first."""
    gauge, people = found.study.repeatability.sd, found.study.reproducibility.sd
    if people > _TIMES * gauge:
        return "Nearly all of it is people: agree on how the part is held and read."
    if gauge > _TIMES * people:
        return "Nearly all of it is the gauge and how it is handled: people agree among themselves."
    share = people**2 / (people**2 + gauge**2)
    return f"Of its variance {percent(share)} is people, the rest the gauge and how it is handled."


def _sections(found: GaugeStudy) -> Iterator[Section]:
    yield Section("Where the variation comes from", tuple(_pooling(found)), (_components(found),))
    yield Section("By part", tuple(_outliers(found)), picture="by-part")
    yield Section("By person", (), (_people(found),), picture="by-person")
    yield Section("Person and part together", (_interaction(found),), picture="interaction")
    yield Section("Analysis of variance", (), (_table(found),))
    yield Section("By averages and ranges, as a check", (_beside(found),), (_ranges(found),))


def _pooling(found: GaugeStudy) -> Iterator[str]:
    row = found.study.table[2]
    shown = "" if row.p is None else f" (p = {chance(row.p)})"
    if found.study.pooled:
        yield (
            f"That a person reads some parts otherwise than others do does not show{shown}: above"
            f" {POOL_ABOVE:g} it counts as repeatability."
        )
    else:
        yield (
            f"A person reads some parts otherwise than others do{shown}: below {POOL_ABOVE:g} it"
            " counts on its own."
        )
    if found.coarse:
        yield (
            f"Readings move in steps of {found.step:g} {found.unit}, and what repeats is finer:"
            " the figures of measuring are too small or too large. Read between the marks."
        )


def _components(found: GaugeStudy) -> Table:
    study = found.study
    rows = [
        ("repeatability: the gauge", study.repeatability),
        ("reproducibility", study.reproducibility),
    ]
    rows.append(("  person", study.person))
    if study.interaction is not None:
        rows.append(("  person and part", study.interaction))
    rows += [("measuring, together", study.gauge), ("parts", study.part), ("total", study.total)]
    head = ["!source", f"standard deviation, {found.unit}>", "!95 %>", "of the study>"]
    if found.tolerance is not None:
        head.append("of the tolerance>")
    return Table(
        "Components of variance", tuple(head), tuple(_component(found, *row) for row in rows)
    )


def _component(found: GaugeStudy, name: str, one: Component) -> tuple[str, ...]:
    low, high = one.sd_interval
    total = found.study.total.sd
    cells = [name, figures(one.sd), f"{figures(low, 3)} to {figures(high, 3)}"]
    cells.append(percent(one.sd / total if total else 0.0))
    if found.tolerance is not None:
        cells.append(percent(6 * one.sd / found.tolerance.width))
    return tuple(cells)


def _outliers(found: GaugeStudy) -> Iterator[str]:
    if not found.outliers:
        limit = figures(found.range_limit, 3)
        yield f"No trials of one person on one part lie further apart than {limit} {found.unit}."
    for one in found.outliers:
        rest = "" if one.share_without is None else (
            f" Without part {one.part} measuring takes {percent(one.share_without)} of the study;"
            " it is left in."
        )  # fmt: skip
        yield (
            f"Part {one.part}, {one.person}, trial {one.trial}: {figures(one.value, 5)}"
            f" {found.unit}, the others {figures(one.others, 5)}. Find out why.{rest}"
        )


def _people(found: GaugeStudy) -> Table:
    array = found.cells.array
    rows = []
    for j, person in enumerate(found.cells.people):
        own = array[:, j]
        away = float(own.mean()) - found.study.mean
        spread = math.sqrt(float(own.var(axis=1, ddof=1).mean()))
        rows.append((person, figures(float(own.mean()), 5), f"{away:+.3g}", figures(spread, 3)))
    columns = ("person", f"mean, {found.unit}>", "from all>", "repeats within>")
    return Table("People", columns, tuple(rows))


def _interaction(found: GaugeStudy) -> str:
    if found.study.pooled:
        return "Where the lines run alike, people read every part alike, whatever they differ by."
    return "Where the lines cross, a person reads some parts otherwise: look at those parts."


def _table(found: GaugeStudy) -> Table:
    rows = tuple(
        (
            row.source, str(row.dof), figures(row.squares, 5),
            figures(row.mean_square, 5) if row.source != "total" else "",
            "" if row.f is None else figures(row.f, 5), chance(row.p),
        )
        for row in found.study.table
    )  # fmt: skip
    columns = ("!source", "degrees of freedom>", "squares>", "mean square>", "F>", "p>")
    return Table("Part and person tested against their interaction", columns, rows)


def _beside(found: GaugeStudy) -> str:
    own, other = found.study.share, found.ranges.share
    text = f"By ranges measuring takes {percent(other)} of the study; by variances {percent(own)}."
    if not found.study.pooled:
        return f"{text} Ranges cannot see that people read some parts otherwise."
    return text


def _ranges(found: GaugeStudy) -> Table:
    one = found.ranges
    named = (
        ("repeatability", one.repeatability), ("reproducibility", one.reproducibility),
        ("measuring, together", one.gauge), ("parts", one.part), ("total", one.total),
    )  # fmt: skip
    rows = tuple(
        (name, figures(value), percent(value / one.total if one.total else 0.0))
        for name, value in named
    )
    columns = ("!source", f"standard deviation, {found.unit}>", "of the study>")
    return Table("Average and range method", columns, rows)
