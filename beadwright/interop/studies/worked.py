"""A sheet to a study, whichever sort was asked for.

Read :func:`study`. Shell and page ask it alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from beadwright.errors import Misuse
from beadwright.interop.studies.compared import compared
from beadwright.interop.studies.judged import judged
from beadwright.interop.studies.measured import destroyed, measured
from beadwright.interop.studies.opened import kind_of_unit, opened
from beadwright.plant.gauge_studies.crossed import (
    GaugeStudy,
    Tolerance,
    gauge_study,
    read_tolerance,
)
from beadwright.plant.gauge_studies.crossed_words import crossed_written
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy, destroyed_study
from beadwright.plant.gauge_studies.destroyed_words import destroyed_written
from beadwright.plant.gauge_studies.jig import JigStudy, jig_study
from beadwright.plant.gauge_studies.jig_words import jig_written
from beadwright.plant.gauge_studies.laboratories import Comparison, comparison
from beadwright.plant.gauge_studies.laboratories_words import comparison_written
from beadwright.plant.gauge_studies.written import Written

__all__ = ["Asked", "Sort", "Study", "study", "study_of"]

Sort = Literal["gauge", "destroyed", "jig", "laboratories"]
Study = GaugeStudy | DestroyedStudy | JigStudy | Comparison


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a sheet."""

    sort: Sort = "gauge"
    tolerance: str = ""
    """As ``395..405 mm``; empty where none is stated."""
    decimal: str = ""
    """The decimal sign, where the sheet leaves it open."""
    limits: Callable[[str], Tolerance] | None = None
    """Gives a product's tolerance in a unit, where its limits are to be taken."""


def study_of(name: str, raw: bytes, asked: Asked) -> tuple[Study, Written]:
    """Read a sheet that is at hand as bytes; ``name`` is what messages call it.

    Raises
    ------
    Refusal, Misuse
        As :func:`study`.
    """
    with TemporaryDirectory(prefix="beadwright-study-") as folder:
        path = Path(folder) / (Path(name).name or "sheet.csv")
        path.write_bytes(raw)
        return study(path, asked)


def study(path: Path, asked: Asked) -> tuple[Study, Written]:
    """Read a sheet, work the study out, and write it.

    Raises
    ------
    Refusal
        With everything in the sheet that keeps it from being such a study.
    Misuse
        If what was asked cannot be meant, or the study tells nothing.
    """
    if asked.decimal not in {"", ".", ","}:
        message = f"{asked.decimal!r} is no decimal sign: write . or ,"
        raise Misuse(message)
    if asked.sort not in {"gauge", "destroyed"} and (asked.tolerance or asked.limits):
        message = "a tolerance is taken of a gauge study alone"
        raise Misuse(message)
    sheet = opened(path)
    if asked.sort == "jig":
        pieces = judged(sheet, decimal=asked.decimal)
        jig = jig_study(pieces.file, pieces.cells, pieces.good, pieces.sizes, pieces.unit)
        return jig, jig_written(jig)
    if asked.sort == "laboratories":
        of = compared(sheet, decimal=asked.decimal)
        levels = [(one.name, one.laboratories, one.results) for one in of.levels]
        laboratories = comparison(of.file, of.unit, levels)
        return laboratories, comparison_written(laboratories)
    if asked.sort == "destroyed":
        apart = destroyed(sheet, decimal=asked.decimal)
        of_own = destroyed_study(apart.file, apart.unit, apart.cells, _tolerance(asked, apart.unit))
        return of_own, destroyed_written(of_own)
    read = measured(sheet, decimal=asked.decimal)
    found = gauge_study(read.file, read.unit, read.cells, _tolerance(asked, read.unit))
    return found, crossed_written(found)


def _tolerance(asked: Asked, unit: str) -> Tolerance | None:
    if asked.tolerance:
        return read_tolerance(asked.tolerance, unit, kind_of_unit(unit))
    return None if asked.limits is None else asked.limits(unit)
