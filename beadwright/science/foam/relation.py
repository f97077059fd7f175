"""A property of foam as it depends on density: what is thought, what the plant's tests add.

Read first: :func:`fit_relation`. A plant moulds in a narrow range of density; there its tests
give the level well and the slope not at all, and :class:`Fitted` says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.foam.line import (
    Line,
    LinePrior,
    chance_below_on,
    fit_line,
    moments_on,
)
from beadwright.science.trust import Banded, Trust, stands

__all__ = [
    "CONDUCTION",
    "RADIATION",
    "Bead",
    "Fitted",
    "FoamTests",
    "Relation",
    "chance_below",
    "expected",
    "fit_relation",
]

CONDUCTION = 5.1743e-5
"""W m²/(K kg): what each kg/m³ of polymer conducts, in white foam. From memory."""
RADIATION = 0.173606
"""W kg/(K m⁴): what less polymer lets through as radiation, in white foam. From memory."""

_COVERAGE = 2.0
_IDENTIFIED = 0.5
"""A slope counts as the plant's own once its uncertainty is half of what was thought."""


class Bead(Enum):
    """What a bead does to radiation; conductivity is never asked without it."""

    WHITE = "white"
    GREY = "grey"


@dataclass(frozen=True, slots=True)
class Relation:
    """A property against density: the prior, where it is centred and where it holds.

    ``shape`` says what the slope multiplies: the density less ``centre_kg_m3``
    (``"straight"``), or what conduction and radiation in white foam add up to less that at the
    centre (``"radiation"``). ``bead`` is None where the bead's colour does not matter.
    """

    name: str
    unit: str
    prior: LinePrior
    source: str
    centre_kg_m3: float = 21.6
    low_kg_m3: float = 16.0
    high_kg_m3: float = 33.0
    shape: Literal["straight", "radiation"] = "straight"
    bead: Bead | None = None

    def feature(self, density_kg_m3: NDArray[np.float64]) -> NDArray[np.float64]:
        """What the slope multiplies at a density."""
        if self.shape == "straight":
            return density_kg_m3 - self.centre_kg_m3
        return _white(density_kg_m3) - _white(np.asarray(self.centre_kg_m3))

    def steepness(self, density_kg_m3: NDArray[np.float64]) -> NDArray[np.float64]:
        """How fast the feature changes with density."""
        if self.shape == "straight":
            return np.ones_like(density_kg_m3)
        return CONDUCTION - RADIATION / density_kg_m3**2


@dataclass(frozen=True, slots=True)
class FoamTests:
    """The plant's tests: two rows of one length, and how well a density is known.

    ``bead`` must be given for conductivity.
    """

    density_kg_m3: ArrayLike
    value: ArrayLike
    u_density_kg_m3: float = 0.0
    bead: Bead | None = None


@dataclass(frozen=True, slots=True)
class Fitted:
    """A relation with what the tests made of it, and how far they give the slope."""

    relation: Relation
    line: Line
    count: int
    slope_ratio: float
    """Uncertainty of the slope over what it was before the tests: 1 where they say nothing."""
    u_slope_alone: float
    """Standard error of a least-squares slope through these tests alone; infinite without."""
    attenuation: float
    """What errors in density would leave of such a slope: 1 is all of it. Already undone here."""
    slope_unknown: str
    """Why the slope is not the plant's own, and what would make it so; empty where it is."""


@stands(
    Trust.ESTIMATE,
    formula="y = a + b f(ρ) + noise, prior from the literature",
    source="Bayesian linear regression; the relation's own source",
    cause="the literature's foams are not the plant's",
    narrowed_by="the plant's own tests with the density of each specimen",
)
def fit_relation(relation: Relation, tests: FoamTests | None = None) -> Fitted:
    r"""What the plant's tests make of a relation.

    Errors in the densities are undone by regression calibration: each density is drawn towards
    the mean by

    .. math:: r = 1 - u^2(\rho) / s^2(\rho)

    Parameters
    ----------
    relation : Relation
        What is thought.
    tests : FoamTests, optional
        The plant's tests; none gives the literature back.

    Returns
    -------
    fitted : Fitted
        The posterior, and how far the slope is the plant's own.

    Raises
    ------
    OutOfRange
        If densities and values are not two rows of one length, a density lies outside the
        relation's range, a value is not above 0, or the tests are of another bead.

    References
    ----------
    .. [1] R. J. Carroll et al., "Measurement Error in Nonlinear Models", 2nd ed., ch. 4,
       regression calibration. [from memory]

    Examples
    --------
    Six compression tests of one narrow range: the level moves, the slope does not.

    >>> from beadwright.science.foam.strength import COMPRESSIVE
    >>> tests = FoamTests([21.2, 21.4, 21.6, 21.7, 21.9, 22.1], [119e3, 121e3] * 3)
    >>> fitted = fit_relation(COMPRESSIVE, tests)
    >>> round(float(fitted.line.mean[0]), -3), round(fitted.slope_ratio, 2)
    (120000.0, 0.99)
    """
    if tests is None:
        none = np.zeros(0)
        line = fit_line(relation.prior, none, none)
        return Fitted(relation, line, 0, 1.0, np.inf, 1.0, "No test of the plant's own yet.")
    density, value = _rows(relation, tests)
    x = relation.feature(density)
    u_x = tests.u_density_kg_m3 * float(np.abs(relation.steepness(density)).mean())
    left = _left_of_slope(x, u_x)
    middle = x.mean()
    drawn = middle + left * (x - middle)
    line = fit_line(relation.prior, drawn, value)
    ratio = float(np.sqrt(line.covariance[1, 1])) / relation.prior.u_slope
    length = float(np.sqrt(np.sum((x - middle) ** 2)))
    alone = line.noise / length if length > 0 else np.inf
    unknown = _unknown(relation, density, line, ratio)
    return Fitted(relation, line, len(value), ratio, alone, left, unknown)


@stands(
    Trust.ESTIMATE,
    formula="a + b f(ρ), with two standard uncertainties either way",
    source="Bayesian linear regression; the relation's own source",
    cause="specimens differ, and line and density are known only so well",
    narrowed_by="the plant's own tests with the density of each specimen",
)
def expected(
    fitted: Fitted,
    density_kg_m3: ArrayLike,
    *,
    u_density_kg_m3: ArrayLike = 0.0,
    single: bool = True,
) -> Banded:
    """What a foam of a density is expected to reach.

    Parameters
    ----------
    fitted : Fitted
        The relation with the plant's tests.
    density_kg_m3 : array_like, shape (...)
        Dry foam density, inside the relation's range. [kg/m^3]
    u_density_kg_m3 : array_like, shape (...), optional
        Its standard uncertainty, >= 0. [kg/m^3]
    single : bool, optional
        Whether of a single specimen, or of the mean of very many.

    Returns
    -------
    value : Banded, shape (...)
        Expected value, and two standard uncertainties either way, in the relation's unit.

    Raises
    ------
    OutOfRange
        If a density lies outside the relation's range, or an uncertainty is negative.

    Examples
    --------
    >>> from beadwright.science.foam.strength import COMPRESSIVE
    >>> round(float(expected(fit_relation(COMPRESSIVE), 21.6).value), -3)
    132000.0
    """
    x, u_x = _placed(fitted.relation, density_kg_m3, u_density_kg_m3)
    mean, u = moments_on(fitted.line, x, u_x=u_x, single=single)
    return Banded.of(mean, mean - _COVERAGE * u, mean + _COVERAGE * u)


@stands(
    Trust.ESTIMATE,
    formula="P(y < limit | ρ)",
    source="Bayesian linear regression; the relation's own source",
    cause="specimens differ, and line and density are known only so well",
    narrowed_by="the plant's own tests with the density of each specimen",
)
def chance_below(
    fitted: Fitted,
    density_kg_m3: ArrayLike,
    limit: ArrayLike,
    *,
    u_density_kg_m3: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Chance that a single specimen of a density comes out below a limit.

    Parameters
    ----------
    fitted : Fitted
        The relation with the plant's tests.
    density_kg_m3 : array_like, shape (...)
        Dry foam density, inside the relation's range. [kg/m^3]
    limit : array_like, shape (...)
        The limit, in the relation's unit. [1]
    u_density_kg_m3 : array_like, shape (...), optional
        Standard uncertainty of the density, >= 0. [kg/m^3]

    Returns
    -------
    chance : ndarray, shape (...)
        Between 0 and 1; it says which lot to test first, and stands for no test. [1]

    Raises
    ------
    OutOfRange
        If a density lies outside the relation's range, or an uncertainty is negative.

    Examples
    --------
    >>> from beadwright.science.foam.strength import COMPRESSIVE
    >>> round(float(chance_below(fit_relation(COMPRESSIVE), 21.6, 132e3)), 6)
    0.5
    """
    x, u_x = _placed(fitted.relation, density_kg_m3, u_density_kg_m3)
    return chance_below_on(fitted.line, x, limit, u_x=u_x)


def _white(density: NDArray[np.float64]) -> NDArray[np.float64]:
    return CONDUCTION * density + RADIATION / density


def _placed(
    relation: Relation, density_kg_m3: ArrayLike, u_density_kg_m3: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    density, u = require_arrays(density_kg_m3=density_kg_m3, u_density_kg_m3=u_density_kg_m3)
    require_between(relation.low_kg_m3, relation.high_kg_m3, density_kg_m3=density)
    require_at_least(0, u_density_kg_m3=u)
    return relation.feature(density), np.abs(relation.steepness(density)) * u


def _rows(relation: Relation, tests: FoamTests) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    density, value = require_arrays(density_kg_m3=tests.density_kg_m3, value=tests.value)
    if density.ndim != 1 or density.shape != value.shape:
        argument, shape = "value", f"of shape {value.shape}"
        raise OutOfRange(argument, shape, valid=f"a row as density_kg_m3, {density.shape}")
    require_between(relation.low_kg_m3, relation.high_kg_m3, density_kg_m3=density)
    require_at_least(0, strict=True, value=value)
    require_at_least(0, u_density_kg_m3=tests.u_density_kg_m3)
    if relation.bead is not None and tests.bead is not relation.bead:
        argument, given = "bead", tests.bead.value if tests.bead else "not given"
        raise OutOfRange(argument, given, valid=f"{relation.bead.value}, as the relation")
    return density, value


def _left_of_slope(x: NDArray[np.float64], u_x: float) -> float:
    """Share of a least-squares slope that errors in x leave."""
    if u_x == 0 or len(x) < 2:  # noqa: PLR2004 - one point has no spread
        return 1.0
    variance = float(x.var(ddof=1))
    return max(0.0, 1.0 - u_x**2 / variance) if variance > 0 else 0.0


def _unknown(relation: Relation, density: NDArray[np.float64], line: Line, ratio: float) -> str:
    if ratio <= _IDENTIFIED:
        return ""
    spread = float(density.std(ddof=1)) if len(density) > 1 else 0.0
    steepness = float(np.abs(relation.steepness(np.asarray(relation.centre_kg_m3))))
    needed = np.sqrt(3 / len(density)) * line.noise / (relation.prior.u_slope * steepness)
    return (
        f"{len(density)} tests whose densities spread by {spread:.2g} kg/m³ (standard deviation)"
        f" leave the slope as it was thought ({ratio:.0%} of its uncertainty); as many spread by"
        f" {needed:.2g} kg/m³ would halve it."
    )
