"""A gauge study put on record for its instrument: its figures as texts with their units.

Read :func:`study_draft`. What is posted is what the sheet gives: nothing of it is keyed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger.draft import Decision
from beadwright.plant.frame_layouts import require_listed
from beadwright.plant.gauge_studies.crossed import GaugeStudy, Tolerance
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.jig import JigStudy
from beadwright.plant.gauge_studies.laboratories import Comparison
from beadwright.plant.gauge_studies.recorded import KIND
from beadwright.plant.gauge_studies.written import figures
from beadwright.plant.moment import moment_of
from beadwright.plant.nc_file import Attachment
from beadwright.plant.opening import Plant
from beadwright.statistics.gauge_study import Component
from beadwright.statistics.proportions import Proportion

__all__ = ["About", "Figures", "figures_of", "study_draft"]

Figures = dict[str, dict[str, str]]
_DIGITS = 6


@dataclass(frozen=True, slots=True)
class About:
    """Of what a study was, as a person says it."""

    instrument: str
    of: str
    """The characteristic."""
    done: str
    """The day, as ``2026-09-01``."""
    decimal: str = ""


def study_draft(
    plant: Plant,
    found: GaugeStudy | DestroyedStudy | JigStudy | Comparison,
    about: About,
    keep: Callable[[], Attachment],
    sent: tuple[str, str],
) -> Decision:
    """Give a study as the door takes it; ``sent`` is the form's key and who stands for it.

    ``keep`` keeps its sheet, once nothing else is in the way.

    Raises
    ------
    Misuse
        If the plant lists no such instrument, it is a comparison of laboratories, or its sheet
        cannot be kept.
    """
    require_listed(plant.no, about.instrument)
    if isinstance(found, Comparison):
        message = "a comparison between laboratories is of no instrument of the plant"
        raise Misuse(message)
    kept = keep()
    sort = {GaugeStudy: "gauge", DestroyedStudy: "destroyed", JigStudy: "jig"}[type(found)]
    body: dict[str, object] = {
        "sort": sort,
        "of": about.of,
        "done": about.done,
        "band": found.worst if isinstance(found, JigStudy) else found.band,
        "figures": figures_of(found),
        "sheet": kept.sha256,
        "name": kept.name,
    }
    if not isinstance(found, JigStudy) and found.tolerance is not None:
        body |= _tolerance(found.tolerance)
    if about.decimal:
        body["decimal"] = about.decimal
    key, by = f"{KIND}/{sent[0]}", sent[1]
    return Decision(key, moment_of(plant, key), KIND, about.instrument, body, by=by)


def figures_of(found: GaugeStudy | DestroyedStudy | JigStudy) -> Figures:
    """Give what the record keeps of a study."""
    if isinstance(found, JigStudy):
        return _of_jig(found)
    study, unit = found.study, found.unit
    people = study.person if isinstance(found, DestroyedStudy) else found.study.reproducibility
    told = {
        "repeatability": _component(study.repeatability, unit),
        "reproducibility": _component(people, unit),
        "measuring": _component(study.gauge, unit),
    }
    if found.tolerance is not None:
        width = found.tolerance.width
        ends = study.gauge.sd_interval
        told["share_of_tolerance"] = _shares(*(6 * one / width for one in (study.gauge.sd, *ends)))
    if isinstance(found, GaugeStudy):
        told["share_of_study"] = _shares(found.study.share, *found.study.share_interval)
    else:
        told["share_of_study"] = {"value": _percent(study.share)}
    return told


def _of_jig(found: JigStudy) -> Figures:
    study = found.study
    told = {
        "misses": _proportion(study.miss),
        "false_alarms": _proportion(study.false_alarm),
        "all_right": _proportion(study.all_right),
    }
    among = study.among_all
    if among is not None:
        ends = (among.value, among.lower, among.upper)
        told["kappa"] = dict(zip(("value", "low", "high"), map(_figure, ends), strict=True))
    return told


def _tolerance(one: Tolerance) -> dict[str, object]:
    low, high = (f"{end.normalize():f}" for end in (one.low, one.high))
    return {"tolerance": f"{low}..{high} {one.unit}", "tolerance_source": one.source}


def _component(one: Component, unit: str) -> dict[str, str]:
    low, high = one.sd_interval
    named = {"value": one.sd, "low": low, "high": high}
    return {name: f"{_figure(sd)} {unit}" for name, sd in named.items()}


def _proportion(one: Proportion) -> dict[str, str]:
    return _shares(one.share, one.lower, one.upper)


def _shares(value: float, low: float, high: float) -> dict[str, str]:
    return {"value": _percent(value), "low": _percent(low), "high": _percent(high)}


def _percent(share: float) -> str:
    return f"{_figure(100 * share)} %"


def _figure(value: float) -> str:
    return figures(value, _DIGITS)
