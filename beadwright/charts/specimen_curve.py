"""One specimen's curve with the construction on it: toe, modulus line, the points that are read.

Read :func:`specimen_curve`. It is a picture as :mod:`beadwright.charts.curves` draws them; strain
counts from the first row of the record, so that the toe is seen and what was taken off is known.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label, Point
from beadwright.lab.compression import CONVENTIONAL_STRAIN, Compression
from beadwright.lab.construction import Point as At
from beadwright.lab.flexure import LIMIT_STRAIN, Flexure
from beadwright.units import System

__all__ = ["specimen_curve"]

_PSI = 6894.757293168
_ROWS = 500  # points of a curve in print: more are not seen
_ROOM = 1.32  # height of the picture, in strengths
_PAST = 1.25  # width of the picture, in strains that the method asks for
_BEGINS = 0.005  # of the strength: a smaller stress at the first row is zero to the eye
_APART = 0.01  # of the strength: what differs by less is one point
_RIGHT = 0.72  # of the width: a curve that falls away before has the words of its break beyond it
_FIGURES = 3
_STIFF = 10e6  # Pa: no foam of polystyrene; then MPa
_BEFORE = 1.3  # of a toe that lies before the first row
_SEEN = 5e-4  # strain: less is 0 to the eye
_LEFT = 0.45  # of the width: a line that is at the top before has its words on its right


@dataclass(frozen=True, slots=True)
class _Frame:
    """What is drawn, in the units that are shown: per cent and kPa, or psi."""

    of: Compression | Flexure
    system: System

    @property
    def asked(self) -> float:
        """Strain from the toe up to which the method looks."""
        return CONVENTIONAL_STRAIN if isinstance(self.of, Compression) else LIMIT_STRAIN

    @property
    def unit(self) -> float:
        """Of stress, in Pa."""
        if self.system == "us":
            return _PSI
        return 1e6 if self.of.highest.stress_pa > _STIFF else 1e3

    @property
    def unit_words(self) -> str:
        """Its name."""
        return {1e3: "kPa", 1e6: "MPa"}.get(self.unit, "psi")

    @property
    def low(self) -> float:
        """Smallest strain shown: below 0 where a record that begins under load has its toe."""
        return min(0.0, _BEFORE * 100 * self.of.toe) if self.of.toe < -_SEEN else 0.0

    @property
    def wide(self) -> float:
        """Largest strain shown, in per cent."""
        return 100 * (self.of.toe + _PAST * self.asked)

    @property
    def high(self) -> float:
        """Largest stress shown."""
        most = max(self.of.strength_pa or 0.0, self.of.highest.stress_pa)
        return _ROOM * most / self.unit

    @property
    def target(self) -> float:
        """Strain that the method asks for, on the scale of the picture."""
        return 100 * (self.of.toe + self.asked)

    @property
    def asked_point(self) -> At | None:
        """The curve there."""
        return self.of.ten_percent if isinstance(self.of, Compression) else self.of.five_percent

    def placed(self, point: At) -> tuple[float, float]:
        """Give where a point of the curve lies."""
        return 100 * point.strain, point.stress_pa / self.unit

    def stress(self, stress_pa: float) -> str:
        """Give a stress as a person reads it."""
        return f"{_figures(stress_pa / self.unit)} {self.unit_words}"

    @property
    def modulus(self) -> str:
        """Give the modulus as a person reads it."""
        pascals = self.of.modulus_pa
        if self.system == "us":
            return f"{_figures(pascals / _PSI)} psi"
        return f"{_figures(pascals / 1e6)} MPa"

    @property
    def toe(self) -> str:
        """Give the toe as a person reads it."""
        return f"{round(100 * self.of.toe, 2) + 0.0:.2f} %"


def _figures(value: float) -> str:
    """Three figures, none of them an exponent."""
    places = 0 if not value else max(0, _FIGURES - 1 - math.floor(math.log10(abs(value))))
    return f"{value:.{min(places, _FIGURES)}f}"


def specimen_curve(
    of: Compression | Flexure, *, name: str, title: str, system: System = "si"
) -> Curves:
    """Give the picture of one specimen's curve with its construction.

    ``name`` is of a-z, digits and hyphen, and no two pictures of a page share one.
    """
    frame = _Frame(of, system)
    return Curves(
        name=name,
        title=title,
        words=_words(frame),
        x=Axis("Strain from the first row, %", frame.low, frame.wide),
        y=Axis(f"Stress, {frame.unit_words}", 0.0, frame.high),
        curves=(_line(frame), _curve(frame)),
        points=tuple(_points(frame)),
        across=(
            Across(100 * of.toe, upright=True, dashes="2 4"),
            Across(frame.target, upright=True, label=_target_label(frame)),
        ),
    )


def _curve(frame: _Frame) -> Curve:
    strain, stress = 100 * frame.of.strain, frame.of.stress_pa / frame.unit
    beyond = np.flatnonzero(strain > frame.wide)
    end = int(beyond[0]) if beyond.size else strain.size
    rows = _kept(stress[:end])
    return Curve.of(strain[rows], stress[rows], tone="block")


def _kept(stress: NDArray[np.float64]) -> NDArray[np.intp]:
    """Rows that a curve is drawn through: of each stretch its first, lowest and highest."""
    step = max(1, 3 * stress.size // _ROWS)
    rows: set[int] = {stress.size - 1}
    for first in range(0, stress.size, step):
        part = stress[first : first + step]
        rows |= {first, first + int(part.argmin()), first + int(part.argmax())}
    return np.array(sorted(rows))


def _line(frame: _Frame) -> Curve:
    """Draw the modulus line from the toe to the top."""
    slope = frame.of.modulus_pa / frame.unit / 100
    toe = 100 * frame.of.toe
    top = min(frame.high * 0.98, slope * (frame.wide - toe))
    end = toe + top / slope
    modulus = f"modulus {frame.modulus}"
    at = 0.94 * frame.high
    place = toe + at / slope
    gap = 0.015 * frame.wide
    if place > _LEFT * frame.wide:
        at = min(at, 0.9 * top)
        label = Label(modulus, toe + at / slope - gap, at, "end")
    else:
        label = Label(modulus, place + gap, at)
    return Curve.of((toe, end), (0.0, top), tone="scrap", dashes="8 4", label=label)


def _target_label(frame: _Frame) -> Label:
    words = f"{_per_cent(frame.asked)} from the toe"
    return Label(words, frame.target - 0.008 * frame.wide, 0.07 * frame.high, "end")


def _points(frame: _Frame) -> Iterator[Point]:
    of = frame.of
    slope = of.modulus_pa / frame.unit / 100
    gap = max(0.02 * frame.wide, 0.15 * frame.high / slope)
    words = f"toe at {frame.toe}"
    if of.stress_pa[0] > _BEGINS * of.highest.stress_pa:
        words += f", begins at {frame.stress(float(of.stress_pa[0]))}"
        yield Point(0.0, float(of.stress_pa[0]) / frame.unit, full=False)
    toe = 100 * of.toe
    yield Point(toe, 0.0, full=False, label=Label(words, toe + gap, 0.11 * frame.high))
    for end in (of.line.low, of.line.high):
        yield Point(*frame.placed(end), full=False)
    yield from _read(frame)


def _read(frame: _Frame) -> Iterator[Point]:
    """Mark the strength, and what another rule would read."""
    of, asked, at = frame.of, frame.asked_point, _strength_point(frame)
    higher = of.highest
    if at is not None:
        named = {"break": "broke at ", "yield": "yield at ", "highest": "highest "}
        words = f"{named.get(of.strength_at, '')}{frame.stress(at.stress_pa)}"
        if at is asked:
            words += f" at {_per_cent(frame.asked)}"
        yield _above(frame, at, words, full=True)
        if higher.stress_pa > (1 + _APART) * at.stress_pa:
            yield _above(frame, higher, f"highest {frame.stress(higher.stress_pa)}", full=False)
    if asked is None or at is None or asked is at or of.strength_at == "break":
        return
    x, y = frame.placed(asked)
    if abs(asked.stress_pa - higher.stress_pa) > _APART * higher.stress_pa or higher is at:
        words = f"{frame.stress(asked.stress_pa)} at {_per_cent(frame.asked)}"
        below = Label(words, x - 0.01 * frame.wide, y - 0.08 * frame.high, "end")
        yield Point(x, y, full=False, label=below)


def _above(frame: _Frame, at: At, words: str, *, full: bool) -> Point:
    """Mark a point, with its words over it towards the middle of the picture."""
    x, y = frame.placed(at)
    if full and frame.of.strength_at == "break" and x < _RIGHT * frame.wide:
        return Point(x, y, full, Label(words, x + 0.015 * frame.wide, y + 0.02 * frame.high))
    anchor: Literal["start", "end"] = "end" if x > _LEFT * frame.wide else "start"
    return Point(x, y, full, Label(words, x, y + 0.065 * frame.high, anchor))


def _per_cent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _strength_point(frame: _Frame) -> At | None:
    of = frame.of
    if of.strength_pa is None:
        return None
    if of.strength_at in {"10 %", "5 %"}:
        return frame.asked_point
    if of.strength_at == "yield" and isinstance(of, Compression):
        return of.peak
    return of.highest


def _words(frame: _Frame) -> str:
    of = frame.of
    kind = "Compressive" if isinstance(of, Compression) else "Bending"
    asked = f"{_per_cent(frame.asked)} strain"
    begin = (
        f"{kind} stress against strain. The steepest straight part, extended, meets zero stress "
        f"at {frame.toe}: the toe, from which strain counts. Modulus "
        f"{frame.modulus}."
    )
    if of.strength_pa is None or of.strain_at_strength is None:
        return f"{begin} The record ends before {asked}: there is no strength."
    value, at = frame.stress(of.strength_pa), f"{100 * of.strain_at_strength:.2f} % from the toe"
    how = {
        "yield": f"It yields at {value}, {at}.",
        "break": f"It breaks at {value}, {at}.",
        "highest": f"Its highest stress is {value}, {at}.",
    }.get(of.strength_at, f"At {asked} from the toe it carries {value}.")
    return f"{begin} {how}"
