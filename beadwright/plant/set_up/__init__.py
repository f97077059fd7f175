"""The set-up sheet of a product: from its block and limits to beads, machines, foam and resin.

Lives here: what is asked of the record and the settings (``asked``), the arithmetic of a sheet
(``formulas``), its parts (``block``, ``beads``, ``machines``, ``foam``, ``resin``), the sheet.
Read first: :func:`beadwright.plant.set_up.sheet.set_up`. The sheet advises; nothing on it holds,
refuses or releases anything, and no machine takes a set point from it.
"""

from beadwright.plant.set_up.asked import Choice
from beadwright.plant.set_up.sheet import Section, SetUp, set_up, set_up_json

__all__ = ["Choice", "Section", "SetUp", "set_up", "set_up_json"]
