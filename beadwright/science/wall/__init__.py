"""The finished wall: what heat it lets through, and where its courses end.

Read first: beadwright.science.wall.stack_up.
"""

from beadwright.science.wall.resistance import (
    TIE_PLASTIC,
    Bridged,
    Layers,
    bridged_resistance,
    layer_resistance,
    series_resistance,
)
from beadwright.science.wall.stack_up import (
    BlockHeights,
    Courses,
    Ending,
    block_heights,
    lot_heights,
    stack_up,
)

__all__ = [
    "TIE_PLASTIC",
    "BlockHeights",
    "Bridged",
    "Courses",
    "Ending",
    "Layers",
    "block_heights",
    "bridged_resistance",
    "layer_resistance",
    "lot_heights",
    "series_resistance",
    "stack_up",
]
