"""A comparison between laboratories in words.

Read :func:`comparison_written`.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.plant.gauge_studies.laboratories import LAB_SOURCE, Comparison, LevelStudy
from beadwright.plant.gauge_studies.written import Section, Sort, Table, Written, figures, percent
from beadwright.plant.words import number
from beadwright.statistics.interlaboratory import Laboratory

__all__ = ["NOT_COUNTED", "comparison_written"]

NOT_COUNTED = (
    "whether the material was alike in every laboratory",
    "the error that all laboratories share",
    "other materials, and other levels",
)

_LIMITS = (
    "s_r is the scatter within a laboratory, s_L between laboratories, s_R of both. Two results of"
    " one laboratory differ by more than r once in twenty times, those of two by more than R."
)


def comparison_written(found: Comparison) -> Written:
    """Write a comparison."""
    labs = max(len(one.laboratories) for one in found.levels)
    replicates = max(one.replicates for one in found.levels)
    about = (
        f"{number(len(found.levels), 'level')}, {labs} laboratories, {replicates} results of each,"
        f" in {found.unit}"
    )
    marked = any(one.marked for one in found.levels)
    sort: Sort = "ask" if marked else "good"
    state = "look at what is marked" if marked else "nothing marked"
    levels = tuple(Section(_title(one), tuple(_said(one)), (_labs(one, found.unit),),
                           picture=f"h-and-k-{n}" if len(found.levels) > 1 else "h-and-k")
                   for n, one in enumerate(found.levels))  # fmt: skip
    return Written(
        f"Comparison between laboratories, {found.file}", about, sort, state,
        tuple(_verdict(found)), f"method: {LAB_SOURCE}",
        (Section("Precision of the method", (_LIMITS,), (_precision(found),)), *levels),
        NOT_COUNTED,
    )  # fmt: skip


def _verdict(found: Comparison) -> Iterator[str]:
    for one in found.levels:
        study, unit = one.study, found.unit
        of = f"At level {one.name}, mean" if one.name else "Mean"
        yield (
            f"{of} {figures(study.mean, 5)} {unit}: results of one laboratory scatter by"
            f" {figures(study.repeatability_sd, 3)}, of different ones by"
            f" {figures(study.reproducibility_sd, 3)} {unit}"
            f" ({percent(study.reproducibility_sd / abs(study.mean)) if study.mean else ''})."
        )
        if one.marked:
            yield f"Marked: {'; '.join(_marks(one))}."
    yield "Nobody is left out: what is marked is looked into, at the laboratory."


def _marks(one: LevelStudy) -> Iterator[str]:
    for name, lab in zip(one.laboratories, one.study.laboratories, strict=True):
        if lab.unlike or lab.uneven or lab.coarse:
            yield f"laboratory {name} {' and '.join(_why(lab))}"


def _why(lab: Laboratory) -> Iterator[str]:
    if lab.unlike:
        yield "has another mean than the others"
    if lab.uneven:
        yield "repeats worse than the others"
    if lab.coarse:
        yield "rounds far more coarsely than another"


def _title(one: LevelStudy) -> str:
    return f"Level {one.name}" if one.name else "Laboratory by laboratory"


def _said(one: LevelStudy) -> Iterator[str]:
    study = one.study
    yield (
        f"h is a laboratory's mean from the mean of all, in standard deviations of means: beyond"
        f" {study.h_critical:.2f} it is marked. k is its scatter by the pooled one: beyond"
        f" {study.k_critical:.2f} it is marked."
    )
    if study.cochran.flagged:
        yield f"Cochran's test marks laboratory {one.laboratories[study.cochran.laboratory]}."
    if study.grubbs.flagged:
        yield f"Grubbs' test of means marks laboratory {one.laboratories[study.grubbs.index]}."


def _precision(found: Comparison) -> Table:
    rows = []
    for one in found.levels:
        study = one.study
        each = (
            study.mean, study.repeatability_sd, study.between_sd, study.reproducibility_sd,
            study.repeatability_limit, study.reproducibility_limit,
        )  # fmt: skip
        rows.append((one.name or "all", *(figures(value) for value in each)))
    columns = (
        "level", f"mean, {found.unit}>", "s_r>", "s_L>", "s_R>", "r>", "R>",
    )  # fmt: skip
    return Table("Precision, level by level", columns, tuple(rows))


def _labs(one: LevelStudy, unit: str) -> Table:
    rows = tuple(
        (
            name, figures(lab.mean, 5), figures(lab.sd, 3), f"{lab.h:+.2f}", f"{lab.k:.2f}",
            " and ".join(_why(lab)),
        )
        for name, lab in zip(one.laboratories, one.study.laboratories, strict=True)
    )  # fmt: skip
    return Table(
        "Laboratories", ("laboratory", f"mean, {unit}>", "scatter>", "h>", "k>", "marked"), rows
    )
