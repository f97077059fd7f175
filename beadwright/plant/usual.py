"""What a plant takes as usual until it has measured its own; none of these is a limit.

Read each one's source: most are from memory, and every answer that rests on one says so.
"""

from __future__ import annotations

from beadwright.science.trust import Parameter

__all__ = [
    "DEMOULDED",
    "DRYNESS",
    "FILLED_KELVIN",
    "FILL_RATIO",
    "KEPT",
    "ROOM_KELVIN",
    "SILO_KELVIN",
    "STORE_KELVIN",
    "WEIGHED_SAMPLE",
]

KEPT = Parameter(
    "k", 0.8, 0.65, 1.0, "1", "illustrative split of the losses, common practice, no source",
    memory=True,
)  # fmt: skip
"""Share of the raw bead's pentane that is still there after pre-expansion."""

SILO_KELVIN = Parameter(
    "T", 303.15, 293.15, 333.15, "K", "beads come warm and a silo's core stays so for a day",
    memory=True,
)  # fmt: skip
"""What a silo's beads have, taken over all of them."""

STORE_KELVIN = Parameter("T", 293.15, 278.15, 308.15, "K", "a store of blocks", memory=True)

DEMOULDED = Parameter(
    "w", 0.025, 0.015, 0.035, "1", "illustrative split of the losses, common practice, no source",
    memory=True,
)  # fmt: skip
"""Pentane per mass of foam in a block fresh from the mould."""

FILL_RATIO = Parameter(
    "F", 1.05, 1.0, 1.15, "1", "useful range in shape moulding, common practice, no source",
    memory=True,
)  # fmt: skip
"""Moulded density over bulk density of what is blown into the mould."""

DRYNESS = Parameter("x", 0.97, 0.9, 1.0, "1", "steam at a mould, common practice, no source",
                    memory=True)  # fmt: skip
"""Share of the steam at a mould that is vapour."""

ROOM_KELVIN = Parameter("T", 293.15, 283.15, 303.15, "K", "a hall of silos", memory=True)

FILLED_KELVIN = Parameter(
    "T", 318.15, 303.15, 333.15, "K", "beads as they come from a dryer, common practice, no source",
    memory=True,
)  # fmt: skip
"""Temperature at which beads come into a silo."""

WEIGHED_SAMPLE = Parameter(
    "u_m/m", 5e-4, 2e-4, 2e-3, "1", "0.05 g of 100 g, drying included; common practice, no source",
    memory=True,
)  # fmt: skip
"""Standard uncertainty of a mesh sample's weighing, as share of its mass."""
