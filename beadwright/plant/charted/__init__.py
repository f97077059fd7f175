"""Control charts of what a plant records, without set-up: which series there are, and each chart.

Lives here: the series of cups (``beads``), block lots (``blocks``) and presses (``presses``,
``hoppers``), the
chart of each with the lots made since a change (``answer``, ``since``, ``made_since``), its words.
Read first: beadwright.plant.charted.answer.
May import: what ``plant`` may.
"""

from beadwright.plant.charted.answer import DESIGNS, Charted, Charts, charted, charts
from beadwright.plant.charted.as_json import chart_json, charts_json
from beadwright.plant.charted.shown import Shown, shown
from beadwright.plant.charted.told import (
    CHARTS_SAY,
    KIND_WORDS,
    Told,
    by_chance,
    newest_told,
    told,
)

__all__ = [
    "CHARTS_SAY",
    "DESIGNS",
    "KIND_WORDS",
    "Charted",
    "Charts",
    "Shown",
    "Told",
    "by_chance",
    "chart_json",
    "charted",
    "charts",
    "charts_json",
    "newest_told",
    "shown",
    "told",
]
