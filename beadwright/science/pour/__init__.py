"""Fresh concrete against a foam form: pressure, panel, and the rate a lot's strength supports.

Lives here: concrete and placement (``mix``), the published pressure formula (``pressure``), the
panel as a strip over ties (``panel``), the greatest rate and lift (``limit``).
Read first: beadwright.science.pour.pressure, and its caution.
May import: errors, science.constants, science.trust, numpy.
"""

from beadwright.science.pour.limit import (
    LiftLimit,
    Panel,
    RateLimit,
    Reason,
    Weaker,
    greatest_lift,
    greatest_rate,
)
from beadwright.science.pour.mix import (
    Binder,
    Element,
    Mix,
    Pour,
    chemistry_coefficient,
    counts_as_liquid,
    unit_weight_coefficient,
)
from beadwright.science.pour.panel import (
    Strip,
    bending_stress,
    strip_deflection,
    supported_pressure,
    tie_load,
)
from beadwright.science.pour.pressure import (
    CAUTION,
    Governs,
    LateralPressure,
    depth_pressure,
    lateral_pressure,
    rate_equation,
)

__all__ = [
    "CAUTION",
    "Binder",
    "Element",
    "Governs",
    "LateralPressure",
    "LiftLimit",
    "Mix",
    "Panel",
    "Pour",
    "RateLimit",
    "Reason",
    "Strip",
    "Weaker",
    "bending_stress",
    "chemistry_coefficient",
    "counts_as_liquid",
    "depth_pressure",
    "greatest_lift",
    "greatest_rate",
    "lateral_pressure",
    "rate_equation",
    "strip_deflection",
    "supported_pressure",
    "tie_load",
    "unit_weight_coefficient",
]
