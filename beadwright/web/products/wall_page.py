"""What the page of a wall shows: the form as it was keyed, the answer, courses, lots, resistance.

Read :func:`wall_page`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.charts.curves import draw
from beadwright.charts.svg import Drawing
from beadwright.charts.wall import CourseEnds, MixEnds, picture
from beadwright.plant.wall import (
    CLAIM,
    MIX_WORDS,
    NOT_COUNTED,
    WallSheet,
    length_in,
    short_chance,
    short_length,
    wall_told,
    wall_words,
)
from beadwright.plant.words import number
from beadwright.plant.worked_words import Told
from beadwright.units import System
from beadwright.web.products.pour_page import KeyedField
from beadwright.web.products.sent import Sent

__all__ = ["FIELDS", "WallPage", "wall_page"]

_SHORT: Mapping[System, tuple[str, ...]] = {"us": ("in", "mm"), "si": ("mm", "in")}
FIELDS: Mapping[str, tuple[str, Mapping[System, tuple[str, ...]], str]] = {
    "storey": ("Storey", {"us": ("ft", "in", "m"), "si": ("m", "ft")}, "or 8 ft"),
    "courses": ("Courses", {"us": (), "si": ()}, "or the nearest"),
    "tolerance": ("Tolerance, either way", _SHORT, "or 1/4 in"),
    "joint": ("What a joint adds", _SHORT, "or nothing"),
    "joint_spread": ("Spread of joints", _SHORT, "or nothing"),
}
"""By word: label, units by choice, what is taken where nobody says."""


@dataclass(frozen=True, slots=True)
class WallPage:
    """The page."""

    product: str
    title: str
    at_ms: int
    fields: tuple[KeyedField, ...]
    lots_asked: str
    lots_wrong: str
    sentences: tuple[str, ...]
    known: bool
    picture: Drawing | None
    answers: tuple[Told, ...]
    storey: tuple[Told, ...]
    columns: tuple[str, ...]
    courses: tuple[tuple[str, ...], ...]
    lots: tuple[tuple[str, str, str, str], ...]
    """Lot, blocks, mean height, why it is not released."""
    left_out: int
    resistance: tuple[Told, ...]
    taken: tuple[str, ...]
    query: str
    all: bool
    claim: str = CLAIM.removesuffix(" Local code and licensed practice govern.")
    not_counted: tuple[str, ...] = NOT_COUNTED


def wall_page(found: WallSheet, sent: Sent, units: System) -> WallPage:
    """Give what is shown of a sheet."""
    told = {one.key: one for one in wall_told(found, units)}
    answers = [one for one in found.storey if one.key.startswith(("ends_", "chance_"))]
    apart = {one.key for one in (*answers, *found.resistance)}
    sentences = wall_words(found, units)
    return WallPage(
        found.product,
        found.title,
        found.at_ms,
        _fields(sent, units),
        sent.lots,
        sent.lots_wrong,
        sentences,
        found.measured.heights is not None and bool(found.rows),
        _drawn(found, sentences, units),
        tuple(told[one.key] for one in answers),
        tuple(one for key, one in told.items() if key not in apart),
        ("courses", "as drawn", *_mix_columns(found)),
        tuple(_course(found, n, units) for n in range(len(found.rows))),
        tuple(
            (one.lot, str(one.count), short_length(one.mean_m, units, 3), one.why_not)
            for one in found.measured.lots
        ),
        found.measured.left_out,
        tuple(told[one.key] for one in found.resistance),
        found.taken,
        sent.query,
        sent.all,
    )


def _fields(sent: Sent, units: System) -> tuple[KeyedField, ...]:
    fields = []
    for name, (label, offered, may) in FIELDS.items():
        each = offered[units]
        unit = sent.units.get(name) or (each[0] if each else "")
        every = each if unit in each else (unit, *each)
        fields.append(
            KeyedField(
                name, label, sent.texts.get(name, ""), unit, every if each else (),
                sent.wrong.get(name, ""), may, needed=False,
            )
        )  # fmt: skip
    return tuple(fields)


def _mix_columns(found: WallSheet) -> tuple[str, ...]:
    mixes = [mix for mix, _ in found.rows[0].endings] if found.rows else []
    return tuple(
        text for mix in mixes for text in (f"off, {MIX_WORDS[mix]}", "beyond the tolerance")
    )


def _course(found: WallSheet, n: int, units: System) -> tuple[str, ...]:
    row = found.rows[n]
    cells = [str(row.courses), short_length(row.aim_m, units, 1)]
    for _, end in row.endings:
        either = short_length(2 * end.u_m, units, 2)
        cells += [
            f"{short_length(end.deviation_m, units, 2)} ± {either}",
            short_chance(end.chance),
        ]
    return tuple(cells)


def _drawn(found: WallSheet, sentences: Sequence[str], units: System) -> Drawing | None:
    if not found.rows:
        return None
    unit = "in" if units == "us" else "mm"
    tolerance = next((one.value for one in found.storey if one.key == "tolerance"), None)
    courses = next((one.value for one in found.storey if one.key == "courses"), None)
    mixes = [mix for mix, _ in found.rows[0].endings]
    told = tuple(
        MixEnds(
            MIX_WORDS[mix],
            tuple(length_in(dict(row.endings)[mix].deviation_m, unit) for row in found.rows),
            tuple(length_in(2 * dict(row.endings)[mix].u_m, unit) for row in found.rows),
        )
        for mix in mixes
    )
    asked = round(courses or 1)
    count = f"{number(asked, 'course')} {'is' if asked == 1 else 'are'} asked about."
    said = " ".join([count, "Against the storey:", *sentences])
    ends = CourseEnds(found.product, unit, length_in(tolerance or 0.0, unit), told, asked, said)
    return draw(picture(ends))
