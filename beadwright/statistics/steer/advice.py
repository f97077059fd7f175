r"""The advice: leave the knob, change it by so much, or no advice, and why.

Read :class:`Series` and :class:`Knob`, then :func:`advised`. A person acts; nothing here does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_at_least, require_between, require_series
from beadwright.statistics.steer.band import Band
from beadwright.statistics.steer.drift import Drift
from beadwright.statistics.steer.gain import Gain

__all__ = ["DOUBT", "Advice", "Change", "Knob", "Series", "advised", "window_of"]

DOUBT = 0.05
"""Chance of so much wander without any below which a wander is taken as shown."""

_OFFSET_SIGMAS = 2.5758293035489004  # two-sided 1 %: the mean of a process that does not wander
_LEAST, _LONGEST = 3, 8

_Word = Literal["leave", "change", "refused"]
_Why = Literal[
    "beyond_band",
    "off_target",
    "inside_band",
    "no_drift",
    "below_step",
    "trims_itself",
    "changed_inside",
    "too_few",
]


@dataclass(frozen=True, slots=True)
class Change:
    """Something other than the knob that changed before a sample: bead lot, pressure, target."""

    sample: int
    what: str


@dataclass(frozen=True, slots=True)
class Series:
    """Samples of one run at one machine, oldest first."""

    deviations: ArrayLike
    """From the target, in one unit. Shape (n,)."""
    acts: ArrayLike
    """Change of the knob between each sample and the next; 0 where nobody acted. Shape (n,)."""
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Knob:
    """What is changed, and what a change does."""

    gain: Gain
    """Deviation for one unit of the knob."""
    step: float = 0.0
    """Smallest change that can be set; 0 where any can."""
    most: float = np.inf
    """Largest change to make at once."""
    delay: int = 0
    """Samples that pass before a change is seen."""
    trims_itself: bool = False
    """Whether the machine corrects its own density: then two would steer, and fight."""


@dataclass(frozen=True, slots=True)
class Advice:
    """Leave, change, or refused; why, and the numbers it rests on."""

    word: _Word
    why: _Why
    forecast: float
    """Deviation expected once all acts so far are seen."""
    u_forecast: float
    limit: float
    """Forecast beyond which a change is advised, now."""
    change: float = 0.0
    """Of the knob, in its unit."""
    after: float = 0.0
    """Deviation expected after it."""
    samples: int = 0
    """Samples it rests on."""
    changed: str = ""
    """What changed inside the window."""
    wait: int = 0
    """Samples still to take before advice can be given again."""


def window_of(weight: float) -> int:
    """Samples after a change before advice is given again: two thirds of the forecast's weight.

    Parameters
    ----------
    weight : float
        Weight of the newest deviation, above 0 up to 1. [1]

    Returns
    -------
    samples : int
        From 3 to 8. [1]

    Raises
    ------
    OutOfRange
        If the weight lies outside.

    Notes
    -----
    The two thirds, and 3 to 8, are ours. [common practice, no source]

    Examples
    --------
    >>> window_of(0.2)
    5
    """
    require_between(1e-6, 1, weight=weight)
    if weight > 1 - 1e-9:
        return _LEAST
    return int(np.clip(np.ceil(np.log(1 / 3) / np.log(1 - weight)), _LEAST, _LONGEST))


def advised(series: Series, drift: Drift, band: Band, knob: Knob) -> Advice:
    r"""Say whether to leave the knob or to change it, and by how much.

    .. math:: \Delta u = -\frac{\hat f\, \hat g}{\hat g^2 + u_g^2} \quad \text{where} \quad
              |\hat f| > L \sqrt{P_t / P_\infty}

    which is the change of least expected square where the gain is not known well. The forecast is
    the level of a local-level filter whose steady state is the exponentially
    weighted average; until it is steady the band is wider in the ratio of standard deviations. Of
    a series in which no wander is shown only a mean off the target, by a two-sided test at 1 %,
    is taken back.

    Parameters
    ----------
    series : Series
        Samples and acts. [1]
    drift : Drift
        How this machine wanders. [1]
    band : Band
        The dead-band that the plant chose. [1]
    knob : Knob
        What is changed. [1]

    Returns
    -------
    advice : Advice
        With its reason. [1]

    Raises
    ------
    OutOfRange
        If there is no sample, a number is not finite, or the gain is 0.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, Statistical Control by Monitoring and Feedback Adjustment,
       Wiley, 1997 [from memory].
    .. [2] Cautious control: K. J. Åström, B. Wittenmark, Adaptive Control, 1989 [from memory].
    .. [3] Steady state of the local-level filter: A. C. Harvey, Forecasting, Structural Time
       Series Models and the Kalman Filter, 1989 [from memory].

    Examples
    --------
    Densities 2 to 3 % too high in a row, and a charge mass that moves them one for one:

    >>> drift = Drift(0.2, 0.05, 0.2, 0.015, 200, 0.001)
    >>> run = Series([0.01, 0.02, 0.03, 0.025, 0.03, 0.028], np.zeros(6))
    >>> band = Band(0.012, 30.0, 2.4e-4, 0.2, 0.015, 0)
    >>> advice = advised(run, drift, band, Knob(Gain(1.0, 0.05, 0)))
    >>> advice.word, round(advice.change, 3)
    ('change', -0.023)
    """
    e, acts = require_series(deviations=series.deviations, acts=series.acts)
    require_between(-np.inf, np.inf, strict=True, deviations=e, acts=acts)
    require_at_least(0, delay=knob.delay, step=knob.step)
    if knob.gain.value == 0:
        name = "gain"
        raise OutOfRange(name, 0.0, valid="a gain other than 0")
    changed = [one.sample for one in series.changes if one.sample < e.size]
    start = max(changed, default=0)
    level, spread = _filtered(e, acts, series.changes, (drift, knob))
    pending = knob.gain.value * float(np.sum(acts[max(e.size - 1 - knob.delay, 0) :]))
    steady = drift.weight * drift.sigma**2
    wide = float(np.sqrt(max(spread / steady, 1.0)))
    found = Advice("leave", "inside_band", level + pending, float(np.sqrt(spread)),
                   band.half_width * wide, samples=e.size - start)  # fmt: skip
    window = window_of(drift.weight)
    if knob.trims_itself:
        return _as(found, "refused", "trims_itself")
    if changed and e.size - start < window:
        return _as(found, "refused", "changed_inside", series.changes, window - (e.size - start))
    if e.size - start < _LEAST:
        return _as(found, "refused", "too_few", (), _LEAST - (e.size - start))
    if drift.no_drift >= DOUBT:
        return _settled(found, e[start:], acts[start:], (drift, knob))
    if abs(found.forecast) <= found.limit:
        return found
    return _change(found, "beyond_band", found.forecast, knob)


def _filtered(
    e: NDArray[np.float64],
    acts: NDArray[np.float64],
    changes: tuple[Change, ...],
    model: tuple[Drift, Knob],
) -> tuple[float, float]:
    """Level expected at the next sample before new acts show, and its variance."""
    drift, knob = model
    noise = (1 - drift.weight) * drift.sigma**2
    step = (drift.weight * drift.sigma) ** 2
    begin = drift.sigma**2
    new = {one.sample for one in changes}
    level, spread = 0.0, begin
    for t, value in enumerate(e):
        made = t - 1 - knob.delay
        if made >= 0 and acts[made]:
            level += knob.gain.value * acts[made]
            spread += (knob.gain.u * acts[made]) ** 2
        if t in new:
            spread = begin
        share = spread / (spread + noise) if spread + noise > 0 else 1.0
        level += share * (value - level)
        spread = (1 - share) * spread + step
    return float(level), float(spread)


def _settled(
    found: Advice,
    e: NDArray[np.float64],
    acts: NDArray[np.float64],
    model: tuple[Drift, Knob],
) -> Advice:
    """Where no wander is shown: only a mean that is off the target is taken back."""
    drift, knob = model
    moved = np.concatenate((np.zeros(1 + knob.delay), np.cumsum(acts)))[: e.size]
    now = e - knob.gain.value * (moved - float(np.sum(acts)))  # as if all acts stood from the start
    mean, u = float(now.mean()), drift.sigma / float(np.sqrt(now.size))
    found = Advice(
        "leave", "no_drift", mean, u, max(_OFFSET_SIGMAS * u, found.limit), samples=now.size
    )
    if abs(mean) <= found.limit:
        return found
    return _change(found, "off_target", mean, knob)


def _change(found: Advice, why: _Why, forecast: float, knob: Knob) -> Advice:
    gain = knob.gain
    cautious = gain.value / (gain.value**2 + gain.u**2)
    change = float(np.clip(-forecast * cautious, -knob.most, knob.most))
    if knob.step > 0:
        change = round(change / knob.step) * knob.step
    if change == 0:
        return _as(found, "leave", "below_step")
    return Advice("change", why, found.forecast, found.u_forecast, found.limit, change,
                  forecast + knob.gain.value * change, found.samples)  # fmt: skip


def _as(
    found: Advice, word: _Word, why: _Why, changes: tuple[Change, ...] = (), wait: int = 0
) -> Advice:
    last = max(changes, key=lambda one: one.sample, default=Change(0, ""))
    return Advice(word, why, found.forecast, found.u_forecast, found.limit,
                  samples=found.samples, changed=last.what, wait=wait)  # fmt: skip
