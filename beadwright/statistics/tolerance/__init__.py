"""Bounds that hold a stated share of all that is made, and what may be declared by them.

A mean's confidence interval says where the mean is; these say where the pieces are.

Lives here: tolerance factors and intervals, the declared value, the labelled resistance.
Read first: beadwright.statistics.tolerance.intervals.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.tolerance.declared import (
    Declared,
    LabelJudgement,
    declared_value,
    judge_label,
)
from beadwright.statistics.tolerance.factors import one_sided_factor, two_sided_factor
from beadwright.statistics.tolerance.intervals import (
    Side,
    ToleranceInterval,
    distribution_free_count,
    distribution_free_interval,
    tolerance_interval,
)

__all__ = [
    "Declared",
    "LabelJudgement",
    "Side",
    "ToleranceInterval",
    "declared_value",
    "distribution_free_count",
    "distribution_free_interval",
    "judge_label",
    "one_sided_factor",
    "tolerance_interval",
    "two_sided_factor",
]
