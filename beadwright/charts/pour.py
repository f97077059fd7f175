"""Fresh concrete's pressure over the depth below its top, against what a lot's panel supports.

Read :func:`picture`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label
from beadwright.plant.pour import Answer, LotPour
from beadwright.plant.worked_words import rounded_down
from beadwright.units import Kind, System, from_si, show

__all__ = ["picture"]

_MOST = 1.6
"""How far above the full head what is supported may lie to stand on the scale."""

_ROOM = 1.12
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What is drawn, in the units that are shown."""

    answer: Answer
    units: System
    weaker: str
    supported: float
    pressure: float
    head: float
    height: float
    lift: float

    @property
    def shown(self) -> bool:
        """Whether what is supported stands on the scale."""
        return self.supported <= _MOST * self.head

    @property
    def lowers(self) -> bool:
        """Whether less than the whole height may be fresh at once."""
        return self.lift < self.height * (1 - _SAME)

    @property
    def top(self) -> float:
        """The scale's high end."""
        return _ROOM * max(self.head, self.supported if self.shown else self.head)

    @property
    def manual(self) -> str:
        """The manual's rate."""
        return rounded_down(self.answer.manual_m_s, "speed", self.units)


def picture(lot: LotPour, units: System) -> Curves | None:
    """Give the picture of a lot; None where it has no answer."""
    if lot.answer is None:
        return None
    value = {one.key: one.value for one in lot.lines if one.value is not None}
    tied = "tie_supported" in value and value["tie_supported"] < value["supported"]
    supported = value["tie_supported" if tied else "supported"]
    psf, long = ("lb/ft²", "ft") if units == "us" else ("kPa", "m")
    drawn = _Drawn(
        lot.answer,
        units,
        "the ties support" if tied else "the foam supports",
        *(_in(one, psf, "form_pressure") for one in (supported, value["pressure"], value["head"])),
        *(_in(value[key], long, "length") for key in ("height", "lift")),
    )
    return Curves(
        name="pour",
        title=f"Pressure of the concrete against lot {lot.lot}",
        words=_words(lot.lot, drawn, (supported, value["pressure"], value["head"])),
        x=Axis(f"Depth below the top of the fresh concrete, {long}", 0.0, drawn.height),
        y=Axis(f"Pressure, {psf}", 0.0, drawn.top),
        curves=tuple(_curves(drawn)),
        across=tuple(_across(drawn)),
    )


def _curves(of: _Drawn) -> Iterator[Curve]:
    """Give the concrete's pressure, down to where it grows no more, and the head beyond."""
    meets = of.height * min(1.0, of.pressure / of.head)
    side = Label(f"at the manual's {of.manual}", 0.99 * of.height, of.pressure + of.top / 30, "end")
    yield Curve((0.0, meets, of.height), (0.0, of.pressure, of.pressure), label=side)
    if of.pressure < of.head * (1 - _SAME):
        side = Label("full head", 0.49 * (meets + of.height), 0.5 * (of.pressure + of.head), "end")
        yield Curve((meets, of.height), (of.pressure, of.head), "quiet", "2 4", label=side)


def _across(of: _Drawn) -> Iterator[Across]:
    if of.shown:
        side = Label(f"what {of.weaker}", 0.01 * of.height, of.supported + of.top / 30)
        yield Across(of.supported, tone="bad", dashes="8 4", label=side)
    if of.lowers:
        to = rounded_down(of.answer.lift_m, "length", of.units)
        side = Label(f"a lift of {to}", 1.01 * of.lift, of.top / 30)
        yield Across(of.lift, upright=True, tone="bad", dashes="2 3", label=side)


def _words(lot: str, of: _Drawn, pressures_pa: tuple[float, float, float]) -> str:
    digits = 0 if of.units == "us" else 1
    supported, pressure, head = (
        show(one, "form_pressure", system=of.units, digits=digits) for one in pressures_pa
    )
    words = (
        f"Pressure of the fresh concrete against the depth below its top. At the manual's"
        f" {of.manual} it grows to {pressure}; the full head is {head}. What {of.weaker} of lot"
        f" {lot}, at the stated factor, is {supported}"
    )
    if not of.shown:
        words += ", more than the picture reaches"
    if of.lowers:
        to = rounded_down(of.answer.lift_m, "length", of.units)
        return f"{words}: at that rate a lift of at most {to}."
    return f"{words}."


def _in(value: float, unit: str, kind: Kind) -> float:
    return float(from_si(Decimal(repr(value)), unit, kind))
