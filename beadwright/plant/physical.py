"""What a plant sets about the physics of its things: beads, machines, moulds, rooms, the air.

Read :func:`physical`. Nothing here is needed to keep the record or to decide on a lot: an answer
of the physics that lacks one of these says which.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.errors import BeadwrightError
from beadwright.ledger.fold import Dated
from beadwright.plant.products import quantity
from beadwright.units import Kind

__all__ = ["ANY_SIGN", "NUMBERS", "PHYSICAL", "physical"]

PHYSICAL: Mapping[str, Mapping[str, Kind]] = {
    "product": {
        "length": "length",
        "height": "length",
        "tie_spacing": "length",
        "tie_rise": "length",
        "tie_section": "area",
        "tie_strength": "force",
        "finishes": "thermal_resistance",
        "listed_density": "density",
        "failing_lots": "fraction",
    },
    "grade": {
        "pentane": "fraction",
        "raw_size": "length",
        "raw_density": "density",
        "raw_bulk": "density",
    },
    "place": {
        "vessel": "volume",
        "across": "length",
        "filled": "temperature",
        "charge_step": "mass",
        "steaming_step": "duration",
    },
    "mould": {
        "tool_mass": "mass",
        "tool_from": "temperature",
        "chest": "volume",
        "steam": "pressure",
        "metered_steam": "mass",
    },
    "room": {
        "volume": "volume",
        "air_flow": "volume_flow",
        "lower_limit": "fraction",
        "temperature": "temperature",
    },
    "air": {"altitude": "length", "barometer": "pressure"},
}
"""By topic: keys that hold a number and a unit, and of what kind. ``pentane`` is per mass of the
wet bead, as a laboratory reports it; ``steam`` is gauge pressure; ``tie_section`` the area of a
tie's plastic where it crosses the cavity, ``tie_strength`` the pull across the cavity that a tie
was tested to bear; ``finishes`` what plaster, board and cladding resist together;
``listed_density`` that at which an agency lists the product,
``failing_lots`` how many may fail a limit by the plant's own figure; ``charge_step`` and
``steaming_step`` the smallest change that can be set; ``across`` the width of a silo, ``filled``
how warm beads come into it;
``temperature`` of a room what its air has over the day; ``barometer`` what one on the site shows,
not reduced to sea level."""

NUMBERS: Mapping[str, frozenset[str]] = {
    "grade": frozenset({"price_per_kg"}),
    "mould": frozenset({"purges"}),
    "place": frozenset({"dead_cups", "adjustment_cups", "cost_per_h"}),
    "room": frozenset({"mixing", "share"}),
}
"""By topic: keys that hold a bare number. ``price_per_kg`` of raw beads and of ties, and
``cost_per_h`` of a press are in the plant's money;
``purges`` counts chest fillings beyond the first;
``dead_cups`` the cups before an adjustment is seen, ``adjustment_cups`` how many cups that are off
by one standard deviation cost as much as one adjustment."""

ANY_SIGN: Mapping[str, frozenset[str]] = {
    "air": frozenset({"altitude"}),
    "place": frozenset({"filled"}),
    "room": frozenset({"temperature"}),
}
"""By topic: keys that may be nothing or less. A site at the sea or below it has an altitude too,
and a hall in winter a temperature."""


def physical(settings: Dated, topic: str, name: str, key: str, at_ms: int) -> float | None:
    """Give what was set, in SI; None where it was not, or cannot be read."""
    body = settings.at(topic, name, at_ms) or {}
    if key not in body:
        return None
    try:
        if key in NUMBERS.get(topic, ()):
            return float(str(body[key]))
        return quantity(body[key], PHYSICAL[topic][key])
    except (BeadwrightError, ValueError):
        return None
