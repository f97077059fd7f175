"""Plain tests from what a person reads off a balance, a rule or an apparatus to the result.

Read first: :data:`REDUCTIONS`, by characteristic; :func:`reduce` works one out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from beadwright.errors import OutOfRange
from beadwright.lab.density import box_volume, specimen_density
from beadwright.lab.exposed import Immersed, dimensional_change, water_absorption
from beadwright.lab.oxygen import oxygen_index, series_of
from beadwright.lab.shape import squareness, trueness
from beadwright.lab.thermal import Conducted, Meter, Slab, heat_flow_meter
from beadwright.statistics.propagation import Input
from beadwright.units import Kind

__all__ = ["REDUCTIONS", "Figure", "Reduced", "Reduction", "reduce"]


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure that is read: its name, what a person is asked for, kind and usual unit."""

    name: str
    label: str
    kind: Kind
    unit: str


@dataclass(frozen=True, slots=True)
class Reduced:
    """A result in SI, and the conditions that its figures state, in SI too."""

    value: float
    conditions: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Reduction:
    """How a characteristic is worked out: its figures, the unit it is told in, the sum."""

    figures: tuple[Figure, ...]
    unit: str
    formula: str
    """In one line, for whoever reads the form."""
    work: Callable[[Mapping[str, float]], Reduced]
    reads: Callable[[str], Reduced] | None = None
    """Works from the text of its one figure, where that is a series and no number."""


def reduce(characteristic: str, figures: Mapping[str, float]) -> Reduced:
    """Work out a result from its figures.

    Parameters
    ----------
    characteristic : str
        What was tested: one of :data:`REDUCTIONS`.
    figures : mapping of str to float
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
    asked = REDUCTIONS[characteristic]
    for one in asked.figures:
        if one.name not in figures:
            raise OutOfRange(one.name, "missing", valid=f"stated: {one.label.lower()}")
    return asked.work(figures)


def _mm(name: str, label: str) -> Figure:
    return Figure(name, label, "length", "mm")


def _grams(name: str, label: str) -> Figure:
    return Figure(name, label, "mass", "g")


_SIZES = (_mm("length", "Length"), _mm("width", "Width"), _mm("thick", "Thickness"))


def _density(of: Mapping[str, float]) -> Reduced:
    volume = box_volume(of["length"], of["width"], of["thick"])
    return Reduced(float(specimen_density(of["mass"], volume)), {"thickness": of["thick"]})


def _water(of: Mapping[str, float]) -> Reduced:
    volume = float(box_volume(of["length"], of["width"], of["thick"]))
    wet = water_absorption(Immersed(of["before"], of["after"], volume))
    return Reduced(float(wet.value), {"thickness": of["thick"]})


def _stability(of: Mapping[str, float]) -> Reduced:
    axes = ("length", "width", "thick")
    change = dimensional_change([of[axis] for axis in axes], [of[f"{axis}_after"] for axis in axes])
    return Reduced(change.worst, {"thickness": of["thick"]})


def _square(of: Mapping[str, float]) -> Reduced:
    return Reduced(float(squareness(of["gap"], of["leg"])))


def _true(of: Mapping[str, float]) -> Reduced:
    return Reduced(float(trueness(of["gap"], of["leg"])))


def _conducted(of: Mapping[str, float]) -> Conducted:
    slab = Slab(*(Input(of[name], 0.0) for name in ("hot", "cold", "thick")))
    meter = Meter(Input(of["signal"], 0.0), Input(of["factor"], 0.0))
    return heat_flow_meter([meter], slab)


def _asked_of(found: Conducted) -> dict[str, float]:
    return {
        "mean_temperature": found.mean_k,
        "temperature_difference": found.difference_k,
        "thickness": found.thickness_m,
    }


def _conductivity(of: Mapping[str, float]) -> Reduced:
    found = _conducted(of)
    return Reduced(found.conductivity_w_mk.value, _asked_of(found))


def _inch(of: Mapping[str, float]) -> Reduced:
    found = _conducted(of)
    return Reduced(found.inch_m2k_w.value, _asked_of(found))


_PLATES = (
    Figure("signal", "Signal of the meter, as it counts", "fraction", "1"),
    Figure("factor", "Calibration factor, W/m² for one of the signal", "fraction", "1"),
    Figure("hot", "Hot face", "temperature", "°C"),
    Figure("cold", "Cold face", "temperature", "°C"),
    _mm("thick", "Thickness"),
)
_HEAT = "signal times factor is the flux; conductivity is flux times thickness over difference"
_DENSITY = Reduction(
    (_grams("mass", "Mass"), *_SIZES), "kg/m3", "mass over length times width times thickness",
    _density,
)  # fmt: skip
_WATER = Reduction(
    (_grams("before", "Mass before"), _grams("after", "Mass after"), *_SIZES), "%",
    "mass gained over 1000 kg/m³ and the volume", _water,
)  # fmt: skip
_STABLE = Reduction(
    (*_SIZES, _mm("length_after", "Length after"), _mm("width_after", "Width after"),
     _mm("thick_after", "Thickness after")), "%",
    "the change of each dimension over what it was; the largest size counts", _stability,
)  # fmt: skip
_GAPS = (_mm("gap", "Largest gap"), _mm("leg", "Over a length of"))


def _series(text: str) -> Reduced:
    return Reduced(oxygen_index(*series_of(text)).value)


def _no_number(of: Mapping[str, float]) -> Reduced:
    raise OutOfRange("series", str(dict(of)), valid="keyed as a text: 26.0 n, 26.4 y")  # noqa: EM101


_INCH = Reduction(_PLATES, "m2·K/W", f"{_HEAT}; of 25.4 mm", _inch)
_CONDUCTIVITY = Reduction(_PLATES, "W/(m·K)", _HEAT, _conductivity)

REDUCTIONS: Mapping[str, Reduction] = MappingProxyType({
    "density": _DENSITY,
    "core_density": _DENSITY,
    "water_absorption": _WATER,
    "water_absorption_28d": _WATER,
    "dimensional_stability": _STABLE,
    "dimensional_stability_normal": _STABLE,
    "dimensional_stability_70c": _STABLE,
    "squareness": Reduction(_GAPS, "mm/m", "gap at the end of the leg over its length", _square),
    "edge_trueness": Reduction(_GAPS, "mm/m", "gap under the straightedge over its length", _true),
    "face_trueness": Reduction(_GAPS, "mm/m", "gap under the straightedge over its length", _true),
    "oxygen_index": Reduction(
        (Figure("series", "Bars in order: 26.0 n, 26.4 y, …", "fraction", "1"),), "%",
        "the likeliest concentration at which half the bars burn, in steps up and down",
        _no_number, _series,
    ),
    "thermal_resistance": _INCH,
    "thermal_resistance_40f": _INCH,
    "thermal_conductivity": _CONDUCTIVITY,
    "thermal_conductivity_10c": _CONDUCTIVITY,
})  # fmt: skip
"""By characteristic. The others are keyed as an apparatus shows them, or come with their curve."""
