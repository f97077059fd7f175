"""How sure the density of a cut specimen is, by what it was weighed and measured with.

Read :func:`specimen_density_u`.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from beadwright.quality.readings import ReadingView
from beadwright.statistics.propagation import Input, propagate

__all__ = ["specimen_density_u"]

_DIAMETER = "diameter"


def specimen_density_u(fields: Mapping[str, ReadingView]) -> float | None:
    """Give the standard uncertainty of mass over volume; None where a part is not known.

    Sizes that one instrument took are off together, by its calibration: they are taken as wholly
    correlated, which is the safe side for a product of sizes. Mass goes by itself.
    """
    mass = fields.get("mass")
    sizes = {name: one for name, one in fields.items() if name != "mass" and one.si is not None}
    if mass is None or not mass.si or mass.u_si is None or not sizes:
        return None
    taken = [(name, one.si or 0.0, one.u_si) for name, one in sizes.items()]
    if any(u is None or si <= 0 for _, si, u in taken):
        return None
    powers = np.array([2.0 if name == _DIAMETER else 1.0 for name, *_ in taken])
    inputs = [Input(mass.si, mass.u_si), *(Input(si, u or 0.0) for _, si, u in taken)]
    scale = _constant(powers)

    def density(x: NDArray[np.float64]) -> NDArray[np.float64]:
        volume = scale * np.prod(x[1:] ** powers[:, None], axis=0)
        return np.asarray(x[0] / volume)

    together = np.eye(len(inputs))
    tools = [one.instrument for one in sizes.values()]
    for row, one in enumerate(tools, 1):
        for column, other in enumerate(tools, 1):
            if one and one == other:
                together[row, column] = 1.0
    return propagate(density, inputs, together).u


def _constant(powers: NDArray[np.float64]) -> float:
    """Give what the sizes' product is multiplied by: of a cylinder a quarter of pi."""
    return float(np.pi / 4) if np.any(powers > 1) else 1.0
