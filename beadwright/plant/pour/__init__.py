"""The pour sheet: what rate and lift a lot's measured flexural strength supports.

Lives here: what is asked (``asked``), its lines (``lines``), the answer and its words
(``answer``), the sheet (``sheet``).
Read first: :func:`beadwright.plant.pour.sheet.pour_sheet`. It may only lower the installation
manual's rate; it holds, refuses and releases nothing, and is no form design.
"""

from beadwright.plant.pour.answer import Answer, answer_words
from beadwright.plant.pour.asked import PourAsked
from beadwright.plant.pour.sheet import LotPour, PourSheet, pour_json, pour_sheet

__all__ = [
    "Answer",
    "LotPour",
    "PourAsked",
    "PourSheet",
    "answer_words",
    "pour_json",
    "pour_sheet",
]
