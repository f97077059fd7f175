"""A study whose sheet is kept: recorded for its instrument, and worked out again from that sheet.

Read :func:`kept_study` and :func:`worked_again`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from beadwright.interop.studies.opened import kind_of_unit
from beadwright.interop.studies.worked import Asked, Sort, Study, study_of
from beadwright.ledger.draft import Decision
from beadwright.plant.attached import content_of, folder, keep_content
from beadwright.plant.gauge_studies.crossed import Tolerance, read_tolerance
from beadwright.plant.gauge_studies.laboratories import Comparison
from beadwright.plant.gauge_studies.recorded import Figure, RecordedStudy
from beadwright.plant.gauge_studies.recording import About, figures_of, study_draft
from beadwright.plant.gauge_studies.written import Written
from beadwright.plant.opening import Plant

__all__ = ["Sheet", "WorkedAgain", "kept_study", "worked_again"]

_SORTS: dict[str, Sort] = {"gauge": "gauge", "destroyed": "destroyed", "jig": "jig"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet as it was put in."""

    name: str
    raw: bytes


@dataclass(frozen=True, slots=True)
class WorkedAgain:
    """A recorded study, worked out again from the sheet that is kept."""

    study: Study
    written: Written
    same: bool
    """Whether it gives the figures that are recorded."""


def kept_study(
    plant: Plant, sheet: Sheet, asked: Asked, about: About, sent: tuple[str, str]
) -> tuple[Study, Decision]:
    """Work a sheet out, keep it, and give the study as the door takes it.

    ``sent`` is the form's key and who stands for it.

    Raises
    ------
    Refusal
        With everything in the sheet that keeps it from being such a study.
    Misuse
        If the study tells nothing, is of no instrument that is listed, or cannot be kept.
    """
    found, _ = study_of(sheet.name, sheet.raw, asked)
    keep = partial(keep_content, sheet.raw, sheet.name, folder())
    return found, study_draft(plant, found, about, keep, sent)


def worked_again(one: RecordedStudy) -> WorkedAgain:
    """Work a recorded study out from the sheet that is kept.

    Raises
    ------
    Misuse, Refusal
        If the sheet is not kept here or was altered, or is no such study any more.
    """
    raw = content_of(one.sheet, folder())
    limits = partial(_tolerance, one.tolerance, one.tolerance_source) if one.tolerance else None
    asked = Asked(_SORTS[one.sort], "", one.decimal, limits)
    found, written = study_of(one.name, raw, asked)
    if isinstance(found, Comparison):  # no such study is recorded
        return WorkedAgain(found, written, same=False)
    figures = {name: Figure(**parts) for name, parts in figures_of(found).items()}
    return WorkedAgain(found, written, figures == dict(one.figures))


def _tolerance(text: str, source: str, unit: str) -> Tolerance:
    return replace(read_tolerance(text, unit, kind_of_unit(unit)), source=source)
