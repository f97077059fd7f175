"""What the page of a pour shows: the form as it was keyed, the answer, the lots.

Read :func:`pour_page`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.charts.curves import draw
from beadwright.charts.pour import picture
from beadwright.charts.svg import Drawing
from beadwright.plant.pour import (
    AID,
    NO_BAND,
    NOT_COUNTED,
    LotPour,
    PourSheet,
    answer_words,
    remark,
)
from beadwright.plant.worked_words import Told, told_all
from beadwright.units import System
from beadwright.web.products.pour_picture import depth_of
from beadwright.web.products.sent import Sent

__all__ = [
    "CHOICES",
    "FIELDS",
    "NEEDED",
    "Chosen",
    "KeyedField",
    "LotRow",
    "PourPage",
    "pour_page",
]

FIELDS: Mapping[str, tuple[str, Mapping[System, tuple[str, ...]]]] = {
    "height": ("Height of fresh concrete", {"us": ("ft", "in", "m"), "si": ("m", "ft")}),
    "rate": ("Rate, by the manual", {"us": ("ft/h", "m/h"), "si": ("m/h", "ft/h")}),
    "factor": ("Safety factor", {"us": (), "si": ()}),
    "density": ("Density", {"us": ("lb/ft3", "kg/m3"), "si": ("kg/m3", "lb/ft3")}),
    "temperature": ("Concrete is at", {"us": ("°F", "°C"), "si": ("°C", "°F")}),
    "slump": ("Slump", {"us": ("in", "mm"), "si": ("mm", "in")}),
    "vibration": ("Vibrator reaches", {"us": ("ft", "in", "m"), "si": ("m", "ft")}),
}
"""By word: label, units by choice."""

CHOICES: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "binder": ("Binder", {
        "plain": "Cement Types I, II, III",
        "blended": "Blend under 70 % slag, 40 % ash",
        "high": "Blend with more",
    }),
    "retarder": ("Set delayed", {"no": "no", "yes": "yes"}),
    "self_consolidating": ("Self-consolidating", {"no": "no", "yes": "yes"}),
    "placed": ("How it is placed", {"top": "from the top", "base": "pumped in at the base"}),
    "unbroken": ("Panels unbroken, 3 spans", {"yes": "yes", "no": "no"}),
}  # fmt: skip
"""By word: label, and what may be said with its words."""

NEEDED = ("height", "rate", "factor")
_WORST = "or the worst"
_NO_BLANK = frozenset({"self_consolidating"})
"""Without a word for not said: of a mix that has a slump to key, it is not so."""


@dataclass(frozen=True, slots=True)
class KeyedField:
    """A field of the form, as the part ``field`` takes it."""

    name: str
    label: str
    value: str
    unit: str
    units: tuple[str, ...]
    wrong: str
    may: str
    needed: bool


@dataclass(frozen=True, slots=True)
class Chosen:
    """A choice of the form."""

    name: str
    label: str
    options: tuple[tuple[str, str, bool], ...]
    """Word, what it says, whether it is chosen."""


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot in the table."""

    lot: str
    specimens: int
    cells: tuple[str, ...]
    """Weakest specimen, rate, lift."""
    remark: str
    """Why it has no figure; empty where it has some."""
    governs: bool


@dataclass(frozen=True, slots=True)
class PourPage:
    """The page."""

    product: str
    title: str
    at_ms: int
    fields: tuple[KeyedField, ...]
    choices: tuple[Chosen, ...]
    lots_asked: str
    lots_wrong: str
    sort: str
    state: str
    sentences: tuple[str, ...]
    lot: str
    """The lot that governs; empty where none does."""
    weakest_of: int
    picture: Drawing | None
    answers: tuple[Told, ...]
    under: tuple[Told, ...]
    rows: tuple[LotRow, ...]
    left_out: int
    taken: tuple[str, ...]
    query: str
    """What was asked, as a link says it."""
    all: bool
    caution: str
    aid: str = AID
    no_band: str = NO_BAND
    not_counted: tuple[str, ...] = NOT_COUNTED


def pour_page(found: PourSheet, sent: Sent, units: System) -> PourPage:
    """Give what is shown of a sheet."""
    lot = found.governs
    told = () if lot is None else told_all(lot.lines, units)
    keys = set() if lot is None else {one.key for one in lot.answers}
    by_key = {one.key: one for one in told}
    sort, state, sentences = _said(found, lot, units)
    depth = None if lot is None else depth_of(lot, units)
    said = told_all(found.said, units) if lot is None else ()
    return PourPage(
        found.product,
        found.title,
        found.at_ms,
        _fields(sent, units),
        _choices(sent.texts),
        sent.lots,
        sent.lots_wrong,
        sort,
        state,
        sentences,
        "" if lot is None else lot.lot,
        len(found.lots),
        None if depth is None else draw(picture(depth)),
        () if lot is None else tuple(by_key[one.key] for one in lot.answers),
        (*said, *(one for one in told if one.key not in keys)),
        tuple(_row(one, one is lot, units) for one in found.lots),
        found.left_out,
        found.taken,
        sent.query,
        sent.all,
        found.caution.removesuffix(" Local code and licensed practice govern."),
    )


def _said(found: PourSheet, lot: LotPour | None, units: System) -> tuple[str, str, tuple[str, ...]]:
    """Give how the answer stands, its word, and its sentences."""
    if lot is None:
        return "ask", "none", (f"No figure: {found.lacking}.",)
    if lot.answer is None:
        rate = next(one for one in lot.lines if one.key == "rate")
        lacking = f"Not known without: {'; '.join(rate.lacking).lower()}."
        return "ask", "unknown", (lacking if rate.lacking else rate.refused,)
    words = answer_words(lot.answer, units)
    if lot.answer.rate_m_s is None:
        return "stop", "no rate", words
    return ("ask", "lowered", words) if lot.answer.lowered else ("note", "the manual's", words)


def _fields(sent: Sent, units: System) -> tuple[KeyedField, ...]:
    fields = []
    for name, (label, offered) in FIELDS.items():
        each = offered[units]
        unit = sent.units.get(name) or (each[0] if each else "")
        every = each if unit in each else (unit, *each)
        may = "" if name in NEEDED else _WORST
        fields.append(
            KeyedField(
                name,
                label,
                sent.texts.get(name, ""),
                unit,
                every if each else (),
                sent.wrong.get(name, ""),
                may,
                name in NEEDED,
            )
        )
    return tuple(fields)


def _choices(texts: Mapping[str, str]) -> tuple[Chosen, ...]:
    return tuple(
        Chosen(
            name,
            label,
            (
                *(() if name in _NO_BLANK else (("", "not said: the worst", not texts.get(name)),)),
                *((word, says, texts.get(name) == word) for word, says in words.items()),
            ),
        )
        for name, (label, words) in CHOICES.items()
    )


def _row(one: LotPour, governs: bool, units: System) -> LotRow:  # noqa: FBT001 - of a table's row
    told = {line.key: line.value for line in told_all(one.lines, units)}
    cells = tuple(told.get(key, "–") for key in ("strength", "rate", "lift"))
    return LotRow(one.lot, one.specimens, cells, remark(one, units), governs)
