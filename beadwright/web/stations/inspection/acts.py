"""What somebody does at inspection, and the smallest form of each: the fields that are asked.

Read :data:`ACTS`. What else the form holds is filled in already, and stands behind one tap.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.plant.inspecting import Part
from beadwright.web.stations import sheet

__all__ = ["ACTS", "COUNTS", "Act"]


@dataclass(frozen=True, slots=True)
class Act(sheet.Act):
    """One thing that is done to a lot."""

    more: tuple[str, ...]
    """Fields that are of use in this form besides."""
    answers: tuple[Part, ...]
    """What it brings of what a lot needs."""
    unsaid: str = ""
    """What stands where no cavity is chosen; empty where none is asked."""


ACTS: Mapping[str, Act] = {
    one.name: one
    for one in (
        Act("block", "Weigh, gauge", "Record the block", "inspections",
            ("mass", "length", "width", "height", "state", "age"),
            ("at", "lot", "specimen", "instrument"), ("weigh", "gauge"), says="one block",
            done="Recorded.", unsaid="not said"),
        Act("look", "Look over", "Record what was seen", "inspections",
            ("checked", "bad_ties", "bad_fusion", "bad_dimension", "bad_surface", "rejected",
             "scrap_bin"),
            ("at", "lot", "state"), ("look",),
            says="ties, fusion, size, surface", done="Looked over.",
            unsaid="of several, or not said"),
        Act("fusion", "Fusion", "Record the break", "results", ("fusion",),
            ("at", "lot", "specimen", "method"), ("fusion",),
            says="a block broken", done="The break is in the record."),
    )
}  # fmt: skip
"""In the order in which they stand on the page."""

COUNTS: Mapping[str, str] = {
    "bad_ties": "Ties",
    "bad_fusion": "Fusion",
    "bad_dimension": "Size",
    "bad_surface": "Surface",
}
"""What pieces are looked over for: each passes, or so many are bad."""
