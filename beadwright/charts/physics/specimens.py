"""Two invented specimens of form-block foam, as a load frame records them, and their pictures.

Read :func:`pressed` and :func:`bent`; the manual's page on curves works them out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from beadwright.charts.curves import Curves
from beadwright.charts.specimen_curve import specimen_curve
from beadwright.lab.beam import Beam
from beadwright.lab.compression import compression_of
from beadwright.lab.flexure import flexure_of
from beadwright.lab.loading import Trace

__all__ = [
    "AREA_M2", "HEIGHT_M", "STRIP", "bending_picture", "bent", "compression_picture", "pressed",
]  # fmt: skip

AREA_M2, HEIGHT_M = 0.1 * 0.1, 0.05
STRIP = Beam(span_m=0.254, width_m=0.1016, depth_m=0.0254)

_EVERY_S = 0.1
_BREAKS = 0.043  # strain


def pressed() -> Trace:
    """Give a cuboid pressed at 5 mm a minute, compression negative as many frames have it."""
    travel = np.arange(0.0, 6.6e-3, 5e-3 / 60 * _EVERY_S)
    strain = _seated(travel / HEIGHT_M, 0.010, 0.0010)
    stress = 95e3 * np.tanh(4.6e6 * strain / 95e3) + 350e3 * strain
    return _recorded(-AREA_M2 * (stress + _noise(travel.size, 150.0)), travel, 5e-3 / 60)


def bent() -> Trace:
    """Give a strip on a span of ten thicknesses bent at 42 mm a minute, until it breaks."""
    travel = np.arange(0.0, 24e-3, 42e-3 / 60 * _EVERY_S)
    strain = _seated(travel * STRIP.strain_per_deflection, 0.003, 0.0004)
    stress = 330e3 * np.tanh(7.5e6 * strain / 330e3)
    stress = np.where(strain > _BREAKS, 0.01 * stress, stress) + _noise(travel.size, 400.0)
    return _recorded(stress / STRIP.stress_per_force, travel, 42e-3 / 60)


def compression_picture() -> Curves:
    """Give the picture of the pressed specimen."""
    found = compression_of(pressed(), area_m2=AREA_M2, height_m=HEIGHT_M)
    title = "A specimen pressed to 10 % strain"
    return specimen_curve(found, name="curve-compression", title=title)


def bending_picture() -> Curves:
    """Give the picture of the bent strip."""
    found = flexure_of(bent(), STRIP)
    return specimen_curve(found, name="curve-bending", title="A strip bent until it breaks")


def _seated(strain: NDArray[np.float64], slack: float, soft: float) -> NDArray[np.float64]:
    """Strain of the foam itself: none while there is slack, then all, with a soft beginning."""
    return np.asarray(soft * np.logaddexp(0.0, (strain - slack) / soft))


def _noise(rows: int, pascals: float) -> NDArray[np.float64]:
    return np.random.default_rng(20).normal(0.0, pascals, rows)


def _recorded(force: NDArray[np.float64], travel: NDArray[np.float64], rate: float) -> Trace:
    return Trace(force, travel, travel / rate)
