"""Curves fitted to what a plant measures, and whether its trials can tell a parameter at all.

Lives here: the least squares (``search``), how sure they are (``certainty``), and what a fit
reports of each parameter (``told``).
Read first: :func:`fit`, then :func:`profile_rises`.
May import: errors, science.trust, numpy, scipy.
"""

from beadwright.science.curve_fit.certainty import (
    covariance,
    expanded_uncertainty,
    noise_of,
    profile_rises,
    quantile,
)
from beadwright.science.curve_fit.search import Box, Model, Solution, Vector, least_squares
from beadwright.science.curve_fit.told import (
    Fitted,
    Measured,
    Reported,
    Symbol,
    Told,
    Within,
    fit,
)

__all__ = [
    "Box",
    "Fitted",
    "Measured",
    "Model",
    "Reported",
    "Solution",
    "Symbol",
    "Told",
    "Vector",
    "Within",
    "covariance",
    "expanded_uncertainty",
    "fit",
    "least_squares",
    "noise_of",
    "profile_rises",
    "quantile",
]
