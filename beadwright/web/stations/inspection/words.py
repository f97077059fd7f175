"""Words of the inspection's pages: states of a block, and what each doing is called."""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.plant.inspecting import Part

__all__ = ["PARTS", "STATES", "STATE_SAID", "TO_DO"]

STATES = (("24h", "a day old"), ("dry", "dried"), ("press", "wet, from the press"))
"""States of a block, and their words."""

STATE_SAID: Mapping[str, str] = {**dict(STATES), "specimen": "cut specimen", "": "as read"}

PARTS: Mapping[Part, str] = {
    "weigh": "Weighed",
    "gauge": "Gauged",
    "look": "Looked over",
    "fusion": "Fusion",
    "bench": "Laboratory bench",
}
"""What was done, or is to be."""

TO_DO: Mapping[Part, str] = {
    "weigh": "weigh",
    "gauge": "gauge",
    "look": "look over",
    "fusion": "break",
    "bench": "test",
}
