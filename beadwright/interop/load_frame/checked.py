"""Cross-checks of a curve with what the file states: they decide a unit, agree, or contradict.

Read first: :func:`decided`, then :func:`agreeing`. A contradiction is asked about, never settled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.load_frame.found import KINDS, Block, Column, Role
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.shape import Shape, shape_of
from beadwright.interop.load_frame.unit_texts import per_unit
from beadwright.units import accepted

__all__ = ["AS_STATED", "Stated", "agreeing", "decided", "si_of"]

AS_STATED = "as stated"
_CLOSE = 0.005
_NEAR = 0.03
_SPEED = 3.0
_LEAP = 0.2
"""Of the whole range, between three rows."""
_DENSITIES = ((5.0, 250.0), (1500.0, 2700.0))
"""In kg/m³, of foams and of concrete; what lies elsewhere is asked. [common practice, no source]"""
_LEAST_STRESS, _MOST_STRESS = 500.0, 1e9


@dataclass(frozen=True, slots=True)
class Stated:
    """What the file states about one specimen's curve."""

    peaks: tuple[tuple[float, str, float], ...] = ()
    """Largest force: number, unit, half its last digit."""
    extremes: tuple[float, ...] = ()
    """Largest force of a table of extremes, in the unit of the force's column."""
    speeds: tuple[float, ...] = ()
    sizes: Mapping[str, float] = field(default_factory=dict)


def si_of(column: Column | None) -> NDArray[np.float64] | None:
    """Return a column's figures in SI; None without a unit."""
    factor = per_unit(column.unit, column.taken_for) if column else None
    return None if column is None or factor is None else column.values * factor


def decided(columns: Sequence[Column], stated: Stated) -> dict[str, tuple[str, str]]:
    """Return the units that figures decide where none is stated, with the reason."""
    by_role = {one.taken_for: one for one in columns}
    found: dict[str, tuple[str, str]] = {}
    shape = shape_of(stated.sizes)
    force = by_role.get("force")
    if force is not None and not force.unit:
        most = _largest(force.values)
        for number, unit, _ in stated.peaks:
            factor = per_unit(unit, "force")
            fit = _unit_for(number * factor / most, "force") if factor and most else ""
            if fit:
                found["force"] = fit, f"unit {fit}, by the largest force stated, {number:g} {unit}"
    pairs = (("force", "stress", shape.area_m2), ("travel", "strain", shape.height_m))
    for whole, share, size in pairs:
        one, other = by_role.get(whole), by_role.get(share)  # type: ignore[call-overload]
        if size is None or one is None or other is None:
            continue
        what = f"{share} times {'area' if whole == 'force' else 'height'}"
        if not one.unit and (values := si_of(other)) is not None:
            fit = _unit_for(_ratio(values * size, one.values), whole)
            found |= {whole: (fit, f"unit {fit}, by {what}")} if fit else {}
        elif not other.unit and (values := si_of(one)) is not None:
            fit = _unit_for(_ratio(values / size, other.values), share)
            found |= {share: (fit, f"unit {fit}, by {what}")} if fit else {}
    return found


def _unit_for(wanted: float | None, role: str) -> str:
    """Return the one unit whose size is as wanted; empty where none or several are."""
    if wanted is None:
        return ""
    fit: dict[float, str] = {}
    for unit in accepted(KINDS[role]):  # type: ignore[arg-type]
        factor = per_unit(unit, role)
        if factor and abs(wanted / factor - 1) < _CLOSE:
            fit.setdefault(factor, unit)
    return fit.popitem()[1] if len(fit) == 1 else ""


def _ratio(one: NDArray[np.float64], other: NDArray[np.float64]) -> float | None:
    """Return by what two series differ, if by a factor alone; signs aside, zero aside."""
    good = np.isfinite(one) & np.isfinite(other)
    a, b = one[good], other[good]
    if a.size < 10 or not np.ptp(a) or not np.ptp(b):  # noqa: PLR2004 - too few to tell
        return None
    a, b = a - a.mean(), b - b.mean()
    slope = float(a @ b / (b @ b))
    rest = float(np.sqrt(np.mean((a - slope * b) ** 2)))
    return abs(slope) if slope and rest < 0.02 * np.ptp(a) else None


def _largest(values: NDArray[np.float64]) -> float:
    known = np.abs(values[np.isfinite(values)])
    return float(known.max()) if known.size else 0.0


def agreeing(block: Block, stated: Stated, asking: Asking) -> tuple[str, ...]:
    """Return what agrees with how a block was taken; what contradicts is asked."""
    parts = (_peak, _stress, _strain, _extremes, _speed, _density, _possible, _leap)
    return tuple(said for part in parts for said in part(block, stated, asking))


def _doubt(asking: Asking, name: str, what: str) -> None:
    asking.ask(f"check.{name}", what, (AS_STATED,))


def _peak(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    force = si_of(block.column("force"))
    if force is None or not stated.peaks:
        return
    most = _largest(force)
    for number, unit, half in stated.peaks:
        factor = per_unit(unit, "force")
        if factor is None:
            continue
        said = f"the largest force stated, {number:g} {unit}"
        if abs(most - number * factor) <= max(_NEAR * number * factor, half * factor):
            yield f"{said}, is that of the column"
        else:
            what = f"{_of(block)}: {said}, and the column's, {most:,.6g} N, disagree."
            _doubt(asking, "peak", what)


def _stress(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    area = shape_of(stated.sizes).area_m2
    implied = _between(block, "force", "stress")
    if area is None or implied is None:
        return
    if _near(implied, area):
        yield "stress times area is the force"
    else:
        told = f"an area of {implied * 1e6:.5g} mm²" if implied else "no single area"
        what = f"{_of(block)}: force over stress gives {told}; the sizes give {area * 1e6:.5g} mm²."
        _doubt(asking, "stress", what)


def _strain(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    height = shape_of(stated.sizes).height_m
    implied = _between(block, "travel", "strain")
    if height is None or implied is None:
        return
    if _near(implied, height):
        yield "strain times height is the travel"
    else:
        told = f"a height of {implied * 1e3:.5g} mm" if implied else "no single height"
        what = f"{_of(block)}: travel over strain gives {told}; stated is {height * 1e3:.5g} mm."
        _doubt(asking, "strain", what)


def _between(block: Block, one: Role, other: Role) -> float | None:
    """Return the factor between two columns; 0 where none fits, None where one is missing."""
    first, second = si_of(block.column(one)), si_of(block.column(other))
    return None if first is None or second is None else _ratio(first, second) or 0.0


def _near(implied: float, stated: float) -> bool:
    return abs(implied / stated - 1) < _NEAR


def _extremes(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    force = block.column("force")
    if force is None or not stated.extremes:
        return
    most, told = _largest(force.values), max(map(abs, stated.extremes))
    if abs(most - told) <= _NEAR * told:
        yield f"the machine's own largest force, {told:g} {force.unit}, is that of the column"
    else:
        what = (
            f"{_of(block)}: the machine's own largest force is {told:g} {force.unit}; the rows "
            f"hold {most:g} {force.unit}."
        )
        _doubt(asking, "extremes", what)


def _speed(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    travel, time = si_of(block.column("travel")), si_of(block.column("time"))
    if travel is None or time is None or len(stated.speeds) != 1:
        return
    good = np.isfinite(travel) & np.isfinite(time)
    x, t = travel[good], time[good]
    if x.size < 10 or not np.ptp(t):  # noqa: PLR2004 - too few to tell
        return
    step = np.abs(np.diff(x)).sum() / np.ptp(t)
    rate = stated.speeds[0]
    if rate / _SPEED < step < rate * _SPEED:
        yield "travel over time fits the speed stated"
    else:
        told = f"{step * 60e3:.3g} mm/min, and {rate * 60e3:.3g} mm/min is stated"
        _doubt(asking, "speed", f"{_of(block)}: travel over time is {told}.")


def _density(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    shape, mass = shape_of(stated.sizes), stated.sizes.get("mass")
    if shape.area_m2 is None or shape.height_m is None or mass is None:
        return
    density = mass / (shape.area_m2 * shape.height_m)
    if not any(low < density < high for low, high in _DENSITIES):
        what = f"{_of(block)}: mass and sizes give {density:.4g} kg/m³, of no foam or concrete."
        _doubt(asking, "density", what)
    else:
        yield f"mass and sizes give {density:.4g} kg/m³"


def _possible(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    shape: Shape = shape_of(stated.sizes)
    force, travel = si_of(block.column("force")), si_of(block.column("travel"))
    if force is not None and shape.area_m2 is not None:
        most = _largest(force) / shape.area_m2
        if not _LEAST_STRESS < most < _MOST_STRESS:
            _doubt(asking, "force", f"{_of(block)}: the largest stress would be {most:.3g} Pa.")
    sides = {name: size for name, size in stated.sizes.items() if name != "area"}
    face, area = shape_of(sides).area_m2, stated.sizes.get("area")
    if face and area and abs(area / face - 1) > _NEAR:
        what = f"{_of(block)}: an area of {area * 1e6:.5g} mm² is stated, and sizes that give "
        _doubt(asking, "area", f"{what}{face * 1e6:.5g} mm².")
    lengths = [v for name, v in stated.sizes.items() if name not in {"area", "mass"}]
    if travel is not None and lengths and np.isfinite(travel).any():
        span = float(np.nanmax(travel) - np.nanmin(travel))
        if span > 1.5 * max(lengths):
            what = f"{_of(block)}: a travel of {span * 1e3:.4g} mm is more than its largest size."
            _doubt(asking, "travel", what)
    yield from ()


def _leap(block: Block, stated: Stated, asking: Asking) -> Iterator[str]:
    """Ask about a row that leaps away from both its neighbours, which lie close together."""
    del stated
    for column in block.columns:
        values = column.values
        if column.taken_for not in KINDS or values.size < 10:  # noqa: PLR2004 - too few to tell
            continue
        away = np.abs(values[1:-1] - (values[:-2] + values[2:]) / 2)
        near = np.abs(values[2:] - values[:-2]) < 0.2 * away
        leaps = np.flatnonzero(near & (away > _LEAP * np.ptp(values)))
        if leaps.size:
            number = values[int(leaps[0]) + 1]
            what = f"{_of(block)}: a row of its {column.taken_for} leaps to {number:g} and back."
            _doubt(asking, "leap", what)
    yield from ()


def _of(block: Block) -> str:
    return f'Specimen "{block.name}"'
