r"""The lightest density to aim at, so that a lot fails its limits no more often than is allowed.

Read first: :class:`Demand` and :class:`Spread`, then :func:`lightest`. An estimate: it proposes
what to try and to test, and stands for no test.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from beadwright.errors import OutOfRange, require_at_least, require_between
from beadwright.science.foam.line import Line
from beadwright.science.foam.relation import Fitted
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["Alone", "Demand", "Lightest", "Spread", "chance_of_failing", "lightest"]

_NODES = 24
_DRAWS = 600
_SEED = 20_260
_ROUNDS = 48
_BAND = (0.05, 0.95)
_BAND_OF_CHANCE = (0.05, 0.99)
"""A chance is so skewed that its mean often lies above 95 in 100 of what it may be."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """How densities of dry foam scatter about the aim, as they truly are, in kg/m3."""

    between: float
    """Standard deviation of a lot's level: of bags, of days."""
    between_df: float
    """Degrees of freedom it is known by."""
    within: float
    """Of pieces and specimens of one lot."""
    within_df: float


@dataclass(frozen=True, slots=True)
class Demand:
    """A least value that each lot must keep."""

    name: str
    limit: float
    """In the unit of the property. Of a density in kg/m3."""
    statistic: Literal["mean", "each"]
    specimens: int
    """Tested of a lot."""
    fitted: Fitted | None
    """The property against density; None where the limit is on density itself."""
    u_reading: float = 0.0
    """Standard uncertainty of one reading of density, where the limit is on density."""


@dataclass(frozen=True, slots=True)
class Alone:
    """What one demand asks for by itself, with the band of its estimate, in kg/m3."""

    name: str
    density: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Lightest:
    """The lightest density to aim at."""

    density_kg_m3: float
    low_kg_m3: float
    high_kg_m3: float
    """Nine in ten: from what is not known of the relation and of the spreads."""
    governs: str
    """The demand that alone asks for the highest density."""
    alone: tuple[Alone, ...]


@stands(
    Trust.ESTIMATE,
    formula="P(a lot fails), over its level, its specimens, and what is not known of them",
    source="law of total probability; the relations' own sources",
    cause="relation and spreads are known only so well",
    narrowed_by="the plant's own tests with the density of each specimen, and more lots",
)
def chance_of_failing(density_kg_m3: float, spread: Spread, demands: Sequence[Demand]) -> Banded:
    r"""Chance that a lot fails one of its demands when a density is aimed at.

    .. math::
        P = 1 - E \prod_j \Phi\left(\frac{a_j + b_j f(\rho + B) - L_j}{s_j}\right)^{n_j},
        \qquad s_j^2 = \sigma_j^2 + (b_j f' s_w)^2

    over lot levels B and the posterior of every line; of a mean the power is 1 and
    :math:`s_j / \sqrt{n_j}`.

    Parameters
    ----------
    density_kg_m3 : float
        Aimed at, dry foam. [kg/m^3]
    spread : Spread
        How densities scatter. [kg/m^3]
    demands : sequence of Demand
        What a lot must keep, at least one.

    Returns
    -------
    chance : Banded
        Between 0 and 1, and from 5 to 99 in 100 of what it may be. [1]

    Raises
    ------
    OutOfRange
        If there is no demand, or an argument lies outside its range.

    References
    ----------
    .. [1] A. Gelman et al., "Bayesian Data Analysis", 3rd ed., 3.2, posterior of a variance, and
       14, regression. [from memory]
    """
    drawn = _Drawn(spread, demands)
    require_at_least(0, strict=True, density_kg_m3=density_kg_m3)
    each = drawn.failing(np.full(_DRAWS, density_kg_m3))
    return Banded.of(each.mean(), *np.quantile(each, _BAND_OF_CHANCE))


@stands(
    Trust.ESTIMATE,
    formula="P(a lot fails) = what is allowed, solved for the density aimed at",
    source="law of total probability; the relations' own sources",
    cause="relation and spreads are known only so well",
    narrowed_by="the plant's own tests with the density of each specimen, and more lots",
)
def lightest(
    spread: Spread,
    demands: Sequence[Demand],
    allowed: float,
    *,
    between_kg_m3: tuple[float, float] = (5.0, 100.0),
) -> Lightest:
    """Lightest density at which a lot fails no more often than is allowed.

    Parameters
    ----------
    spread : Spread
        How densities scatter. [kg/m^3]
    demands : sequence of Demand
        What a lot must keep, at least one.
    allowed : float
        Chance of a lot that fails, above 0 and below 0.5. [1]
    between_kg_m3 : tuple of float, optional
        Where it is looked for. [kg/m^3]

    Returns
    -------
    lightest : Lightest
        With the band of its estimate. [kg/m^3]

    Raises
    ------
    OutOfRange
        If there is no demand, an argument lies outside its range, or the density lies outside
        where it is looked for.

    References
    ----------
    .. [1] A. Gelman et al., "Bayesian Data Analysis", 3rd ed., 3.2 and 14. [from memory]

    Examples
    --------
    Density alone, known well: 20 kg/m3 for each of five pieces, 1 lot in 100.

    >>> demand = Demand("density", 20.0, "each", 5, None)
    >>> found = lightest(Spread(0.0, 1e9, 0.3, 1e9), [demand], 0.01)
    >>> round(found.density_kg_m3, 2)
    20.86
    """
    require_between(0, 0.5, strict=True, allowed=allowed)
    whole = _estimated("", _Drawn(spread, demands), allowed, between_kg_m3)
    alone = tuple(
        _estimated(one.name, _Drawn(spread, [one]), allowed, between_kg_m3) for one in demands
    )
    governs = max(alone, key=lambda one: one.density).name
    return Lightest(whole.density, whole.low, whole.high, governs, alone)


def _estimated(name: str, drawn: _Drawn, allowed: float, between: tuple[float, float]) -> Alone:
    density = _solved(drawn, allowed, between, pooled=True)[0]
    low, high = np.quantile(_solved(drawn, allowed, between, pooled=False), _BAND)
    return Alone(name, float(density), float(low), float(high))


class _Drawn:
    """Spreads and lines as they may be, drawn once from what is known of them."""

    def __init__(self, spread: Spread, demands: Sequence[Demand]) -> None:
        require_at_least(0, between=spread.between, within=spread.within)
        require_at_least(1, between_df=spread.between_df, within_df=spread.within_df)
        if not demands:
            name = "demands"
            raise OutOfRange(name, "none", valid="at least one")
        require_at_least(1, specimens=[one.specimens for one in demands])
        rng = np.random.default_rng(_SEED)
        self.between = _sd(spread.between, spread.between_df, rng)
        self.within = _sd(spread.within, spread.within_df, rng)
        self.demands = [(one, *_line(one, rng)) for one in demands]
        nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
        self.nodes, self.weights = nodes, weights / weights.sum()

    def failing(self, density: _Floats) -> _Floats:
        """Chance of a lot that fails, for each draw at its density."""
        level = density[:, None] + self.between[:, None] * self.nodes
        good = np.ones_like(level)
        for demand, start, slope, noise in self.demands:
            relation = demand.fitted.relation if demand.fitted else None
            feature = level if relation is None else relation.feature(level)
            steep = 1.0 if relation is None else relation.steepness(level)
            spread = np.hypot(noise[:, None], slope[:, None] * steep * self.within[:, None])
            mean = start[:, None] + slope[:, None] * feature - demand.limit
            if demand.statistic == "mean":
                good *= ndtr(mean * np.sqrt(demand.specimens) / spread)
            else:
                good *= ndtr(mean / spread) ** demand.specimens
        return np.asarray(1.0 - good @ self.weights)


def _sd(value: float, df: float, rng: np.random.Generator) -> _Floats:
    """Standard deviations as they may be: by chi square about the estimate."""
    return np.asarray(value * np.sqrt(df / rng.chisquare(df, _DRAWS)))


def _line(demand: Demand, rng: np.random.Generator) -> tuple[_Floats, _Floats, _Floats]:
    """Intercepts, slopes and noises of a demand's line as they may be."""
    if demand.fitted is None:
        tiny = 1e-9
        noise = np.full(_DRAWS, max(demand.u_reading, tiny))
        return np.zeros(_DRAWS), np.ones(_DRAWS), noise
    line: Line = demand.fitted.line
    chosen = rng.choice(line.noises.size, size=_DRAWS, p=line.weights)
    roots = np.linalg.cholesky(line.covariances[chosen])
    drawn = line.means[chosen] + np.einsum("kij,kj->ki", roots, rng.normal(size=(_DRAWS, 2)))
    return drawn[:, 0], drawn[:, 1], line.noises[chosen]


def _solved(
    drawn: _Drawn, allowed: float, between: tuple[float, float], *, pooled: bool
) -> _Floats:
    """Halve the interval until the chance is what is allowed: of all draws together, or of each."""
    low, high = (np.full(_DRAWS, end) for end in between)

    def chance(density: _Floats) -> _Floats:
        found = drawn.failing(density)
        return np.full(_DRAWS, found.mean()) if pooled else found

    if not (chance(high) < allowed).all():
        name = "between_kg_m3"
        raise OutOfRange(name, between[1], valid="a density at which lots keep their limits")
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        fails = chance(middle) > allowed
        low, high = np.where(fails, middle, low), np.where(fails, high, middle)
    return high
