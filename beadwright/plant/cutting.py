"""A panel and the specimens wanted of it, as somebody keys them; and where each is to be cut.

Read :func:`read_cutting`, then :func:`cutting_sheet`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from beadwright.errors import BeadwrightError, OutOfRange
from beadwright.lab.cut_map import Box, Panel, Skin, Tie
from beadwright.lab.cut_plan import CutPlan, Wanted, cut_plan
from beadwright.units import parse_number, to_si

__all__ = [
    "DEFAULTS",
    "FIELDS",
    "SHAPES",
    "Cutting",
    "Shape",
    "cutting_sheet",
    "read_cutting",
]

_INCH = 0.0254
_MOST = 200
"""Specimens of one kind, and ties, that a panel is asked for."""

FIELDS: Mapping[str, str] = {
    "length": "Length of the panel",
    "height": "Height of the panel",
    "thickness": "Thickness of the panel",
    "first_tie": "Middle of the first tie, from the end",
    "pitch": "From tie to tie",
    "tie_width": "Width of a tie's flange",
    "clear": "Clear of a tie by",
    "kerf": "Width of the cut",
    "skin": "Depth of a moulded skin",
    "edge": "Left at each edge",
}
"""Lengths that are keyed, by name, with their labels."""

DEFAULTS: Mapping[str, tuple[str, str]] = {
    "length": ("48", "in"), "height": ("16", "in"), "thickness": ("2.625", "in"),
    "first_tie": ("4", "in"), "pitch": ("8", "in"), "tie_width": ("1.5", "in"),
    "clear": ("0.25", "in"), "kerf": ("0.06", "in"), "skin": ("0.1", "in"), "edge": ("0.5", "in"),
}  # fmt: skip
"""What stands in the fields first: common practice of a straight block, no source. To be replaced
by the drawing's."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A usual specimen: its size in m, its skins, for which test, by which source."""

    name: str
    title: str
    length_m: float
    height_m: float
    depth_m: float
    skin: Skin
    source: str


_READ = "[read in: a second source that cites it]"
_MEMORY = "[from memory]"
SHAPES = (
    Shape("C", "Compression, 2 in square, 1 in", 2 * _INCH, 2 * _INCH, _INCH, Skin.CORE,
          f"ASTM D1621-16, 25.8 cm² or more, 25.4 mm or higher {_READ}"),
    Shape("F", "Flexure, 12 by 4 by 1 in", 12 * _INCH, 4 * _INCH, _INCH, Skin.CORE,
          f"ASTM C203 on a span of 10 in, as C578 uses it {_MEMORY}"),
    Shape("D", "Density with both skins, 4 in square", 4 * _INCH, 4 * _INCH, 0.0, Skin.BOTH,
          f"ASTM D1622, 100 cm³ or more; thickness of the panel {_MEMORY}"),
    Shape("K", "Core density, 4 in square, 1 in", 4 * _INCH, 4 * _INCH, _INCH, Skin.CORE,
          f"ASTM D1622, 100 cm³ or more {_MEMORY}"),
    Shape("S", "Dimensional stability, 4 in square, 1 in", 4 * _INCH, 4 * _INCH, _INCH, Skin.CORE,
          f"ASTM D2126, 100 by 100 by 25 mm {_MEMORY}"),
    Shape("T", "Heat, 12 in square, 1 in", 12 * _INCH, 12 * _INCH, _INCH, Skin.CORE,
          "size of the apparatus; 1 in by ASTM C578 [from memory]"),
    Shape("W", "Water, 12 in square, 1 in", 12 * _INCH, 12 * _INCH, _INCH, Skin.CORE,
          f"ASTM C272 as C578 uses it {_MEMORY}"),
)  # fmt: skip
"""Usual specimens. The depth of one that keeps both skins is the panel's thickness."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """What was keyed: lengths in m, how many ties and how many of each shape; and what is wrong."""

    lengths: Mapping[str, float]
    ties: int
    numbers: Mapping[str, int]
    wrong: Mapping[str, str] = field(default_factory=dict)

    @property
    def panel(self) -> Panel:
        """The panel with its ties, each through its whole height."""
        at = self.lengths
        ties = tuple(
            Tie(
                f"T{n + 1}",
                Box(at["first_tie"] + n * at["pitch"] - at["tie_width"] / 2, 0.0, 0.0,
                    at["tie_width"], at["height"], at["thickness"]),
            )
            for n in range(self.ties)
        )  # fmt: skip
        return Panel(
            "as keyed", at["length"], at["height"], at["thickness"], ties, at["skin"], at["edge"]
        )


def read_cutting(texts: Mapping[str, str], units: Mapping[str, str]) -> Cutting:
    """Read what was keyed; what is wrong counts as the default, and is told.

    Parameters
    ----------
    texts, units : mapping of str to str
        What stands in each field, and the unit beside it: those of :data:`FIELDS`, ``ties``, and
        ``n-`` with the name of a shape. What is empty is the default, of a shape none.
    """
    wrong: dict[str, str] = {}
    lengths: dict[str, float] = {}
    for name, (number, unit) in DEFAULTS.items():
        text = texts.get(name, "").strip() or number
        beside = units.get(name, "") or unit
        try:
            lengths[name] = _length(name, text, beside)
        except BeadwrightError as error:
            wrong[name] = str(error)
            lengths[name] = _length(name, number, unit)
    ties = _whole("ties", texts.get("ties", "").strip() or "6", wrong)
    numbers = {
        one.name: _whole(f"n-{one.name}", texts.get(f"n-{one.name}", "").strip() or "0", wrong)
        for one in SHAPES
    }
    return Cutting(lengths, ties, numbers, wrong)


def _length(name: str, text: str, unit: str) -> float:
    value = float(to_si(parse_number(text, decimal="."), unit, "length"))
    positive = name in {"length", "height", "thickness", "pitch", "tie_width"}
    if value < 0 or (positive and value == 0) or value > 10:  # noqa: PLR2004 - no panel is longer
        raise OutOfRange(FIELDS[name].lower(), f"{text} {unit}", valid="above 0 and below 10 m")
    return value


def _whole(name: str, text: str, wrong: dict[str, str]) -> int:
    if text.isascii() and text.isdecimal() and int(text) <= _MOST:
        return int(text)
    wrong[name] = f'"{text}" is no whole number from 0 to {_MOST}.'
    return 0


def cutting_sheet(of: Cutting) -> CutPlan:
    """Plan where to cut what was wanted."""
    thick = of.lengths["thickness"]
    wanted = [
        Wanted(
            one.name, of.numbers[one.name], one.length_m, one.height_m,
            thick if one.skin is Skin.BOTH else one.depth_m, skin=one.skin,
        )
        for one in SHAPES
        if of.numbers[one.name]
    ]  # fmt: skip
    kerf, clear = of.lengths["kerf"], of.lengths["clear"]
    return cut_plan(of.panel, wanted, kerf_m=kerf, clear_m=clear)
