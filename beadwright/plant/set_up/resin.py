"""What a thousand good blocks take: resin, tie plastic, steam.

Read :func:`resin`.
"""

from __future__ import annotations

from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.worked import Working

__all__ = ["resin"]


def resin(sheet: Working, of: Asked) -> list[str]:
    """Put what a thousand good blocks take."""
    scrap = ("Scrap at the press, of what was moulded", "fraction")
    if of.scrap is None:
        sheet.given("scrap", scrap, None, ("measured", ""))
    else:
        band = (of.scrap.low, of.scrap.high)
        sheet.given("scrap", scrap, of.scrap.value, ("measured", of.scrap.source), band)
    beads = {"foam_kg": "foam_mass", "pentane_per_dry": "pentane_dry", "scrap": "scrap"}
    title = ("Raw beads of a thousand good blocks", "mass")
    sheet.work("resin", title, formulas.resin_of_thousand, beads)
    plastic = {"each_kg": "ties_mass", "scrap": "scrap"}
    title = ("Tie plastic of a thousand good blocks", "mass")
    sheet.work("plastic", title, formulas.times_thousand, plastic)
    steam = {"cycle_kg": "steam_least", "cavities": "cavities", "scrap": "scrap"}
    title = ("Steam of a thousand good blocks, at least", "mass")
    sheet.work("steam_thousand", title, formulas.steam_of_thousand, steam)
    return ["scrap", "resin", "plastic", "steam_thousand"]
