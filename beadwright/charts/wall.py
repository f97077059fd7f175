"""Where a wall's courses end: how far the top lies from its height, course by course.

Read :class:`CourseEnds`, then :func:`picture`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label

__all__ = ["CourseEnds", "MixEnds", "picture"]

_ROOM = 1.15
_TONES = ("scrap", "block")
_DASHES = (None, "7 4")


@dataclass(frozen=True, slots=True)
class MixEnds:
    """One way of mixing lots: the deviation and two standard uncertainties after each course."""

    words: str
    deviations: tuple[float, ...]
    twice_u: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class CourseEnds:
    """What is drawn, in the unit that the axis says: the first figures are of one course."""

    product: str
    unit: str
    tolerance: float
    mixes: tuple[MixEnds, ...]
    asked: int
    """Number of courses that was asked about."""
    said: str
    """The answer for these, in words."""

    @property
    def reach(self) -> float:
        """How far the scale goes, either way."""
        most = max(
            abs(d) + u
            for one in self.mixes
            for d, u in zip(one.deviations, one.twice_u, strict=True)
        )
        return _ROOM * max(most, self.tolerance)


def picture(of: CourseEnds) -> Curves:
    """Give the picture."""
    last = len(of.mixes[0].deviations)
    return Curves(
        name="wall",
        title=f"Where courses of {of.product} end",
        words=(
            f"How far the top of a wall of {of.product} ends from as many heights as drawn, against"
            f" the number of courses, with two standard uncertainties either way, and the"
            f" tolerance. {of.said}"
        ),
        x=Axis("Courses", 1, last),
        y=Axis(f"Top above so many heights as drawn, {of.unit}", -of.reach, of.reach),
        curves=tuple(_curves(of, last)),
        across=tuple(_across(of, last)),
    )


def _curves(of: CourseEnds, last: int) -> Iterator[Curve]:
    at = range(1, last + 1)
    for n, one in enumerate(of.mixes):
        both = list(zip(one.deviations, one.twice_u, strict=True))
        low, high = ([d + sign * u for d, u in both] for sign in (-1, 1))
        # At the end of its band, above for the one and below for the other: they share a middle.
        edge = high[-1] + of.reach / 25 if n == 0 else low[-1] - of.reach / 12
        yield Curve.of(
            at, one.deviations, tone=_TONES[n], dashes=_DASHES[n], low=low, high=high,
            label=Label(one.words, last, edge, "end"),
        )  # fmt: skip


def _across(of: CourseEnds, last: int) -> Iterator[Across]:
    for sign, words in ((1, "tolerance, too high"), (-1, "tolerance, too low")):
        value = sign * of.tolerance
        beside = of.reach / 18 if sign > 0 else -of.reach / 16
        side = Label(words, 1 + 0.01 * (last - 1), value + beside)
        yield Across(value, tone="bad", label=side)
    if of.asked <= last:  # beyond, the line would stand at the edge as if that were asked about
        side = Label("asked about", of.asked + 0.01 * (last - 1), -0.96 * of.reach)
        yield Across(float(of.asked), upright=True, label=side)
