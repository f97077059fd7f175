"""Plain tests from what a person reads off a balance, a rule or an apparatus to the result.

Read first: :data:`REDUCTIONS`, by characteristic; :func:`reduce` works one out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from types import MappingProxyType

from beadwright.errors import OutOfRange
from beadwright.lab import compression_method, flexure_method
from beadwright.lab.bench_sums import (
    absorbed_after_dip,
    broken_through,
    burned,
    edge_by_heights,
    flat_by_heights,
    peak_force,
    size_departures,
    withdrawn,
)
from beadwright.lab.density import box_volume, specimen_density
from beadwright.lab.exposed import Immersed, dimensional_change, water_absorption
from beadwright.lab.heat_sums import BETWEEN, METER, PLATE, WANTED, between, by_meter, by_plate
from beadwright.lab.reduction import Figure, Figures, Reduced, Reduction, way_of, worked_out
from beadwright.lab.shape import squareness, squareness_of_diagonals, trueness
from beadwright.lab.strength_sums import bent, pressed, stretched

__all__ = ["REDUCTIONS", "reduce"]


def reduce(characteristic: str, figures: Mapping[str, float | Sequence[float] | str]) -> Reduced:
    """Work out a result from its figures, the way that they belong to.

    Parameters
    ----------
    characteristic : str
        What was tested: one of :data:`REDUCTIONS`.
    figures : mapping of str to float, sequence of float or str
        Every figure that it asks for, by name, in SI. [1]

    Returns
    -------
    result : Reduced
        In SI.

    Raises
    ------
    OutOfRange
        If a figure is missing, or cannot be: a mass, a length or a difference not above 0.

    Examples
    --------
    >>> wet = {"before": 0.0510, "after": 0.0982, "length": 0.3048, "width": 0.3048,
    ...        "thick": 0.0254}
    >>> reduce("water_absorption", wet).value
    0.02
    """
    return worked_out(way_of(REDUCTIONS[characteristic], tuple(figures)), Figures(figures))


def _mm(name: str, label: str, *, several: bool = False) -> Figure:
    return Figure(name, label, "length", "mm", sort="numbers" if several else "number")


def _grams(name: str, label: str) -> Figure:
    return Figure(name, label, "mass", "g")


_SIZES = (_mm("length", "Length"), _mm("width", "Width"), _mm("thick", "Thickness"))


def _density(of: Figures) -> Reduced:
    volume = box_volume(of["length"], of["width"], of["thick"])
    return Reduced(float(specimen_density(of["mass"], volume)), {"thickness": of["thick"]})


def _water(of: Figures) -> Reduced:
    volume = float(box_volume(of["length"], of["width"], of["thick"]))
    wet = water_absorption(Immersed(of["before"], of["after"], volume))
    return Reduced(float(wet.value), {"thickness": of["thick"]})


def _water_24h(of: Figures) -> Reduced:
    sizes = (of["length"], of["width"], of["thick"])
    return replace(_water(of), departures=size_departures(sizes))


def _stability(of: Figures) -> Reduced:
    axes = ("length", "width", "thick")
    for axis in axes:
        if len(of.many(axis)) != len(of.many(f"{axis}_after")):
            valid = f"as many numbers as {axis} before"
            name = f"{axis}_after"
            raise OutOfRange(name, len(of.many(name)), valid=valid)
    change = dimensional_change([of[axis] for axis in axes], [of[f"{axis}_after"] for axis in axes])
    names = ("length", "width", "thickness")
    told = (f"{name} {100 * one:+.2f} %" for name, one in zip(names, change.each, strict=True))
    return Reduced(change.worst, {"thickness": of["thick"]}, beside=", ".join(told))


def _square(of: Figures) -> Reduced:
    return Reduced(float(squareness(of["gap"], of["leg"])))


def _diagonals(of: Figures) -> Reduced:
    sizes = (of[name] for name in ("first", "second", "edge", "other_edge"))
    return Reduced(float(squareness_of_diagonals(*sizes)))


def _true(of: Figures) -> Reduced:
    return Reduced(float(trueness(of["gap"], of["leg"])))


_HEAT = "signal times factor is the flux; conductivity is flux times thickness over difference"
_GUARDED = "guarded hot plate: heat over area, and over the sum of difference over thickness"
_LINE = "from results at other mean temperatures, by a straight line between them"


def _heat(name: str) -> tuple[Reduction, ...]:
    inch = name.startswith("thermal_resistance")
    unit, of = ("m2·K/W", "; of 25.4 mm") if inch else ("W/(m·K)", "")
    return (
        Reduction(METER, unit, f"{_HEAT}{of}", partial(by_meter, characteristic=name)),
        Reduction(PLATE, unit, f"{_GUARDED}{of}", partial(by_plate, characteristic=name),
                  way="_plate"),
        Reduction(BETWEEN, unit, f"{_LINE}{of}", partial(between, characteristic=name),
                  way="_between"),
    )  # fmt: skip


_DENSITY = Reduction(
    (_grams("mass", "Mass"), *_SIZES), "kg/m3", "mass over length times width times thickness",
    _density, ("mass", "length"), together=True,
)  # fmt: skip
_WATER = Reduction(
    (_grams("before", "Mass before"), _grams("after", "Mass after"), *_SIZES), "%",
    "mass gained over 1000 kg/m³ and the volume", _water_24h, ("mass", "length"), together=True,
)  # fmt: skip
_DRAINED = replace(
    _WATER, work=_water, formula="drained ten minutes: mass gained over 1000 kg/m³ and the volume"
)
_DIPPED = Reduction(
    (_grams("dipped", "Mass after a dip of ten seconds"), _grams("soaked", "Mass at the end"),
     _mm("length_dip", "Length"), _mm("width_dip", "Width"), _mm("thick_dip", "Thickness")), "%",
    "not drained: mass gained since a dip of ten seconds, over 1000 kg/m³ and the volume",
    absorbed_after_dip, ("mass", "length"), together=True, way="_dip",
)  # fmt: skip
_STABLE = Reduction(
    (*(_mm(one.name, f"{one.label} before, at each place", several=True) for one in _SIZES),
     *(_mm(f"{one.name}_after", f"{one.label} after", several=True) for one in _SIZES)), "%",
    "the change of each mean dimension over what it was; the largest size counts", _stability,
    ("length",),
)  # fmt: skip
_GAPS = (_mm("gap", "Largest gap"), _mm("leg", "Over a length of"))
_ALONG = "gap under the straightedge over its length"
_STRAIGHT = (
    Reduction(_GAPS, "mm/m", _ALONG, _true, ("length",)),
    Reduction(
        (_mm("heights", "Heights at equal distances, end to end", several=True),
         _mm("along", "From end to end")), "mm/m",
        "largest distance from the line through both ends, over the length", edge_by_heights,
        ("length",), way="_heights",
    ),
)  # fmt: skip
_SQUARE = (
    Reduction(_GAPS, "mm/m", "gap at the end of the leg over its length", _square, ("length",)),
    Reduction(
        (_mm("first", "One diagonal"), _mm("second", "The other"), _mm("edge", "Edge"),
         _mm("other_edge", "Other edge")), "mm/m",
        "difference of the diagonals' squares over four times both edges; of equal opposite edges",
        _diagonals, ("length",), way="_diagonals",
    ),
)  # fmt: skip
_FLAT = Reduction(
    (_mm("tops", "Heights of the upper face over the table", several=True),
     _mm("board", "Thickness of the board")), "mm",
    "largest height over the table less the thickness, the hollow face down", flat_by_heights,
    ("length",),
)  # fmt: skip
_PULL = (
    Figure("peak", "Largest force", "force", "N"),
    Figure("rest", "Force shown before pulling, of grip and all", "force", "N", required=False),
    Figure("travel", "Travel until then", "length", "mm", required=False),
    Figure("lasted", "Time until then", "duration", "s", required=False),
)


def _rate(way: str = "") -> tuple[Figure, Figure]:
    return (
        Figure(f"travel{way}", "Travel of the head until then", "length", "mm", required=False),
        Figure(f"lasted{way}", "Time until then", "duration", "s", required=False),
    )


def _pressed(name: str, method: str, load: str) -> Reduction:
    by = compression_method.METHODS[method]
    return Reduction(
        (Figure("load", load, "force", "N"), *_SIZES[:2], _mm("thick", "Height along the load"),
         *_rate()), "kPa", "force over length times width",
        partial(pressed, characteristic=name, method=by), ("force", "length"), together=True,
    )  # fmt: skip


def _bent(name: str, method: str, formula: str, way: str = "") -> Reduction:
    by = flexure_method.METHODS[method]
    return Reduction(
        (Figure(f"load{way}", "Largest force, the whole", "force", "N"),
         _mm(f"span{way}", "Span"), _mm(f"width{way}", "Width"),
         _mm(f"thick{way}", "Depth along the load"),
         Figure(f"strip{way}", "Length of the strip", "length", "mm", required=False),
         *_rate(way)), "kPa", formula,
        partial(bent, characteristic=name, method=by, way=way), ("force", "length"),
        together=True, way=way,
    )  # fmt: skip


_CENTRE = "loaded at the centre: 3/2 of force times span, over width times depth squared"
_QUARTERS = "loaded at the quarter points: 3/4 of force times span, over width times depth squared"
_HELD = "largest force less what was shown before pulling"
_SERIES = Figure(
    "series", "Bars in order", "fraction", "1", sort="text", hint="As 26.0 n, 26.4 y, …"
)
_FACES = Figure(
    "faces", "Each face", "fraction", "1", sort="text",
    hint="Beads broken through of all, face by face: 42/50, 38/45",
)  # fmt: skip

REDUCTIONS: Mapping[str, tuple[Reduction, ...]] = MappingProxyType({
    "density": (_DENSITY,),
    "core_density": (_DENSITY,),
    "water_absorption": (_WATER,),
    "water_absorption_28d": (_DRAINED, _DIPPED),
    "dimensional_stability": (_STABLE,),
    "dimensional_stability_normal": (_STABLE,),
    "dimensional_stability_70c": (_STABLE,),
    "squareness": _SQUARE,
    "edge_trueness": _STRAIGHT,
    "face_trueness": _STRAIGHT,
    "flatness": (_FLAT,),
    "fusion": (
        Reduction((_FACES,), "%", "beads broken through, of all on the faces", broken_through),
    ),
    "compressive_resistance": (
        _pressed("compressive_resistance", "ASTM D1621", "Force at yield, or at 10 %"),
    ),
    "compressive_stress_10": (
        _pressed("compressive_stress_10", "EN 826", "Force at 10 %, or largest before"),
    ),
    "flexural_strength": (
        _bent("flexural_strength", "ASTM C203 I-B", _CENTRE),
        _bent("flexural_strength", "ASTM C203 II-B", _QUARTERS, "_quarters"),
    ),
    "bending_strength": (_bent("bending_strength", "EN 12089 B", _CENTRE),),
    "tension_across_faces": (
        Reduction(
            (Figure("peak", "Largest force", "force", "N"), *_SIZES[:2], *_rate()), "kPa",
            "largest force over length times width", stretched, ("force", "length"), together=True,
        ),
    ),
    "fastener_pull": (Reduction(_PULL, "N", _HELD, withdrawn, ("force",)),),
    "tie_pull": (Reduction(_PULL, "N", _HELD, peak_force, ("force",)),),
    "oxygen_index": (
        Reduction(
            (_SERIES,), "%",
            "the likeliest concentration at which half the bars burn, in steps up and down", burned,
        ),
    ),
    **{name: _heat(name) for name in WANTED},
})  # fmt: skip
"""Ways by characteristic. The others are keyed as an apparatus shows them, or come with their
curve."""
