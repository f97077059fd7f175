"""The pour sheet: each lot's measured flexural strength, and the rate and lift that it supports.

Read :func:`pour_sheet`. A lot without a flexural test, and one that is not released, has no
figure: what is expected of its density is shown apart, and never used.
"""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from beadwright.errors import BeadwrightError
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.lots_read import Stand, block_lots, evidence_of, newest_with, stands_of
from beadwright.plant.physical import physical
from beadwright.plant.pour.answer import Answer, answer_words
from beadwright.plant.pour.asked import PourAsked
from beadwright.plant.pour.concrete import given_lines
from beadwright.plant.pour.lines import ANSWERS, Strong, expected_strength, worked_lines
from beadwright.plant.products import Product, quantity
from beadwright.plant.wall.asked import form_of
from beadwright.plant.weighings import Evidence
from beadwright.plant.worked import Line, Working
from beadwright.plant.worked_words import line_json, told_all
from beadwright.science.pour import CAUTION
from beadwright.units import System

__all__ = [
    "AID",
    "NOT_COUNTED",
    "NO_BAND",
    "LotPour",
    "PourSheet",
    "pour_json",
    "pour_sheet",
    "remark",
]

AID = "An aid to a talk with the engineer of record, who decides."
"""Stands with the caution wherever the sheet shows."""

NOT_COUNTED = (
    "creep under a lift that stays fresh for hours, and heat while concrete sets",
    "cut edges, joints, corner blocks, voids at fill ports",
    "pull-out of a tie at its flange, and shear of the foam there",
    "bracing, alignment and uplift at the base",
)
"""What no figure of the sheet holds; shown beside them."""

NO_BAND = (
    "An estimate here has no band: how far off it may be is not known until panels of the lot are"
    " loaded on a bench for as long as a lift stays fresh."
)
"""Stands with the numbers, because an estimate else shows its band."""

_LOTS = 20
_LOOKED_AT = 60
_NO_TEST = (
    "no flexural strength of it was measured: bend bars of its panels (ASTM C203) once they are"
    " conditioned"
)


@dataclass(frozen=True, slots=True)
class LotPour:
    """One lot: its figures, or why it has none."""

    lot: str
    why_none: str
    """Why there is no figure; empty where there are some."""
    specimens: int
    lines: tuple[Line, ...]
    apart: tuple[Line, ...]
    """What its density lets expect: an estimate, used by nothing."""
    answer: Answer | None
    """None where something is not known: the lines say what."""

    @property
    def strength_pa(self) -> float | None:
        """Its weakest specimen."""
        return next((one.value for one in self.lines if one.key == "strength"), None)

    @property
    def answers(self) -> tuple[Line, ...]:
        """The lines that answer, in their order."""
        by_key = {one.key: one for one in self.lines}
        return tuple(by_key[key] for key in ANSWERS if key in by_key)


@dataclass(frozen=True, slots=True)
class PourSheet:
    """Lots of a product, the weakest first; those without a figure before them."""

    product: str
    title: str
    at_ms: int
    asked: PourAsked
    lots: tuple[LotPour, ...]
    said: tuple[Line, ...]
    """What was said of pour and concrete, and what is taken at its worst."""
    left_out: int
    """Of the product's newest lots with such a test, those that are not released."""
    lacking: str
    """Why no lot governs; empty where one does."""
    caution: str = CAUTION

    @property
    def taken(self) -> tuple[str, ...]:
        """Titles of what was taken at its worst because nobody said it."""
        return tuple(one.title for one in self.said if one.origin == "worst")

    @property
    def governs(self) -> LotPour | None:
        """The weakest lot; None where a lot that was named has no figure."""
        return None if self.lacking else self.lots[0]


def pour_sheet(
    plant_no: int, asked: PourAsked, at_ms: int, in_force: Settings | None = None
) -> PourSheet:
    """Give the pour sheet of the lots that were named, else of a product's newest tested ones.

    Raises
    ------
    Misuse
        If there is no such form product, or a lot that was named is none of it.
    """
    in_force = settings.load(plant_no) if in_force is None else in_force
    product = form_of(in_force, asked.product, at_ms)
    codes = tuple(one.code for one in block_lots(plant_no, asked.lots, product.name))
    if not codes:
        codes = newest_with(plant_no, product.name, "flexural_strength", at_ms, _LOOKED_AT)
    stands = stands_of(plant_no, codes, at_ms)
    left_out = 0
    if not asked.lots:
        left_out = sum(not stands[code].released for code in codes)
        codes = tuple(code for code in codes if stands[code].released)[:_LOTS]
    found = [
        _lot(code, here, stands[code], (asked, product, in_force, at_ms))
        for code, here in evidence_of(plant_no, codes, in_force, at_ms).items()
    ]
    if not asked.lots:
        found = [one for one in found if not one.why_none]
    found.sort(key=lambda one: (one.strength_pa or 0.0, one.lot))
    said = Working()
    given_lines(said, asked)
    return PourSheet(
        product.name, product.title, at_ms, asked, tuple(found), said.lines, left_out,
        _lacking(product, found),
    )  # fmt: skip


def _lacking(product: Product, found: Sequence[LotPour]) -> str:
    if not found:
        return f"no released lot of {product.name} has a flexural test of its own"
    return "; ".join(f"{one.lot}: {one.why_none}" for one in found if one.why_none)


def _lot(
    code: str, here: Evidence, stand: Stand, how: tuple[PourAsked, Product, Settings, int]
) -> LotPour:
    asked, product, in_force, at_ms = how
    values = [one.si for one in here.values.get("flexural_strength", ())]
    apart = Working()
    dry = [one.si for one in here.values.get("density", ()) if one.state != "press"]
    expected_strength(apart, statistics.fmean(dry) if dry else None)
    why = _NO_TEST if not values else ""
    if not stand.released:
        why = f"it is not released: {stand.why_not}"
    if why:
        return LotPour(code, why, len(values), (), apart.lines, None)
    panel = (in_force.at("product", product.name, at_ms) or {}).get("panel")
    own = (
        physical(in_force, "product", product.name, key, at_ms)
        for key in ("tie_spacing", "tie_rise", "tie_strength", "height")
    )
    count = f"{len(values)} specimens" if len(values) > 1 else "one specimen alone"
    strong = Strong(min(values), f"least of {count} of {code}", _length(panel), *own)
    sheet = Working()
    given_lines(sheet, asked)
    answer = worked_lines(sheet, asked, strong)
    return LotPour(code, "", len(values), sheet.lines, apart.lines, answer)


def _length(text: object) -> float | None:
    try:
        return None if text is None else quantity(text, "length")
    except (BeadwrightError, ValueError):
        return None


def remark(lot: LotPour, units: System) -> str:
    """Say why a lot has no figure, and what its density lets expect; empty where it has some."""
    if not lot.why_none:
        return ""
    expected = next(one for one in told_all(lot.apart, units) if one.key == "expected")
    if expected.unknown:
        return lot.why_none
    return f"{lot.why_none}; its density lets expect {expected.value} ({expected.band}): not used"


def pour_json(found: PourSheet) -> dict[str, Any]:
    """Give a pour sheet as a program reads it, in SI."""
    return {
        "product": found.product,
        "title": found.title,
        "asked": asdict(found.asked),
        "taken_at_its_worst": list(found.taken),
        "governs": None if found.governs is None else found.governs.lot,
        "lacking": found.lacking,
        "not_released_left_out": found.left_out,
        "lots": [_lot_json(one, found) for one in found.lots],
        "not_counted": list(NOT_COUNTED),
        "no_band": NO_BAND,
        "aid": AID,
        "caution": found.caution,
    }


def _lot_json(one: LotPour, found: PourSheet) -> dict[str, Any]:
    answer = None
    if one.answer is not None:
        words = list(answer_words(one.answer, "si"))
        answer = {**asdict(one.answer), "why_none": one.answer.why_none, "says": words}
    return {
        "lot": one.lot,
        "why_none": one.why_none,
        "specimens": one.specimens,
        "answer": answer,
        "lines": [line_json(line) for line in one.lines],
        "expected_and_not_used": [line_json(line) for line in one.apart],
        "caution": found.caution,
    }
