"""What a plant's own sample says: the diffusivity of pentane, and one multiplier for air.

A mesh sample of beads hangs in the silo and is weighed again and again; beads rebound the better
the more air they hold. Each gives a posterior on a grid. Read first: :func:`pouch_posterior`.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import require_at_least, require_between, require_enough
from beadwright.science.ageing.gases import PERMEABILITY_SPREAD
from beadwright.science.ageing.loss import PENTANE_DIFFUSIVITY, PENTANE_SPREAD
from beadwright.science.ageing.posterior import Belief, Posterior
from beadwright.science.ageing.sample import (
    Followed,
    MeshSample,
    PentaneAssays,
    Rebounds,
    SampledBeads,
)
from beadwright.science.beads.weight import BeadState, scale_per_dry
from beadwright.science.trust import Trust, stands

__all__ = [
    "AgeingPrior",
    "PouchPosterior",
    "assay_posterior",
    "pouch_posterior",
    "rebound_posterior",
]

_Floats = NDArray[np.float64]

_LEAST = 3
"""Weighings below which dry mass, pentane and air cannot be told apart."""

_CRANK = "Crank's sphere; Bayes' theorem on a grid"


@dataclass(frozen=True, slots=True)
class AgeingPrior:
    """What is believed before a sample: medians, and standard deviations of logarithms."""

    pentane_m2_s: float = PENTANE_DIFFUSIVITY.value
    pentane_spread: float = PENTANE_SPREAD.value
    air_multiplier: float = 1.0
    air_spread: float = PERMEABILITY_SPREAD.value


@dataclass(frozen=True, slots=True)
class PouchPosterior:
    """Diffusivity of pentane at 23 °C and 36 kg/m³ in m²/s, and the multiplier for air."""

    pentane: Posterior
    air: Posterior


@stands(
    Trust.ESTIMATE,
    formula="p(ln D | c) ∝ N(ln D; ln D₀, s²) Π N(cᵢ; c₀ [1 - M(τᵢ)], uᵢ²)",
    source=_CRANK,
    cause="readings scatter, and the content as filled is known only so well",
    narrowed_by="more readings, late ones above all, and a better assay of the fresh beads",
)
def assay_posterior(assays: PentaneAssays, prior: AgeingPrior | None = None) -> Posterior:
    r"""Diffusivity of pentane from its content at several ages.

    .. math::
        p(\ln D \mid c) \propto N(\ln D; \ln D_0, s^2) \;
        N\left(c; \, c_0 [1 - M(\tau)], \, U\right)

    Parameters
    ----------
    assays : PentaneAssays, shape (readings,)
        At least one, ages rising and > 0. [s, 1]
    prior : AgeingPrior, optional
        What is believed before; the default where none is given.

    Returns
    -------
    diffusivity : Posterior
        At 23 °C in a bead of 36 kg/m³, on a grid that was made finer until it did not matter.
        [m^2/s]

    Raises
    ------
    OutOfRange
        If a number is outside its range or shapes do not fit.

    Notes
    -----
    U holds the readings' uncertainties, and that of the content as filled, which all share.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.20.
       [read in: a second source that cites it]

    Examples
    --------
    >>> beads = SampledBeads(36.0, [1.5e-3], 296.15)
    >>> hours = np.array([1.0, 4.0, 8.0, 24.0, 48.0])
    >>> content = [0.0467, 0.0436, 0.0412, 0.0354, 0.0302]
    >>> found = assay_posterior(PentaneAssays(beads, hours * 3600, content, 0.001))
    >>> round(found.value * 1e13, 1), round(found.log_sd, 2), found.told
    (2.3, 0.08, True)
    """
    pentane, _ = _believed(prior)
    followed = Followed.of(assays.beads, assays.time_s)
    content, noise = followed.readings(
        pentane_per_dry=assays.pentane_per_dry, u_pentane_per_dry=assays.u_pentane_per_dry
    )
    require_at_least(0, pentane_per_dry=content)
    require_at_least(0, strict=True, u_pentane_per_dry=noise)
    start = assays.beads.pentane_per_dry

    def misfit(grid: _Floats) -> tuple[_Floats, _Floats]:
        left = followed.pentane_left(grid)
        shared = assays.beads.u_pentane_per_dry * left
        residual = content - start * left
        return _inner(residual, residual, shared, noise), _growth(shared, noise)

    return pentane.after(misfit, content.size)


@stands(
    Trust.ESTIMATE,
    formula="p(ln f | x) ∝ N(ln f; 0, s²) Π N(xᵢ; x_air(f tᵢ), uᵢ²)",
    source=_CRANK,
    cause="rebound is a rough measure of air, and readings scatter",
    narrowed_by="readings at ages at which about half of the air is in",
)
def rebound_posterior(rebounds: Rebounds, prior: AgeingPrior | None = None) -> Posterior:
    r"""One multiplier for the permeability of air from rebound at several ages.

    .. math:: p(\ln f \mid x) \propto N(\ln f; \ln f_0, s^2) \prod_i N(x_i; x(f t_i), u_i^2)

    Parameters
    ----------
    rebounds : Rebounds, shape (readings,)
        At least one, ages rising and > 0. [s, 1]
    prior : AgeingPrior, optional
        What is believed before; the default where none is given.

    Returns
    -------
    multiplier : Posterior
        Of both permeabilities. [1]

    Raises
    ------
    OutOfRange
        If a number is outside its range or shapes do not fit.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.20.
       [read in: a second source that cites it]
    .. [2] That rebound follows the air in the bead. [common practice, no source]

    Examples
    --------
    >>> beads = SampledBeads(36.0, [1.5e-3], 298.15)
    >>> found = rebound_posterior(Rebounds(beads, [1800.0, 3600.0], [0.47, 0.62], 0.05))
    >>> round(found.value, 1), found.told
    (0.5, True)
    """
    _, air = _believed(prior)
    followed = Followed.of(rebounds.beads, rebounds.time_s)
    share, noise = followed.readings(air_share=rebounds.air_share, u_air_share=rebounds.u_air_share)
    require_between(-0.5, 1.5, air_share=share)
    require_at_least(0, strict=True, u_air_share=noise)

    def misfit(grid: _Floats) -> tuple[_Floats, _Floats]:
        residual = share - followed.air_share(grid)
        return (residual**2 / noise**2).sum(axis=-1), np.zeros(grid.size)

    return air.after(misfit, share.size)


@stands(
    Trust.ESTIMATE,
    formula="p(ln D, ln f | m) ∝ prior · N(m; m_dry [1 + c₀(1 - M) + air(f) - buoyancy], U)",
    source=_CRANK,
    cause="readings scatter, water is corrected for, the content as filled is known only so well",
    narrowed_by="readings in the first hours for air, after a day and two for pentane",
)
def pouch_posterior(sample: MeshSample, prior: AgeingPrior | None = None) -> PouchPosterior:
    r"""Diffusivity of pentane and multiplier for air from a mesh sample weighed at several ages.

    .. math::
        p(\ln D, \ln f \mid m) \propto N(\ln D) \, N(\ln f) \;
        N\left(m; \, m_d \left[1 + c_0 (1 - M(\tau)) + a \, x(f t) - b\right], \, U\right)

    Parameters
    ----------
    sample : MeshSample, shape (readings,)
        At least three, ages rising and >= 0; what was weighed need not be known dry. [s, kg]
    prior : AgeingPrior, optional
        What is believed before; the default where none is given.

    Returns
    -------
    posterior : PouchPosterior
        Of each, whatever the other is. [m^2/s, 1]

    Raises
    ------
    OutOfRange
        If a number is outside its range, shapes do not fit, or there are fewer than three
        readings.

    Notes
    -----
    The dry mass is taken out by the flat prior of a scale factor. Air in a full bead (a) weighs
    3 to 4 % of it, which is more than the pentane it loses in a day: without air in the model a
    weighed sample says nothing about pentane.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.20.
       [read in: a second source that cites it]

    Examples
    --------
    Some 100 g of beads of 3 mm, to 50 mg each:

    >>> beads = SampledBeads(36.0, [1.5e-3], 296.15)
    >>> hours = np.array([0.2, 1.0, 4.0, 8.0, 24.0, 48.0])
    >>> grams = [102.93, 103.82, 104.14, 103.94, 103.36, 102.83]
    >>> found = pouch_posterior(MeshSample(beads, hours * 3600, np.array(grams) / 1e3, 5e-5))
    >>> round(found.pentane.value * 1e13, 1), round(found.air.value, 1)
    (2.3, 1.0)
    """
    pentane, air = _believed(prior)
    followed = Followed.of(sample.beads, sample.time_s)
    mass, noise = followed.readings(mass_kg=sample.mass_kg, u_mass_kg=sample.u_mass_kg)
    require_at_least(0, strict=True, mass_kg=mass, u_mass_kg=noise)
    require_enough(_LEAST, "readings", mass_kg=mass.size)
    weighing = _Weighing(followed, sample.beads, mass, noise)
    return PouchPosterior(*pentane.after_both(air, weighing.misfit, mass.size - 1))


@dataclass(frozen=True, slots=True)
class _Weighing:
    followed: Followed
    beads: SampledBeads
    mass: _Floats
    noise: _Floats

    def misfit(self, diffusivity: _Floats, multiplier: _Floats) -> tuple[_Floats, _Floats]:
        """Over both grids, the dry mass taken at its best."""
        left = self.followed.pentane_left(diffusivity)[:, np.newaxis]
        share = self.followed.air_share(multiplier)
        laid = self.followed.laid
        state = BeadState(
            self.beads.bead_density_kg_m3,
            laid.air[0] * share,
            temperature_k=laid.temperature[0],
            room_pressure_pa=laid.model.atmosphere_pa,
        )
        reading = self.beads.pentane_per_dry * left + scale_per_dry(state)
        dry = self.mass.mean()
        shared = self.beads.u_pentane_per_dry * dry * left
        # The best dry mass under the whole covariance, by three inner products.
        both, squared = (
            _inner(reading, other, shared, self.noise) for other in (self.mass, reading)
        )
        alone = _inner(self.mass, self.mass, shared, self.noise)
        return alone - both**2 / squared, _growth(shared, self.noise)


def _inner(one: _Floats, other: _Floats, shared: _Floats, noise: _Floats) -> _Floats:
    """Inner product x' U⁻¹ y for U = diag(noise²) + shared shared', along the last axis."""
    weight = 1 / noise**2
    plain = (one * other * weight).sum(axis=-1)
    left, right = (one * shared * weight).sum(axis=-1), (other * shared * weight).sum(axis=-1)
    return np.asarray(plain - left * right / (1 + (shared**2 * weight).sum(axis=-1)))


def _growth(shared: _Floats, noise: _Floats) -> _Floats:
    """Logarithm of how much the shared uncertainty widens the covariance."""
    return np.asarray(np.log1p((shared**2 / noise**2).sum(axis=-1)))


def _believed(prior: AgeingPrior | None) -> tuple[Belief, Belief]:
    """Of pentane's diffusivity, and of the multiplier for air."""
    before = prior or AgeingPrior()
    require_at_least(0, strict=True, **asdict(before))
    return (
        Belief(before.pentane_m2_s, before.pentane_spread),
        Belief(before.air_multiplier, before.air_spread),
    )
