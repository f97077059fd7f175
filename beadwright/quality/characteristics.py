"""What can be measured: each characteristic as a row of typed data.

Read :data:`CHARACTERISTICS` first. A cup is weighed hot, dried or at the hopper, and those are
three characteristics: whoever asks for one never gets the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from beadwright.units import Kind

__all__ = [
    "AT_EXPANDER",
    "CHARACTERISTICS",
    "CUP_PLACES",
    "DEFECTS",
    "DERIVED",
    "DIMENSIONS",
    "MODULI",
    "SET_AT_EXPANDER",
    "STATES",
    "Characteristic",
    "Level",
    "Scale",
    "is_change",
    "kind_of",
]


class Scale(StrEnum):
    """What a value can be."""

    RATIO = "ratio"
    """A number with a unit and a true zero."""
    CHANGE = "change"
    """A number with a unit, of either sign: what was gained or lost."""
    INTERVAL = "interval"
    """A number with a unit whose nought is no nothing: a temperature."""
    COUNT = "count"
    """A whole number of pieces."""
    EITHER = "pass/fail"
    """``pass`` or ``fail``."""
    GRADE = "grade"
    """One of a short list of words, best first."""


class Level(StrEnum):
    """What it is measured on."""

    CUP = "cup"
    SILO = "silo"
    """Beads where they age: no lot is judged by it."""
    MACHINE = "machine"
    """What a person set at a machine: no lot is judged by it."""
    BLOCK = "block"
    SPECIMEN = "specimen"
    LOT = "lot"


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A characteristic: its quantity and unit kind, its scale, and what it is measured on."""

    name: str
    quantity: str
    kind: Kind | None
    """Kind of unit a value must have; none on scales without a unit."""
    scale: Scale
    level: Level
    method: str
    """How, where a reading does not say otherwise."""
    facts: tuple[str, ...] = ()
    """Conditions without which a reading means nothing."""
    grades: tuple[str, ...] = ()
    may_be_zero: bool = False
    """Whether a ratio of nothing at all is a result, and no slip of the pen."""
    by_hand: bool = False
    """Whether a person counts it, and no instrument takes part."""

    @property
    def by_instrument(self) -> bool:
        """Whether an instrument measures it: not what is counted, tried by hand or looked at."""
        measured = {Scale.RATIO, Scale.CHANGE, Scale.INTERVAL}
        return self.scale in measured and not self.by_hand


CUP_PLACES = ("hot", "dried", "hopper")
"""Where a cup is weighed; each makes a characteristic of its own."""

AT_EXPANDER = CUP_PLACES[:2]
"""Where a cup says what a pre-expander made: one of a hopper is taken hours later at another
machine, of beads that two may have made."""

STATES: Mapping[str, str] = {
    "press": "wet_block_mass",
    "24h": "block_mass_24h",
    "dry": "dry_block_mass",
}
"""States of a block, wettest first, and the characteristic of its mass in each."""

DIMENSIONS = ("length", "width", "height", "thickness")
"""Dimensions of a block or of its panel."""

SET_AT_EXPANDER: Mapping[str, str] = {
    "charge": "charge_mass",
    "steaming": "steaming_time",
    "steam": "steam_pressure",
}
"""What a person sets at a pre-expander, as sheets call it, and its characteristic."""

MODULI: Mapping[str, str] = {
    "compressive_resistance": "compressive_modulus",
    "compressive_stress_10": "compressive_modulus_826",
    "flexural_strength": "flexural_modulus",
    "bending_strength": "bending_modulus",
}
"""Strengths that are read from a curve, and the modulus that the same curve gives beside each."""

DEFECTS = ("ties", "fusion", "dimension", "surface", "other")
"""Kinds of defective pieces."""


def _mass(name: str, quantity: str, level: Level, method: str, *facts: str) -> Characteristic:
    return Characteristic(name, quantity, "mass", Scale.RATIO, level, method, facts)


def _length(name: str, quantity: str, level: Level) -> Characteristic:
    return Characteristic(name, quantity, "length", Scale.RATIO, level, "rule or tape")


def _count(name: str, quantity: str) -> Characteristic:
    return Characteristic(name, quantity, "pieces", Scale.COUNT, Level.LOT, "looked over")


def _tested(name: str, quantity: str, kind: Kind, method: str, *facts: str) -> Characteristic:
    return Characteristic(name, quantity, kind, Scale.RATIO, Level.SPECIMEN, method, facts)


def _set(name: str, quantity: str, kind: Kind) -> Characteristic:
    return Characteristic(
        name, quantity, kind, Scale.RATIO, Level.MACHINE, "set by a person", by_hand=True
    )


def _share(name: str, quantity: str, method: str) -> Characteristic:
    return replace(_tested(name, quantity, "fraction", method), may_be_zero=True)


def _change(name: str, quantity: str, method: str) -> Characteristic:
    return replace(_tested(name, quantity, "fraction", method), scale=Scale.CHANGE)


_ROWS = (
    *(
        _mass(f"cup_weight_{place}", f"beads in a level cup, {place}", Level.CUP, "level cup",
              "place", "cup_volume")
        for place in CUP_PLACES
    ),
    Characteristic(
        "silo_temperature", "beads in the middle of a silo", "temperature", Scale.INTERVAL,
        Level.SILO, "probe",
    ),
    # A bag of mesh with some 100 g of beads that hangs in its silo: common practice, no source.
    _mass("mesh_sample_mass", "beads of a mesh sample, net of mesh and water", Level.SILO,
          "balance", "age_h"),
    _set("charge_mass", "beads of one batch of a pre-expander, as set", "mass"),
    _set("steaming_time", "steaming of one batch of a pre-expander, as set", "duration"),
    _set("steam_pressure", "steam at a pre-expander, above the air, as set", "pressure"),
    _mass("wet_block_mass", "block at the press", Level.BLOCK, "scale", "age_h"),
    _mass("block_mass_24h", "block a day old", Level.BLOCK, "scale"),
    _mass("dry_block_mass", "block dried", Level.BLOCK, "scale"),
    *(_length(name, f"{name} of a block", Level.BLOCK) for name in DIMENSIONS),
    _count("checked", "pieces looked at"),
    *(_count(f"defective_{kind}", f"pieces defective: {kind}") for kind in DEFECTS),
    _mass("specimen_mass", "specimen", Level.SPECIMEN, "balance"),
    *(
        _length(f"specimen_{name}", f"{name} of a specimen", Level.SPECIMEN)
        for name in ("length", "width", "height", "diameter")
    ),
    Characteristic(
        "density", "density of a specimen, as a laboratory reports it", "density", Scale.RATIO,
        Level.SPECIMEN, "ASTM D1622",
    ),
    _tested("core_density", "density of a specimen without its moulded skins", "density",
            "ASTM D1622"),
    # One property by two methods, or at two temperatures, is two characteristics: as with cups,
    # whoever asks for one never gets the other. Methods: beadwright.standards names its sources.
    _tested("compressive_resistance", "stress at yield or 10 %", "pressure", "ASTM D1621"),
    _tested("compressive_stress_10", "stress at 10 %, or largest before", "pressure", "EN 826"),
    _tested("flexural_strength", "flexural strength", "pressure", "ASTM C203"),
    _tested("bending_strength", "bending strength", "pressure", "EN 12089"),
    *(
        _tested(name, "slope of the steepest straight part, stress over strain", "pressure", method)
        for name, method in (
            ("compressive_modulus", "ASTM D1621"), ("compressive_modulus_826", "EN 826"),
            ("flexural_modulus", "ASTM C203"), ("bending_modulus", "EN 12089"),
        )
    ),
    _tested("tension_across_faces", "tensile strength across the faces", "pressure", "EN 1607"),
    _tested("thermal_resistance", "thermal resistance of 25.4 mm at 24 °C (75 °F) mean",
            "thermal_resistance", "ASTM C518", "thickness"),
    _tested("thermal_resistance_40f", "thermal resistance of 25.4 mm at 4.4 °C (40 °F) mean",
            "thermal_resistance", "ASTM C518", "thickness"),
    _tested("thermal_conductivity", "thermal conductivity at 24 °C (75 °F) mean",
            "thermal_conductivity", "ASTM C518"),
    _tested("thermal_conductivity_10c", "thermal conductivity at 10 °C mean",
            "thermal_conductivity", "EN 12667"),
    _tested("water_vapour_permeance", "water vapour permeance of 25.4 mm, desiccant",
            "vapour_permeance", "ASTM E96", "thickness"),
    _tested("water_vapour_resistance_factor", "water vapour resistance, times that of air",
            "fraction", "EN 12086"),
    _share("water_absorption", "water taken up, totally immersed 24 h", "ASTM C272"),
    _share("water_absorption_28d", "water taken up, totally immersed 28 d", "EN 12087"),
    _change("dimensional_stability", "largest change of a dimension", "ASTM D2126"),
    _change("dimensional_stability_normal", "change of a dimension at 23 °C, 50 %", "EN 1603"),
    _change("dimensional_stability_70c", "change of a dimension, 48 h at 70 °C", "EN 1604"),
    _tested("oxygen_index", "least oxygen that keeps it burning", "fraction", "ASTM D2863"),
    _share("squareness", "gap of a corner from a right angle, along an edge", "ASTM C550"),
    _share("edge_trueness", "gap of an edge under a straightedge, along it", "ASTM C550"),
    _share("face_trueness", "gap of a face under a straightedge, along it", "ASTM C550"),
    replace(
        _tested("flatness", "largest gap of a board from a flat table", "length", "EN 825"),
        may_be_zero=True,
    ),
    # A tie by tie: the specimen names it. That a whole tie is pulled: common practice, no source.
    _tested("fastener_pull", "force at which a fastener leaves a tie's flange", "force",
            "ASTM D1761"),
    _tested("tie_pull", "force at which a tie leaves its panel", "force", "pulled on the bench"),
    # Common practice, no source: beads torn through, of all on the broken face.
    replace(
        _share("fusion", "beads torn through, of all on a broken face", "broken by hand, counted"),
        by_hand=True,
    ),
    # These two: common practice, no source.
    Characteristic(
        "interlock_fit", "two blocks of the lot go together by hand", None, Scale.EITHER,
        Level.BLOCK, "by hand",
    ),
    Characteristic(
        "surface_grade", "look of the panel faces, A the best", None, Scale.GRADE, Level.BLOCK,
        "by eye", grades=("A", "B", "C"),
    ),
)  # fmt: skip

CHARACTERISTICS: Mapping[str, Characteristic] = {row.name: row for row in _ROWS}
"""Every characteristic that a reading can have, by name."""

DERIVED: Mapping[str, Kind] = {
    "foam_mass": "mass",
    "block_mass": "mass",
    "share_defective": "fraction",
    **{f"share_defective_{kind}": "fraction" for kind in DEFECTS},
    "declared_conductivity": "thermal_conductivity",
    "declared_resistance": "thermal_resistance",
}
"""What is calculated from readings and never keyed, with its unit kind: dry foam mass net of ties
and water, block mass net of water, defective pieces over pieces looked at, and what a report
declares of ten results or more (90/90, at 10 °C)."""


def is_change(name: str) -> bool:
    """Whether a characteristic has values of either sign, so that a limit is on their size."""
    known = CHARACTERISTICS.get(name)
    return known is not None and known.scale is Scale.CHANGE


def kind_of(name: str) -> Kind | None:
    """Unit kind of a measured or calculated characteristic; None where it has or is none."""
    known = CHARACTERISTICS.get(name)
    return DERIVED.get(name) if known is None else known.kind
