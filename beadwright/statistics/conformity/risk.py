"""The risks of a decision rule before anything is measured: on a process, not on one reading.

Read :func:`global_risks` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import chdtr, chdtri, gammaln, ndtr

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.conformity.probability import Limits
from beadwright.statistics.requirements import refuse

__all__ = [
    "GammaProcess",
    "GlobalRisks",
    "NormalProcess",
    "Process",
    "global_risks",
    "guard_for_consumer_risk",
]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_REACH = 9.0
"""Standard deviations beyond which nothing is: 1e-19 of a normal distribution."""


class Process(Protocol):
    """What is known of the true values of things before they are measured."""

    @property
    def mean(self) -> float:
        """Mean of true values."""

    @property
    def sd(self) -> float:
        """Standard deviation of true values."""

    def density(self, at: NDArray[np.float64]) -> NDArray[np.float64]:
        """Density of true values."""

    def share_below(self, at: float) -> float:
        """Share of true values below one."""

    def span(self) -> tuple[float, float]:
        """From where to where there are any."""


@dataclass(frozen=True, slots=True)
class NormalProcess:
    """True values that are normally distributed."""

    mean: float
    sd: float

    def __post_init__(self) -> None:
        """Refuse a mean that is no number and a spread that is none."""
        require_at_least(-math.inf, mean=self.mean)
        require_at_least(0, strict=True, sd=self.sd)

    def density(self, at: NDArray[np.float64]) -> NDArray[np.float64]:
        """Density of true values."""
        z = (at - self.mean) / self.sd
        return np.asarray(np.exp(-(z**2) / 2) / (self.sd * math.sqrt(2 * math.pi)))

    def share_below(self, at: float) -> float:
        """Share of true values below one."""
        return float(ndtr((at - self.mean) / self.sd))

    def span(self) -> tuple[float, float]:
        """From where to where there are any."""
        return self.mean - _REACH * self.sd, self.mean + _REACH * self.sd


@dataclass(frozen=True, slots=True)
class GammaProcess:
    """True values that cannot be below 0 and tail off above: an error of form, a gap."""

    mean: float
    sd: float

    def __post_init__(self) -> None:
        """Refuse a mean or a spread that is not above 0, and a spread above the mean."""
        require_at_least(0, strict=True, mean=self.mean, sd=self.sd)
        if self.sd > self.mean:
            refuse("sd", self.sd, f"at most the mean, {self.mean:g}: else most values are at 0")

    @property
    def _shape(self) -> float:
        return (self.mean / self.sd) ** 2

    @property
    def _scale(self) -> float:
        return self.sd**2 / self.mean

    def density(self, at: NDArray[np.float64]) -> NDArray[np.float64]:
        """Density of true values."""
        x = np.maximum(at, 1e-300) / self._scale
        logarithm = (self._shape - 1) * np.log(x) - x - gammaln(self._shape)
        return np.where(at > 0, np.exp(logarithm) / self._scale, 0.0)

    def share_below(self, at: float) -> float:
        """Share of true values below one."""
        return float(chdtr(2 * self._shape, 2 * max(at, 0.0) / self._scale))

    def span(self) -> tuple[float, float]:
        """From where to where there are any."""
        return 0.0, float(chdtri(2 * self._shape, 1e-18)) * self._scale / 2


@dataclass(frozen=True, slots=True)
class GlobalRisks:
    """Shares of all that a process makes and a rule judges."""

    nonconforming: float
    """Made beyond the limits."""
    accepted: float
    consumer: float
    """Beyond the limits and accepted."""
    producer: float
    """Within the limits and rejected."""


def global_risks(process: Process, u: float, limits: Limits, guard: float = 0.0) -> GlobalRisks:
    r"""Consumer's and producer's risk of a rule on what a process makes.

    .. math::
        R_C = \int_{\text{outside}} g_0(\eta) P(\text{accepted} \mid \eta) \, d\eta, \qquad
        R_P = \int_{\text{inside}} g_0(\eta) P(\text{rejected} \mid \eta) \, d\eta

    A go/no-go gauge is such a rule too: ``u`` is the spread of where it turns, and the guard band
    is how far inside the limit it turns.

    Parameters
    ----------
    process : Process
        What is known of the true values beforehand, in any unit.
    u : float
        Standard uncertainty of a reading, in the same unit, > 0. [1]
    limits : Limits
        What is allowed, in the same unit.
    guard : float, optional
        Guard band inside each limit, in the same unit; below 0 outside. [1]

    Returns
    -------
    risks : GlobalRisks
        Shares of all that is made.

    Raises
    ------
    OutOfRange
        If the uncertainty is not a finite number above 0, or the guard band not finite or more
        than half the distance of the limits.

    Notes
    -----
    Normal errors of reading, by Gauss-Legendre quadrature between the places where the integrand
    bends; good to some 12 digits. The risks are those of the process described: where it moves,
    they move.

    References
    ----------
    .. [1] JCGM 106:2012, 9.5: global consumer's and producer's risk. [from memory]

    Examples
    --------
    Ball bearings whose error of form is 1 µm on the mean, standard deviation 0.5 µm, at most
    2 µm, read with u = 0.25 µm:

    >>> risks = global_risks(GammaProcess(1.0, 0.5), 0.25, Limits(upper=2.0))
    >>> (round(risks.nonconforming, 4), round(risks.consumer, 4), round(risks.producer, 4))
    (0.0424, 0.008, 0.0174)
    """
    require_at_least(0, strict=True, u=u)
    require_at_least(-math.inf, guard=guard)
    if guard > (limits.upper - limits.lower) / 2:
        room = (limits.upper - limits.lower) / 2
        refuse("guard", guard, f"at most half the distance of the limits, {room:g}")
    below = process.share_below(limits.lower) if math.isfinite(limits.lower) else 0.0
    beyond = 1 - process.share_below(limits.upper) if math.isfinite(limits.upper) else 0.0
    lower, upper = limits.lower + guard, limits.upper - guard
    at, weight = _grid(process, u, (limits.lower, limits.upper, lower, upper))
    made = process.density(at) * weight
    taken = ndtr((upper - at) / u) - ndtr((lower - at) / u)
    refused = ndtr((at - upper) / u) + ndtr((lower - at) / u)
    inside = limits.hold(at)
    return GlobalRisks(
        nonconforming=below + beyond,
        accepted=float((made * taken).sum()),
        consumer=float((made * taken)[~inside].sum()),
        producer=float((made * refused)[inside].sum()),
    )


def guard_for_consumer_risk(process: Process, u: float, limits: Limits, risk: float) -> float:
    """Guard band at which a rule's global consumer's risk is what it may be.

    Parameters
    ----------
    process : Process
        What is known of the true values beforehand, in any unit.
    u : float
        Standard uncertainty of a reading, in the same unit, > 0. [1]
    limits : Limits
        What is allowed, in the same unit.
    risk : float
        Share of all that is made which may be beyond the limits and accepted, above 0 and below
        what the process makes beyond them. [1]

    Returns
    -------
    guard : float
        Guard band inside each limit, in the unit of the limits; below 0 where the process is so
        good that the limits may be widened. [1]

    Raises
    ------
    OutOfRange
        If the uncertainty is not above 0, or no guard band gives this risk: more than is made
        beyond the limits, or less than the smallest that this uncertainty can reach.

    References
    ----------
    .. [1] JCGM 106:2012, 9.5.4: acceptance limit for a chosen risk. [read in: a second source
       that cites it]

    Examples
    --------
    >>> 2 - guard_for_consumer_risk(GammaProcess(1.0, 0.5), 0.25, Limits(upper=2.0), 0.001)
    1.6718
    """
    require_at_least(0, strict=True, u=u)
    require_between(0, 1, strict=True, risk=risk)

    def excess(guard: float) -> float:
        return global_risks(process, u, limits, guard).consumer - risk

    low, high = process.span()
    widest = -(high - low) - 2 * _REACH * u
    room = (limits.upper - limits.lower) / 2
    narrowest = room if math.isfinite(room) else -widest
    most, least = excess(widest) + risk, excess(narrowest) + risk
    if not least < risk < most:
        refuse("risk", risk, f"a number above {least:.3g} and below {most:.3g}")
    return float(brentq(excess, widest, narrowest, xtol=1e-13 * (high - low)))


def _grid(
    process: Process, u: float, edges: tuple[float, ...]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Nodes and weights over the process's span, in panels that end where the integrand bends."""
    low, high = process.span()
    steps = np.array([-8.0, -5.0, -3.0, -1.5, 0.0, 1.5, 3.0, 5.0, 8.0])
    marks = [process.mean + process.sd * steps]
    marks += [edge + u * steps for edge in edges if math.isfinite(edge)]
    inner = np.concatenate(marks)
    ends = np.unique(np.concatenate(([low, high], inner[(inner > low) & (inner < high)])))
    half, middle = np.diff(ends) / 2, (ends[1:] + ends[:-1]) / 2
    at = middle[:, None] + half[:, None] * _NODES
    return at.reshape(-1), (half[:, None] * _WEIGHTS).reshape(-1)
