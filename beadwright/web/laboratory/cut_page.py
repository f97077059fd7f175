"""What the page of cutting shows: the fields, the picture, and every place in a table.

Read :func:`cut_page`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from beadwright.charts.cut_map import Apart, CutMap, Piece, draw
from beadwright.charts.svg import Drawing
from beadwright.lab.cut_map import Cut
from beadwright.lab.cut_plan import CutPlan
from beadwright.plant.cut_places import place_written
from beadwright.plant.cutting import DEFAULTS, FIELDS, SHAPES, Cutting
from beadwright.plant.words import number
from beadwright.quality.conditions import CUT_AT
from beadwright.units import System, accepted

__all__ = ["COLUMNS", "CutPage", "Field", "cut_page"]

COLUMNS = ("specimen", "along", "up", "deep", "length", "height", "depth")
_TESTS = {
    "C": "compressive_resistance", "F": "flexural_strength", "D": "density", "K": "core_density",
    "S": "dimensional_stability", "T": "thermal_resistance", "W": "water_absorption",
}  # fmt: skip
"""What each usual specimen is cut for."""
_SHAPES = {one.name: one for one in SHAPES}


@dataclass(frozen=True, slots=True)
class Field:
    """One field."""

    name: str
    label: str
    value: str
    unit: str
    units: tuple[str, ...]
    wrong: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class CutPage:
    """A plan of cutting as it is shown."""

    lengths: tuple[Field, ...]
    ties: Field
    numbers: tuple[Field, ...]
    picture: Drawing | None
    unit: str
    rows: tuple[tuple[str, ...], ...]
    without: tuple[str, ...]
    """What found no place."""
    used: str
    ways: tuple[tuple[str, str], ...]
    """To the form of each specimen's result: address and words."""
    sources: tuple[tuple[str, str], ...] = tuple((one.title, one.source) for one in SHAPES)
    """Where the sizes of usual specimens come from."""


def cut_page(
    of: Cutting, plan: CutPlan, texts: Mapping[str, str], units: Mapping[str, str], system: System
) -> CutPage:
    """Give the page, in millimetres or inches."""
    unit, size = ("in", 0.0254) if system == "us" else ("mm", 0.001)
    asked = any(of.numbers.values())
    return CutPage(
        tuple(_length(name, texts, units, of.wrong) for name in FIELDS),
        Field("ties", "Ties", texts.get("ties", "") or "6", "", (), of.wrong.get("ties", "")),
        tuple(
            Field(f"n-{one.name}", one.title, texts.get(f"n-{one.name}", ""), "", (),
                  of.wrong.get(f"n-{one.name}", ""), f"{one.name}1 and on.")
            for one in SHAPES
        ),
        _picture(of, plan, unit, size) if asked else None,
        "inches" if unit == "in" else "millimetres",
        tuple(
            (
                one.specimen,
                *(f"{each / size:.2f}" if unit == "in" else f"{each / size:.0f}" for each in (
                    one.box.x_m, one.box.y_m, one.box.z_m, one.box.length_m, one.box.height_m,
                    one.box.depth_m,
                )),
            )
            for one in plan.cuts
        ),
        tuple(
            f"{_SHAPES[name].title}: {number(left, 'specimen')} without a place"
            for name, left in plan.without_place.items()
        ),
        f"{plan.used:.0%}",
        tuple(_way(one, system) for one in plan.cuts),
    )  # fmt: skip


def _way(cut: Cut, system: System) -> tuple[str, str]:
    """Give the way to the form of a specimen's result, with where it is cut."""
    test = _TESTS[cut.specimen.rstrip("0123456789")]
    said = {"test": test, "specimen": cut.specimen, CUT_AT: place_written(cut, system)}
    return f"/laboratory/result/?{urlencode(said)}", f"{cut.specimen}, {test.replace('_', ' ')}"


def _length(
    name: str, texts: Mapping[str, str], units: Mapping[str, str], wrong: Mapping[str, str]
) -> Field:
    value, unit = DEFAULTS[name]
    keyed = texts.get(name, "")
    return Field(
        name, FIELDS[name], keyed or value, units.get(name, "") or unit, accepted("length"),
        wrong.get(name, ""),
    )  # fmt: skip


def _picture(of: Cutting, plan: CutPlan, unit: str, size: float) -> Drawing:
    panel = of.panel
    return draw(
        CutMap(
            "cuts",
            panel.name,
            unit,
            round(panel.length_m / size, 2),
            round(panel.height_m / size, 2),
            round(panel.thickness_m / size, 3),
            panel.skin_m / size,
            tuple(
                Apart(
                    one.name, one.box.x_m / size, one.box.y_m / size, one.box.length_m / size,
                    one.box.height_m / size,
                )
                for one in panel.ties
                if one.box.x_m < panel.length_m
            ),
            tuple(
                Piece(
                    one.specimen, one.box.x_m / size, one.box.y_m / size, one.box.z_m / size,
                    one.box.length_m / size, one.box.height_m / size, one.box.depth_m / size,
                )
                for one in plan.cuts
            ),
        )
    )  # fmt: skip
