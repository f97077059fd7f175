"""Defects by kind, and by the lot, cavity or station they come from: which stands out, and surely.

Lives here: kinds ranked by what they lose (Pareto), groups against all the others by exact tests,
within strata of something else too, and the correction for having looked at many.
Read first: beadwright.statistics.defects.ranked, then ``standing``.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.defects.corrected import holm
from beadwright.statistics.defects.ranked import Cause, Pareto, pareto
from beadwright.statistics.defects.standing import (
    Group,
    Standing,
    over_represented,
    standing_out,
)
from beadwright.statistics.defects.within import Stratum, Within, within

__all__ = [
    "Cause",
    "Group",
    "Pareto",
    "Standing",
    "Stratum",
    "Within",
    "holm",
    "over_represented",
    "pareto",
    "standing_out",
    "within",
]
