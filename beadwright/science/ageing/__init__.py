"""Beads ageing in their silo: air in, pentane out, and the window between.

Lives here: a sphere's diffusion series (``sphere``).
Read first: beadwright.science.ageing.sphere.
May import: errors, numpy, scipy, science.trust.
"""

from beadwright.science.ageing.sphere import (
    sphere_centre,
    sphere_roots,
    sphere_time,
    sphere_uptake,
    sphere_uptake_resisted,
)

__all__ = [
    "sphere_centre",
    "sphere_roots",
    "sphere_time",
    "sphere_uptake",
    "sphere_uptake_resisted",
]
