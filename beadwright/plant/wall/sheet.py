"""The wall sheet: where a product's courses end, and the finished wall's thermal resistance.

Read :func:`wall_sheet`.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.physical import physical
from beadwright.plant.wall.asked import WallAsked, form_of
from beadwright.plant.wall.heights import Measured, measured
from beadwright.plant.wall.resistance import resistance
from beadwright.plant.wall.storey import CourseRow, course_rows, storey
from beadwright.plant.worked import Line, Working
from beadwright.plant.worked_words import line_json

__all__ = ["CLAIM", "NOT_COUNTED", "WallSheet", "wall_json", "wall_sheet"]

NOT_COUNTED = (
    "levelling on site and cutting of the top course",
    "settling under the concrete",
    "what blocks shrink after their first day",
    "the rule's own error, where the readings state none: it is added at every course",
)
"""What no figure of a storey holds; shown beside them."""

CLAIM = (
    "Worked out, not tested: no figure for a label or a claim. Local code and licensed practice"
    " govern."
)
"""Stands beside every resistance."""


@dataclass(frozen=True, slots=True)
class WallSheet:
    """A product's wall at a time."""

    product: str
    title: str
    at_ms: int
    asked: WallAsked
    measured: Measured
    rows: tuple[CourseRow, ...]
    storey: tuple[Line, ...]
    resistance: tuple[Line, ...]
    lines: tuple[Line, ...]
    """All lines, those too that others only rest on."""

    @property
    def taken(self) -> tuple[str, ...]:
        """Titles of what was taken because nobody said it."""
        return tuple(one.title for one in self.storey if one.origin == "memory")


def wall_sheet(
    plant_no: int, asked: WallAsked, at_ms: int, in_force: Settings | None = None
) -> WallSheet:
    """Give the wall sheet of a product.

    Raises
    ------
    Misuse
        If there is no such form product, or a lot that was named is none of it.
    """
    in_force = settings.load(plant_no) if in_force is None else in_force
    product = form_of(in_force, asked.product, at_ms)
    found = measured(plant_no, asked, in_force, at_ms)
    nominal = physical(in_force, "product", product.name, "height", at_ms)
    sheet = Working()
    stacked = storey(sheet, asked, found, nominal, product)
    warm = resistance(sheet, plant_no, product, in_force, at_ms)
    return WallSheet(
        product.name, product.title, at_ms, asked, found, course_rows(asked, found, nominal),
        tuple(sheet[key] for key in stacked), tuple(sheet[key] for key in warm), sheet.lines,
    )  # fmt: skip


def wall_json(found: WallSheet) -> dict[str, Any]:
    """Give a wall sheet as a program reads it, in SI."""
    heights = found.measured.heights
    return {
        "product": found.product,
        "title": found.title,
        "asked": asdict(found.asked),
        "taken_because_nobody_said": list(found.taken),
        "lots": [asdict(one) for one in found.measured.lots],
        "not_released_left_out": found.measured.left_out,
        "heights": None if heights is None else asdict(heights),
        "lacking": found.measured.why_not,
        "courses": [
            {"courses": row.courses, "aim_m": row.aim_m,
             **{mix: {**asdict(end), "chance": end.chance} for mix, end in row.endings}}
            for row in found.rows
        ],
        "storey": [line_json(one) for one in found.storey],
        "resistance": [line_json(one) for one in found.resistance],
        "not_counted": list(NOT_COUNTED),
        "caution": CLAIM,
    }  # fmt: skip
