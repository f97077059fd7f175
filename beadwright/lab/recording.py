"""What a recorded curve itself shows that a technician should look at.

Compression and bending share it. Read first: :func:`recording_departures`.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from beadwright.lab.construction import Construction
from beadwright.lab.departure import Departure, outside
from beadwright.lab.loading import Trace

__all__ = ["recording_departures"]

_SLACK_BACK = 0.02  # of the reach in strain: an encoder's count is less, a second loading more
_OFFSET = 0.05  # of the strength
_SCATTER = 0.02  # of the strength
_LATER = 0.01  # of the highest stress of the loading
_OURS = "common practice, no source"


def recording_departures(
    loading: Trace, back: Trace, line: Construction, strength_pa: float, reach: float
) -> Iterator[Departure]:
    """Say where a record is not one plain loading from zero.

    Parameters
    ----------
    loading : Trace
        The loading part, with strain for travel and stress for force. [Pa, 1, s]
    back : Trace
        What follows it, likewise. [Pa, 1, s]
    line : Construction
        Of the loading part. [1, Pa]
    strength_pa : float
        What scatter and offset are held against. [Pa]
    reach : float
        How far past the toe the curve counts. [1]

    Returns
    -------
    departures : iterator of Departure
        A second loading, a start under load, scatter, a highest force as the frame drives back.

    Examples
    --------
    >>> from beadwright.lab.construction import construct
    >>> e = np.linspace(0, 0.03, 31)
    >>> loaded, end = Trace(8e3 + 5e6 * e, e), Trace(np.array([158e3]), np.array([0.03]))
    >>> line = construct(e, loaded.force_n, reach=0.10)
    >>> [one.code for one in recording_departures(loaded, end, line, 150e3, 0.10)]
    ['begins_loaded']
    """
    strain, stress = loading.travel_m, loading.force_n
    before = strain <= line.toe + reach
    gone = float((np.maximum.accumulate(strain) - strain)[before].max(initial=0.0))
    if gone > _SLACK_BACK * reach:
        what = "Travel went back while loading: a second loading, or a slip."
        yield outside("travel_back", what, f"{gone * 100:.2f} % strain", "one loading", _OURS)
    if abs(float(stress[0])) > _OFFSET * strength_pa:
        begin = f"{float(stress[0]) / strength_pa * 100:.1f} % of the strength"
        what = "The record begins under load: a large pre-load, or a cell that was not zeroed."
        yield outside("begins_loaded", what, begin, f"less than {_OFFSET:.0%}", _OURS)
    if line.scatter_pa > _SCATTER * strength_pa:
        found = f"{line.scatter_pa / strength_pa * 100:.1f} % of the strength"
        what = "Stress scatters about the modulus line: the toe and the modulus are weak."
        yield outside("scatter", what, found, f"less than {_SCATTER:.0%}", _OURS)
    highest, later = float(stress.max()), float(back.force_n.max())
    if later > (1 + _LATER) * highest:
        what = "The highest force stands where the frame drives back: travel and force disagree."
        more = f"{(later / highest - 1) * 100:.1f} % more than while loading"
        yield outside("highest_driving_back", what, more, "none", _OURS)
