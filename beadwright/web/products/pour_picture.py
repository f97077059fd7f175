"""What the picture of a pour is drawn from: a lot's lines in the units that were chosen.

Read :func:`depth_of`.
"""

from __future__ import annotations

from decimal import Decimal

from beadwright.charts.pour import PourDepth
from beadwright.plant.pour import LotPour
from beadwright.plant.worked_words import rounded_down
from beadwright.units import Kind, System, from_si, show

__all__ = ["depth_of"]


def depth_of(lot: LotPour, units: System) -> PourDepth | None:
    """Give what is drawn of a lot; None where it has no answer."""
    if lot.answer is None:
        return None
    value = {one.key: one.value for one in lot.lines if one.value is not None}
    tied = "tie_supported" in value and value["tie_supported"] < value["supported"]
    supported = value["tie_supported" if tied else "supported"]
    psf, long = ("lb/ft²", "ft") if units == "us" else ("kPa", "m")
    digits = 0 if units == "us" else 1
    words = [
        show(value[key], "form_pressure", system=units, digits=digits)
        for key in ("pressure", "head")
    ]
    return PourDepth(
        lot=lot.lot,
        weaker="the ties support" if tied else "the foam supports",
        supported=_in(supported, psf, "form_pressure"),
        pressure=_in(value["pressure"], psf, "form_pressure"),
        head=_in(value["head"], psf, "form_pressure"),
        height=_in(value["height"], long, "length"),
        lift=_in(value["lift"], long, "length"),
        pressure_unit=psf,
        depth_unit=long,
        manual_words=rounded_down(lot.answer.manual_m_s, "speed", units),
        supported_words=rounded_down(supported, "form_pressure", units),
        pressure_words=words[0],
        head_words=words[1],
        lift_words=rounded_down(lot.answer.lift_m, "length", units),
    )


def _in(value: float, unit: str, kind: Kind) -> float:
    return float(from_si(Decimal(repr(value)), unit, kind))
