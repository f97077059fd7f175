"""When did it start: the first piece after a change, with the interval in which it lies.

So that what is held begins at the right bag, and not at the one where a chart first signalled.

Lives here: steps and drifts of a mean, steps of a rate of counts and of a share of bad pieces; and
one value that stands alone, which is no change.
Read first: beadwright.statistics.changepoint.means. ``statistics.change`` gives the least-squares
fit of a step or slope without an interval.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.changepoint.alone import Alone, alone
from beadwright.statistics.changepoint.counts import count_start, share_start
from beadwright.statistics.changepoint.means import drift_start, start_of, step_start
from beadwright.statistics.changepoint.start import Doubt, Level, Start

__all__ = [
    "Alone",
    "Doubt",
    "Level",
    "Start",
    "alone",
    "count_start",
    "drift_start",
    "share_start",
    "start_of",
    "step_start",
]
