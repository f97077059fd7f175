"""What limits cost that were estimated from few points.

Read :func:`alarms`.
"""

from __future__ import annotations

import math
from typing import Literal

from scipy.special import gammaln, ndtr, stdtr

from beadwright.statistics.charts.chart import Process

__all__ = ["alarms", "rests"]

_WIDTH = 3.0
_OFTEN = 1 / 300
"""Chance of a false alarm from which a chart says so."""


def alarms(process: Process) -> float:
    r"""Chance of a false alarm of a point judged by limits that were estimated before.

    .. math:: 2\, G_\nu\left(\frac{-3}{c_4 \sqrt{1 + 1/m}}\right)

    in the mean over what the estimate might have been, with :math:`G_\nu` Student's distribution
    and :math:`c_4` of so many degrees of freedom, for the estimates are of the standard deviation
    without bias.

    Parameters
    ----------
    process : Process
        What the limits rest on: m points or subgroups, and a spread of so many degrees of freedom.

    Returns
    -------
    chance : float
        0.0027 where the process is known. [1]

    References
    ----------
    .. [1] C. P. Quesenberry, "The effect of sample size on estimated limits for X-bar and X control
       charts", J. Qual. Technol. 25 (1993) 237-247, of the effect. [from memory]

    Examples
    --------
    >>> round(1 / alarms(Process(0.0, 1.0, "deviation", 25, 24.0)))
    151
    """
    if process.used < 1 or not math.isfinite(process.freedom):
        return float(2 * ndtr(-_WIDTH))
    nu = process.freedom
    unbiased = math.exp(float(gammaln((nu + 1) / 2) - gammaln(nu / 2))) * math.sqrt(2 / nu)
    return float(2 * stdtr(nu, -_WIDTH / (unbiased * math.sqrt(1 + 1 / process.used))))


def rests(process: Process, phase: Literal[1, 2]) -> tuple[str, ...]:
    """Say so where limits rest on too little to signal as seldom as three sigma should.

    Parameters
    ----------
    process : Process
        What the limits rest on.
    phase : {1, 2}
        Only of kept limits anything is said. [1]

    Returns
    -------
    reasons : tuple of str
        A sentence, or none.
    """
    chance = alarms(process)
    if phase == 1 or chance < _OFTEN:
        return ()
    often = f"expect a false alarm in {1 / chance:.0f} points, not in 370."
    return (f"Limits rest on {process.used} points: {often}",)
