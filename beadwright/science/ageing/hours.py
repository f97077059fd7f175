"""Whole hours that an engineer may sign, made of an ageing window. They bind nobody unsigned.

Read first: :func:`proposed_hours`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.science.ageing.window import AgeingWindow
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["ProposedHours", "Sureness", "proposed_hours"]

_Floats = NDArray[np.float64]

_HOUR = 3600.0


class Sureness(Enum):
    """How a proposal of hours stands against the bands."""

    CLEAR = "the bands lie apart: the hours hold at both their ends"
    DOUBTFUL = "the bands overlap: the hours hold for the estimates alone; weigh a mesh sample"
    NONE = "no whole hour lies between enough air and too little pentane"


@dataclass(frozen=True, slots=True)
class ProposedHours:
    """Whole hours for an engineer to sign, one entry for each silo; NaN where there are none.

    ``from_h`` counts from the last bead in, ``until_h`` from the first.
    """

    from_h: _Floats
    until_h: _Floats
    sureness: tuple[Sureness, ...]


@stands(
    Trust.ESTIMATE,
    formula="from the late end of the one band to the early end of the other, in whole hours",
    source="common practice, no source",
    cause="the bands of the ageing window",
    narrowed_by="what narrows the window: rebound, a mesh sample, a probe",
)
def proposed_hours(window: AgeingWindow) -> ProposedHours:
    """Whole hours that an engineer may sign, from a window's bands or, failing that, its values.

    Parameters
    ----------
    window : AgeingWindow, shape (silos,)
        As estimated. [s]

    Returns
    -------
    hours : ProposedHours, shape (silos,)
        Rounded inwards, with how sure they are; never more than the window. [hour]

    Raises
    ------
    OutOfRange
        If a number of the window is none.

    Examples
    --------
    >>> from beadwright.science.ageing.window import SiloFills, ageing_window
    >>> fills = SiloFills(36.0, 0.06, [[2e-3]], 293.15, 293.15, 0.8, 0.0, 0.0)
    >>> hours = proposed_hours(ageing_window(fills))
    >>> hours.from_h.tolist(), hours.until_h.tolist(), hours.sureness[0].name
    ([12.0], [32.0], 'CLEAR')
    """
    ready, stale = window.ready_age_s, window.stale_age_s
    for name in ("ready_age_s", "stale_age_s", "opens_s", "closes_s"):
        one: Banded = getattr(window, name)
        for end in (one.low, one.value, one.high):
            _require_numbers(name, end)
    filling = window.opens_s.value - ready.value - (window.closes_s.value - stale.value)
    early, late = np.ceil(ready.high / _HOUR), np.floor(stale.low / _HOUR)
    clear = filling + early * _HOUR < late * _HOUR
    start = np.where(clear, early, np.ceil(ready.value / _HOUR))
    end = np.where(clear, late, np.floor(stale.value / _HOUR))
    some = filling + start * _HOUR < end * _HOUR
    sureness = tuple(
        Sureness.NONE if not any_ else Sureness.CLEAR if both else Sureness.DOUBTFUL
        for any_, both in zip(some.tolist(), clear.tolist(), strict=True)
    )
    return ProposedHours(np.where(some, start, np.nan), np.where(some, end, np.nan), sureness)


def _require_numbers(name: str, values: _Floats) -> None:
    """Refuse what is no number: it would read as if no hour were left."""
    wrong = np.argwhere(np.isnan(values))
    if wrong.size:
        index = tuple(int(i) for i in wrong[0])
        wanted = "a number"
        raise OutOfRange(name, float("nan"), index=index, valid=wanted)
