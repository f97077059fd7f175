"""What the plant set about the physics of its beads, machines, moulds and rooms; all invented.

Read :data:`BEADS` first.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.demo.description import FORM_SILOS, PACKAGING_SILOS, Product

__all__ = [
    "BEADS", "MESH_GRADE", "MESH_WEIGHED", "PRESS_HOUR", "PRICES", "PROBED", "PROBE_READ", "ROOMS",
    "SILO_ACROSS", "TIE_PRICE", "VESSELS", "mould", "wall",
]  # fmt: skip

BEADS: Mapping[str, Mapping[str, str]] = {
    "F1": {"pentane": "5.8 %", "raw_size": "0.80 mm", "raw_bulk": "612 kg/m3"},
    "F2": {"pentane": "6.1 %", "raw_size": "0.85 mm", "raw_bulk": "608 kg/m3"},
    "PK1": {"pentane": "5.6 %", "raw_size": "1.10 mm", "raw_bulk": "615 kg/m3"},
}
"""By grade: pentane per mass of the wet bead, mean size, bulk density as received."""

PRICES: Mapping[str, str] = {"F1": "1.72", "F2": "1.69", "PK1": "1.48"}
"""Of a kilogram of raw beads, by grade, in money of the invented plant."""

TIE_PRICE, PRESS_HOUR = "1.35", "48"
"""Of a kilogram of ties, and of an hour of a press."""

VESSELS: Mapping[str, Mapping[str, str]] = {
    "E1": {"vessel": "366 L", "stops_on": "level", "trims": "person"},
    "E2": {"vessel": "330 L", "stops_on": "level", "trims": "person"},
}
"""By pre-expander: what it holds up to the level at which it stops."""

SILO_ACROSS = "2.6 m"

ROOMS: Mapping[str, Mapping[str, str | list[str]]] = {
    "air.outside": {"altitude": "215 m"},
    "room.SILO-HALL": {
        "places": [*FORM_SILOS, *PACKAGING_SILOS],
        "volume": "2400 m3",
        "temperature": "21 °C",
        "air_flow": "9000 m3/h",
        "fan": "running",
        "flow_switch": "FS-1 in the extract duct; its alarm sounds at the shift lead's desk",
        "mixing": "2",
        "share": "0.10",
    },
    # Nobody has measured the air of this room: what it would need is shown, and no more.
    "room.BLOCK-STORE": {"places": ["STORE"], "volume": "5200 m3"},
}

PROBED = ("S1", "S2", "S3")
"""Silos with a probe in their middle."""

PROBE_READ = ((1, 43.0), (5, 41.5), (10, 39.0), (16, 36.5), (22, 34.0), (28, 32.0), (36, 30.0))
"""Hours after a silo was full, and what its probe shows in °C, more or less."""

MESH_GRADE = "F1"
MESH_WEIGHED = (
    (0.4, 101.66, 36), (1.5, 102.09, 35), (4.0, 102.04, 34), (8.5, 101.85, 32), (14.0, 101.70, 30),
    (21.0, 101.49, 29),
)  # fmt: skip
"""A mesh sample of this grade: age in h, mass in g, temperature in °C where it hung."""


def mould(product: str) -> dict[str, str]:
    """Give what is known of a product's tool; of the packaging tools, nothing is."""
    if product.startswith("P"):
        return {}
    half = product.endswith("H")
    return {
        "tool_mass": "95 kg" if half else "150 kg",
        "tool_from": "80 °C",
        "chest": "0.16 m3" if half else "0.25 m3",
        "steam": "0.7 bar",
        "purges": "1",
    }


def wall(product: Product) -> dict[str, str]:
    """Give a form block's face and ties, as the wall that is made of it needs them."""
    length, _, height = product.size_in
    return {
        "length": f"{length:g} in",
        "height": f"{height:g} in",
        "tie_spacing": "8 in",
        "tie_rise": f"{height:g} in",
        "tie_section": "2.4 cm2",
        "tie_strength": "5.5 kN",
    }
