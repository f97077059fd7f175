"""How a process sits inside its limits, what so many readings prove of it, and what they do not.

Lives here: the indices with their intervals, the percentile method for what is not normal, and a
check of normality in plain words.
Read first: beadwright.statistics.capability.indices.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.capability.indices import (
    Capability,
    Index,
    Stability,
    Stable,
    Tolerance,
    Within,
    capability,
    pooled_within,
)
from beadwright.statistics.capability.normality import Normality, normality
from beadwright.statistics.capability.pearson import pearson_quantile
from beadwright.statistics.capability.percentiles import (
    PercentileCapability,
    Shape,
    percentile_capability,
)

__all__ = [
    "Capability",
    "Index",
    "Normality",
    "PercentileCapability",
    "Shape",
    "Stability",
    "Stable",
    "Tolerance",
    "Within",
    "capability",
    "normality",
    "pearson_quantile",
    "percentile_capability",
    "pooled_within",
]
