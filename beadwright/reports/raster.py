"""A picture as a PNG, set by what sets the papers and with its fonts: the same on every machine.

Read :func:`png`.
"""

from __future__ import annotations

import typst

from beadwright.charts.curves import alone
from beadwright.charts.svg import Drawing

__all__ = ["png"]

_PPI = 144.0
"""Two dots for each unit of a picture: readable printed across a page."""

_FONT = "Libertinus Serif"
"""A font that the typesetter carries; narrower than words are measured, so that they fit."""

_PAGE = b"""#set page(width: auto, height: auto, margin: 0pt, fill: white)
#image(bytes(sys.inputs.svg), format: "svg", width: eval(sys.inputs.wide) * 1pt)
"""


def png(drawing: Drawing) -> bytes:
    """Give a picture as a PNG, on white."""
    svg = alone(drawing).replace('font-family="sans-serif"', f'font-family="{_FONT}"', 1)
    return typst.compile(
        _PAGE,
        ignore_system_fonts=True,
        sys_inputs={"svg": svg, "wide": f"{drawing.width:g}"},
        format="png",
        ppi=_PPI,
    )
