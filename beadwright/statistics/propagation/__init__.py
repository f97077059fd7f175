"""How sure a result is that was worked out from several inputs.

Lives here: the law of propagation of uncertainty, and the same by drawing numbers.
Read first: beadwright.statistics.propagation.first_order.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.propagation.first_order import Propagated, correlated, propagate
from beadwright.statistics.propagation.inputs import (
    Input,
    Model,
    Shape,
    arcsine,
    rectangular,
    triangular,
)
from beadwright.statistics.propagation.monte_carlo import (
    Simulated,
    Simulation,
    first_order_holds,
    simulate,
)

__all__ = [
    "Input",
    "Model",
    "Propagated",
    "Shape",
    "Simulated",
    "Simulation",
    "arcsine",
    "correlated",
    "first_order_holds",
    "propagate",
    "rectangular",
    "simulate",
    "triangular",
]
