"""When to change a setting, by how much, and when to leave it alone: feedback adjustment.

A process that wanders is brought back now and then; one that only scatters is made worse by every
touch. Deviations are of any unit (for densities: logarithms), a step is one sample.

Lives here: the dead-band and its price, the wander of a series, the gain learnt from acts, what a
habit does, and the advice itself.
Read first: beadwright.statistics.steer.advice.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.steer.advice import (
    Advice,
    Change,
    Knob,
    Series,
    advised,
    window_of,
)
from beadwright.statistics.steer.band import (
    Band,
    band_at,
    cheapest_band,
    interval_and_excess,
)
from beadwright.statistics.steer.drift import Drift, fit_drift, no_drift_chance
from beadwright.statistics.steer.gain import Gain, combined_gain, learnt_gain
from beadwright.statistics.steer.habit import (
    Habit,
    delayed_variance,
    habit_of,
    largest_stable_share,
    share_variance,
)

__all__ = [
    "Advice",
    "Band",
    "Change",
    "Drift",
    "Gain",
    "Habit",
    "Knob",
    "Series",
    "advised",
    "band_at",
    "cheapest_band",
    "combined_gain",
    "delayed_variance",
    "fit_drift",
    "habit_of",
    "interval_and_excess",
    "largest_stable_share",
    "learnt_gain",
    "no_drift_chance",
    "share_variance",
    "window_of",
]
