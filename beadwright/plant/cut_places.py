"""Where a specimen was cut, as it is written, held against the panel that its product states.

Read :func:`place_written` and :func:`place_departures_of`. A text that is no such place stays a
text: nothing is held against anything.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from beadwright.errors import BeadwrightError
from beadwright.lab.cut_map import (
    LOADED,
    Box,
    Cut,
    Direction,
    Panel,
    Skin,
    Tie,
    place_departures,
)
from beadwright.lab.departure import Departure
from beadwright.ledger import settings
from beadwright.plant.cutting import DEFAULTS
from beadwright.plant.products import quantity
from beadwright.units import System, factor

__all__ = [
    "is_of_place",
    "panel_keyed",
    "panel_of",
    "panels",
    "place_departures_of",
    "place_read",
    "place_written",
]

_N = r"([0-9]+(?:\.[0-9]+)?)"
_PLACE = re.compile(
    rf"{_N} along, {_N} up, {_N} deep; {_N} by {_N} by {_N} (mm|cm|m|in|ft)"
    r"(?:; loaded (along|up|through))?(?:; (core|one skin|both skins))?"
)
_SKIN: Mapping[str, Skin] = MappingProxyType({"core_density": Skin.CORE})
"""Characteristics that say themselves which skins a specimen keeps."""
_SKINS = frozenset({"on_skin", "skin_gone"})
_SENTENCES = re.compile(
    r"Tie \S+ is in the specimen\.|The specimen (lies close to tie|reaches beyond its panel|was"
    r" loaded in another direction)|Moulded skin is (on|gone from) a specimen"
)


def place_written(cut: Cut, system: System) -> str:
    """Write a place as a result states it.

    >>> place_written(Cut("C1", Box(0.1, 0.05, 0, 0.1, 0.1, 0.0254), Direction.THROUGH), "si")
    '100 along, 50 up, 0 deep; 100 by 100 by 25.4 mm; loaded through; core'
    """
    unit = "in" if system == "us" else "mm"
    size = float(factor(unit, "length"))
    x, y, z, length, height, depth = (
        f"{one / size:.2f}".rstrip("0").rstrip(".")
        for one in (*cut.box.low, cut.box.length_m, cut.box.height_m, cut.box.depth_m)
    )
    return (
        f"{x} along, {y} up, {z} deep; {length} by {height} by {depth} {unit};"
        f" loaded {cut.loaded.value}; {cut.skin.value}"
    )


def place_read(text: str, specimen: str, characteristic: str) -> tuple[Cut, bool] | None:
    """Give the place that a text states, and whether its skins are stated; None where it is none.

    A load that is not stated came on as the test of the characteristic asks for it.
    """
    found = _PLACE.fullmatch(" ".join(text.split()))
    if found is None:
        return None
    size = float(factor(found[7], "length"))
    box = Box(*(float(found[at]) * size for at in range(1, 7)))
    loaded = found[8] or LOADED.get(characteristic, Direction.THROUGH)
    skin = Skin(found[9]) if found[9] else _SKIN.get(characteristic, Skin.CORE)
    stated = bool(found[9]) or characteristic in _SKIN
    return Cut(specimen, box, Direction(loaded), _SKIN.get(characteristic, skin)), stated


def panel_of(product: Mapping[str, object]) -> Panel | None:
    """Give the panel of a product's setting, its ties evenly from the middle; None where it lacks.

    It takes length, height, panel, ties and tie_spacing of the product. The width of a flange and
    the depth of a skin are those of no drawing: common practice, no source.
    """
    try:
        length, height, thickness = (
            quantity(product[name], "length") for name in ("length", "height", "panel")
        )
        ties = int(str(product.get("ties", 0)))
        pitch = quantity(product["tie_spacing"], "length") if ties > 1 else 0.0
        wide, skin = (
            quantity(" ".join(DEFAULTS[name]), "length") for name in ("tie_width", "skin")
        )
        first = (length - (ties - 1) * pitch) / 2
        made = tuple(
            Tie(f"T{n + 1}", Box(first + n * pitch - wide / 2, 0.0, 0.0, wide, height, thickness))
            for n in range(ties)
        )
        return Panel("as the product states it", length, height, thickness, made, skin)
    except (BeadwrightError, KeyError, ValueError):
        return None


def panels(plant_no: int, at_ms: int) -> Mapping[str, Panel]:
    """Give the panel of every product that states one, by its code."""
    in_force = settings.load(plant_no)
    bodies = ((name, in_force.at("product", name, at_ms)) for name in in_force.names("product"))
    found = ((name, panel_of(body)) for name, body in bodies if body is not None)
    return {name: panel for name, panel in found if panel is not None}


def panel_keyed(panel: Panel, system: System) -> tuple[dict[str, str], dict[str, str]]:
    """Give a panel as the fields of a plan of cutting hold it: texts and units."""
    unit = "in" if system == "us" else "mm"
    size = float(factor(unit, "length"))
    middles = [one.box.x_m + one.box.length_m / 2 for one in panel.ties]
    lengths = {"length": panel.length_m, "height": panel.height_m, "thickness": panel.thickness_m}
    if middles:
        lengths["first_tie"] = middles[0]
    if len(middles) > 1:
        lengths["pitch"] = middles[1] - middles[0]
    texts = {name: f"{one / size:.3f}".rstrip("0").rstrip(".") for name, one in lengths.items()}
    return {**texts, "ties": str(len(middles))}, dict.fromkeys(lengths, unit)


def place_departures_of(
    text: str, specimen: str, characteristic: str, product: Mapping[str, object]
) -> tuple[Departure, ...]:
    """Say what is wrong with where a specimen was cut; nothing where place or panel is missing."""
    read, panel = place_read(text, specimen, characteristic), panel_of(product)
    if read is None or panel is None:
        return ()
    cut, stated = read
    clear = quantity(" ".join(DEFAULTS["clear"]), "length")
    try:
        found = place_departures(panel, cut, clear_m=clear, asked=LOADED.get(characteristic))
    except BeadwrightError:  # a specimen without a size is no place
        return ()
    return found if stated else tuple(one for one in found if one.code not in _SKINS)


def is_of_place(sentence: str) -> bool:
    """Whether a departure is about where a specimen was cut: it goes as the place is corrected."""
    return _SENTENCES.match(sentence) is not None
