"""One quantity against another, as strength against density: lines, curves, and what they say.

Lives here: the straight line with its bands, backwards too; the line through points of known
uncertainty; the polynomial; points that do not seem to belong.
Read first: beadwright.statistics.regression.straight.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.regression.band import Band
from beadwright.statistics.regression.known import KnownLine, fit_known
from beadwright.statistics.regression.polynomial import (
    Polynomial,
    fit_polynomial,
    polynomial_band,
)
from beadwright.statistics.regression.says import (
    Inverse,
    inverse,
    lightest,
    mean_band,
    prediction_band,
    tolerance_bound,
)
from beadwright.statistics.regression.straight import (
    Line,
    Suspect,
    Suspects,
    fit_line,
    suspects,
)

__all__ = [
    "Band",
    "Inverse",
    "KnownLine",
    "Line",
    "Polynomial",
    "Suspect",
    "Suspects",
    "fit_known",
    "fit_line",
    "fit_polynomial",
    "inverse",
    "lightest",
    "mean_band",
    "polynomial_band",
    "prediction_band",
    "suspects",
    "tolerance_bound",
]
