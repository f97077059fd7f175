"""The pour sheet: what rate and lift a lot's measured flexural strength supports.

Lives here: what is asked (``asked``) and how people key it (``keyed``), the concrete and what is
taken at its worst (``concrete``), the lines (``lines``), the answer and its words (``answer``),
the sheet (``sheet``).
Read first: :func:`beadwright.plant.pour.sheet.pour_sheet`. It may only lower the installation
manual's rate; it holds, refuses and releases nothing, and is no form design.
"""

from beadwright.plant.pour.answer import Answer, answer_words
from beadwright.plant.pour.asked import PourAsked
from beadwright.plant.pour.keyed import read_pour
from beadwright.plant.pour.sheet import (
    AID,
    NO_BAND,
    NOT_COUNTED,
    LotPour,
    PourSheet,
    pour_json,
    pour_sheet,
    remark,
)

__all__ = [
    "AID",
    "NOT_COUNTED",
    "NO_BAND",
    "Answer",
    "LotPour",
    "PourAsked",
    "PourSheet",
    "answer_words",
    "pour_json",
    "pour_sheet",
    "read_pour",
    "remark",
]
