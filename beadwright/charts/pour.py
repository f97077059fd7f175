"""Fresh concrete's pressure over the depth below its top, against what a lot's panel supports.

Read :class:`PourDepth`, then :func:`picture`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label

__all__ = ["PourDepth", "picture"]

_MOST = 1.6
"""How far above the full head what is supported may lie to stand on the scale."""

_ROOM = 1.12
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class PourDepth:
    """What is drawn; figures in the units that the axes say, words with theirs."""

    lot: str
    weaker: str
    """Which part of the panel sets what is supported, such as ``the foam supports``."""
    supported: float
    pressure: float
    """What the concrete's pressure grows to, at the manual's rate."""
    head: float
    height: float
    lift: float
    pressure_unit: str
    depth_unit: str
    manual_words: str
    supported_words: str
    pressure_words: str
    head_words: str
    lift_words: str

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


def picture(of: PourDepth) -> Curves:
    """Give the picture of a lot."""
    return Curves(
        name="pour",
        title=f"Pressure of the concrete against lot {of.lot}",
        words=_words(of),
        x=Axis(f"Depth below the top of the fresh concrete, {of.depth_unit}", 0.0, of.height),
        y=Axis(f"Pressure, {of.pressure_unit}", 0.0, of.top),
        curves=tuple(_curves(of)),
        across=tuple(_across(of)),
    )


def _curves(of: PourDepth) -> Iterator[Curve]:
    """Give the concrete's pressure, down to where it grows no more, and the head beyond."""
    meets = of.height * min(1.0, of.pressure / of.head)
    words = f"at the manual's {of.manual_words}"
    side = Label(words, 0.99 * of.height, of.pressure + of.top / 30, "end")
    yield Curve((0.0, meets, of.height), (0.0, of.pressure, of.pressure), label=side)
    if of.pressure < of.head * (1 - _SAME):
        side = Label("full head", 0.48 * (meets + of.height), 0.5 * (of.pressure + of.head), "end")
        yield Curve((meets, of.height), (of.pressure, of.head), "quiet", "2 4", label=side)


def _across(of: PourDepth) -> Iterator[Across]:
    if of.shown:
        side = Label(f"what {of.weaker}", 0.01 * of.height, of.supported + of.top / 30)
        yield Across(of.supported, tone="bad", dashes="8 4", label=side)
    if of.lowers:
        side = Label(f"a lift of {of.lift_words}", 1.01 * of.lift, of.top / 30)
        yield Across(of.lift, upright=True, tone="bad", dashes="2 3", label=side)


def _words(of: PourDepth) -> str:
    words = (
        f"Pressure of the fresh concrete against the depth below its top. At the manual's"
        f" {of.manual_words} it grows to {of.pressure_words}; the full head is {of.head_words}."
        f" What {of.weaker} of lot {of.lot}, at the stated factor, is {of.supported_words}"
    )
    if not of.shown:
        words += ", more than the picture reaches"
    return f"{words}: at that rate a lift of at most {of.lift_words}." if of.lowers else f"{words}."
