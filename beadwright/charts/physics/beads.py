"""How large beads become, from the raw bead to the part, and what "5 mm in the part" would ask.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point, Stretch
from beadwright.science import beads

__all__ = ["picture"]

_CUP, _PART, _LOST = 21.6, 21.6, 0.015
_USUAL = (0.5, 1.0)
_CLAIM = 5.0


def picture() -> Curves:
    """Give diameters against the raw bead's: in the silo, with their band, and in the part."""
    raw = np.linspace(0.4, 1.6, 61)
    silo = beads.diameter_in_silo(raw * 1e-3, _CUP, lost_share=_LOST)
    solid = beads.RAW_BEAD.value
    part = beads.expanded_diameter(raw * 1e-3, solid, _PART, lost_share=_LOST) * 1e3
    top = _USUAL[1]
    in_silo, in_part = (float(np.interp(top, raw, y)) for y in (silo.value * 1e3, part))
    needed = float(np.interp(_CLAIM, part, raw))
    words = (
        f"Diameter of a bead against that of its raw bead. At the top of the usual raw range, "
        f"{top:.1f} mm, a bead has {in_silo:.1f} mm in the silo (cup of {_CUP} kg/m³) and "
        f"{in_part:.1f} mm in a part of {_PART} kg/m³. {_CLAIM:.0f} mm in the part would need a "
        f"raw bead of {needed:.2f} mm, beyond that range."
    )
    asks = Label(f"needs {needed:.2f} mm raw", needed - 0.02, 5.25, "end")
    band = {"low": silo.low * 1e3, "high": silo.high * 1e3}
    said = Label("in the silo, with its band", 0.86, 2.2)
    return Curves(
        name="physics-beads",
        title="How large a bead becomes",
        words=words,
        x=Axis("Raw bead, mm", 0.4, 1.6),
        y=Axis("Diameter after, mm", 0.0, 6.0),
        curves=(
            Curve.of(raw, part, tone="block", label=Label("in the part", 0.66, 2.72, "end")),
            Curve.of(raw, silo.value * 1e3, tone="prefoam", label=said, **band),
        ),
        points=(
            Point(top, in_silo, label=Label(f"{in_silo:.1f} mm", 1.02, 2.85)),
            Point(top, in_part, label=Label(f"{in_part:.1f} mm", 0.98, 3.8, "end")),
            Point(needed, _CLAIM, label=asks),
        ),
        across=(Across(_CLAIM, tone="bad", label=Label("“5 mm in the part”", 0.42, 5.25)),),
        stretches=(Stretch(*_USUAL, label=Label("usual raw range", 0.75, 0.3, "middle")),),
    )
