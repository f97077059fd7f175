"""Lines about one bead that more than one sheet puts: how large it is, and how dense.

Read :func:`put_size` and :func:`put_density`. ``raw_size`` and ``bulk_density`` stand before them.
"""

from __future__ import annotations

from collections.abc import Callable

from beadwright.plant.worked import Working
from beadwright.science.beads import PACKING, bead_density, diameter_in_silo
from beadwright.science.trust import Trust, stands

__all__ = ["half", "put_density", "put_radius", "put_size"]


@stands(Trust.EXACT, formula="d / 2", source="arithmetic")
def half(of: float) -> float:
    """Half of a width."""
    return of / 2


def put_size(sheet: Working) -> None:
    """Put ``bead_size`` and ``bead_radius`` of beads in a silo."""
    parts = {"raw_diameter_m": "raw_size", "bulk_density_kg_m3": "bulk_density"}
    sheet.work("bead_size", ("size of a bead", "length"), diameter_in_silo, parts)
    put_radius(sheet)


def put_radius(sheet: Working, tell: Callable[[str], str] = str) -> None:
    """Put ``bead_radius``, of a size that is there; ``tell`` words the title."""
    title = tell("half the size of a bead")
    sheet.work("bead_radius", (title, "length"), half, {"of": "bead_size"})


def put_density(
    sheet: Working, title: str = "density of a bead", tell: Callable[[str], str] = str
) -> None:
    """Put ``bead_density``, by the share of a heap that is bead."""
    sheet.default("packing", (tell("share of a heap that is bead"), "1"), PACKING)
    parts = {"bulk_density_kg_m3": "bulk_density", "packing": "packing"}
    sheet.work("bead_density", (tell(title), "density"), bead_density, parts)
