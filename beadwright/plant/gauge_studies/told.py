"""A study as a program reads it.

Read :func:`study_json`. Every sort has the same names; of the others stands nothing.
"""

from __future__ import annotations

import math
from typing import Any

from beadwright.plant.gauge_studies.crossed import GaugeStudy, Outlier
from beadwright.plant.gauge_studies.destroyed import DestroyedStudy
from beadwright.plant.gauge_studies.jig import JigStudy
from beadwright.plant.gauge_studies.laboratories import Comparison
from beadwright.plant.gauge_studies.written import Written
from beadwright.statistics.agreement import Kappa
from beadwright.statistics.gauge_study import Component
from beadwright.statistics.proportions import Proportion

__all__ = ["study_json"]


def study_json(
    found: GaugeStudy | DestroyedStudy | JigStudy | Comparison, written: Written
) -> dict[str, Any]:
    """Give a study as a map that JSON can hold; figures are in the unit of the sheet."""
    return {
        "file": found.file,
        "about": written.about,
        "state": written.state,
        "verdict": list(written.verdict),
        "source": written.source,
        "not_counted": list(written.not_counted),
        "gauge": _gauge(found) if isinstance(found, GaugeStudy) else None,
        "destroyed": _destroyed(found) if isinstance(found, DestroyedStudy) else None,
        "jig": _jig(found) if isinstance(found, JigStudy) else None,
        "laboratories": _laboratories(found) if isinstance(found, Comparison) else None,
    }


def _gauge(found: GaugeStudy) -> dict[str, Any]:
    study, tolerance = found.study, found.tolerance
    low, high = study.distinct_interval
    return {
        "unit": found.unit,
        "parts": list(found.cells.parts),
        "people": list(found.cells.people),
        "trials": found.cells.trials,
        "mean": study.mean,
        "pooled": study.pooled,
        "interaction_p": study.table[2].p,
        "repeatability": _component(study.repeatability),
        "person": _component(study.person),
        "interaction": None if study.interaction is None else _component(study.interaction),
        "reproducibility": _component(study.reproducibility),
        "measuring": _component(study.gauge),
        "part": _component(study.part),
        "total": _component(study.total),
        "share_of_study": study.share,
        "share_of_study_interval": list(study.share_interval),
        "tolerance": None if tolerance is None else tolerance.text,
        "tolerance_source": None if tolerance is None else tolerance.source,
        "share_of_tolerance": found.share_of_tolerance,
        "classes": _whole(study.distinct),
        "classes_interval": [_whole(low), _whole(high)],
        "uncertainty": found.uncertainty,
        "step": found.step,
        "by_ranges": {
            "repeatability": found.ranges.repeatability,
            "reproducibility": found.ranges.reproducibility,
            "measuring": found.ranges.gauge,
            "part": found.ranges.part,
            "share_of_study": found.ranges.share,
        },
        "outliers": [_outlier(one) for one in found.outliers],
    }  # fmt: skip


def _outlier(one: Outlier) -> dict[str, Any]:
    return {
        "part": one.part, "person": one.person, "trial": one.trial, "value": one.value,
        "others": one.others, "share_of_study_without": one.share_without,
    }  # fmt: skip


def _whole(classes: float) -> int | None:
    """Give a number of classes; None where measuring does not scatter at all."""
    return None if math.isinf(classes) else int(classes)


def _component(one: Component) -> dict[str, float]:
    low, high = one.sd_interval
    return {"sd": one.sd, "low": low, "high": high}


def _destroyed(found: DestroyedStudy) -> dict[str, Any]:
    study, tolerance = found.study, found.tolerance
    people, parts, trials = found.cells.values.shape
    return {
        "unit": found.unit,
        "people": people,
        "parts": parts,
        "specimens": trials,
        "mean": study.mean,
        "repeatability": _component(study.repeatability),
        "person": _component(study.person),
        "measuring": _component(study.gauge),
        "part": _component(study.part),
        "total": _component(study.total),
        "share_of_study": study.share,
        "tolerance": None if tolerance is None else tolerance.text,
        "share_of_tolerance": found.share_of_tolerance,
        "classes": _whole(study.distinct),
        "uncertainty": study.gauge.sd,
    }


def _jig(found: JigStudy) -> dict[str, Any]:
    study, jig = found.study, found.jig
    return {
        "pieces": len(found.cells.parts),
        "trials": found.cells.trials,
        "people": [
            {
                "person": name,
                "band": found.band(i),
                "alike": _share(judge.consistent),
                "right": _share(judge.effective),
                "misses": _share(judge.miss),
                "false_alarms": _share(judge.false_alarm),
                "kappa": _kappa(judge.with_truth),
            }
            for i, (name, judge) in enumerate(zip(found.cells.people, study.judges, strict=True))
        ],
        "all_right": _share(study.all_right),
        "misses": _share(study.miss),
        "false_alarms": _share(study.false_alarm),
        "kappa_among_all": _kappa(study.among_all),
        "not_right": list(found.wrong),
        "turning_point": None if jig is None else jig.turning_point,
        "turning_point_u": None if jig is None else jig.u_turning_point,
        "spread": None if jig is None else jig.spread,
        "unit": found.unit,
    }


def _share(one: Proportion) -> dict[str, float]:
    return {"count": one.count, "of": one.of, "share": one.share, "low": one.lower,
            "high": one.upper}  # fmt: skip


def _kappa(one: Kappa | None) -> dict[str, float] | None:
    return None if one is None else {"value": one.value, "low": one.lower, "high": one.upper}


def _laboratories(found: Comparison) -> dict[str, Any]:
    return {
        "unit": found.unit,
        "levels": [
            {
                "level": one.name,
                "mean": one.study.mean,
                "repeatability_sd": one.study.repeatability_sd,
                "between_sd": one.study.between_sd,
                "reproducibility_sd": one.study.reproducibility_sd,
                "repeatability_limit": one.study.repeatability_limit,
                "reproducibility_limit": one.study.reproducibility_limit,
                "h_critical": one.study.h_critical,
                "k_critical": one.study.k_critical,
                "laboratories": [
                    {
                        "laboratory": name, "mean": lab.mean, "sd": lab.sd, "h": lab.h,
                        "k": lab.k, "unlike": lab.unlike, "uneven": lab.uneven,
                        "coarse": lab.coarse,
                    }
                    for name, lab in zip(one.laboratories, one.study.laboratories, strict=True)
                ],
            }
            for one in found.levels
        ],
    }  # fmt: skip
