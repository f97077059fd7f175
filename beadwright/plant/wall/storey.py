"""Where courses end: the lines of one storey, and a row for every number of courses.

Read :func:`storey` first. Courses of one lot are wrong together; of many lots they cancel in part.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from beadwright.plant.products import Product
from beadwright.plant.wall.asked import STOREY_M, TOLERANCE_M, WallAsked
from beadwright.plant.wall.heights import Measured
from beadwright.plant.worked import Working
from beadwright.science.trust import Banded, Trust, standing_of, stands
from beadwright.science.wall import BlockHeights, Courses, Ending, stack_up

__all__ = ["MIXES", "MIX_WORDS", "MOST_COURSES", "CourseRow", "course_rows", "storey"]

MIXES = ("one", "mixed")
"""All courses of one lot; each course of another."""

_LEARNT = {
    "cause": "mean and spreads are learnt from the blocks that were measured",
    "narrowed_by": "more lots, and more blocks of each, gauged at a day old",
}

MIX_WORDS = {"one": "all courses of one lot", "mixed": "each course of another lot"}
MOST_COURSES = 12
_TAKEN = "nobody said; common practice, no source"


@dataclass(frozen=True, slots=True)
class CourseRow:
    """A number of courses against as many nominal heights."""

    courses: int
    aim_m: float
    endings: tuple[tuple[str, Ending], ...]
    """By mix."""


def storey(
    sheet: Working, asked: WallAsked, found: Measured, nominal_m: float | None, product: Product
) -> list[str]:
    """Put what one storey is made of and where it ends; gives the keys of its lines."""
    _asked(sheet, asked, nominal_m, product)
    heights, source = found.heights, f"{len(found.lots)} lots, {_blocks(found)} blocks a day old"
    told = ("measured", source)
    values = (
        ("mean", "Mean height of a block", None if heights is None else heights.mean_m),
        ("u_mean", "Uncertainty of that mean", None if heights is None else heights.u_mean_m),
        ("within", "Spread of blocks within a lot", None if heights is None else heights.within_m),
        ("between", "Spread of lots", None if heights is None else heights.between_m),
    )
    for key, title, value in values:
        sheet.given(key, (title, "length"), value, told)  # type: ignore[arg-type]
    off = {"mean": "mean", "u_mean": "u_mean", "nominal": "nominal"}
    sheet.work("mean_off", ("Mean height, off as drawn", "length"), _mean_off, off)
    keys = [*(key for key, *_ in values), "mean_off", "storey", "tolerance", "courses", "seat",
            "seat_spread"]  # fmt: skip
    dof = (1.0, 1.0) if heights is None else (heights.dof, heights.dof_within)
    mixes = MIXES[:1] if found.of_one_lot else MIXES
    of = {
        "mean": "mean", "u_mean": "u_mean", "within": "within", "between": "between",
        "storey_m": "storey", "tolerance_m": "tolerance", "courses": "courses", "seat_m": "seat",
        "seat_spread_m": "seat_spread",
    }  # fmt: skip
    for mix in mixes:
        ends, chance = _functions(mix, dof)
        words = MIX_WORDS[mix]
        sheet.work(f"ends_{mix}", (f"Ends off, {words}", "length"), ends, of)
        told_chance = (f"Chance beyond the tolerance, {words}", "fraction")
        sheet.work(f"chance_{mix}", told_chance, chance, of)
        keys += [f"ends_{mix}", f"chance_{mix}"]
    return keys


def course_rows(
    asked: WallAsked, found: Measured, nominal_m: float | None
) -> tuple[CourseRow, ...]:
    """Give where 1 to 12 courses end, against as many nominal heights."""
    if found.heights is None or nominal_m is None:
        return ()
    tolerance = TOLERANCE_M if asked.tolerance_m is None else asked.tolerance_m
    seats = (asked.seat_m or 0.0, asked.seat_spread_m or 0.0)
    mixes = MIXES[:1] if found.of_one_lot else MIXES
    rows = []
    for number in range(1, MOST_COURSES + 1):
        aim = number * nominal_m
        ends = (
            (mix, stack_up(found.heights, Courses(aim, tolerance, _parts(mix, number), *seats)))
            for mix in mixes
        )
        rows.append(CourseRow(number, aim, tuple(ends)))
    return tuple(rows)


def _asked(sheet: Working, asked: WallAsked, nominal_m: float | None, product: Product) -> None:
    own = f"set-up of {product.name}"
    sheet.given("nominal", ("Height of a block, as drawn", "length"), nominal_m, ("set", own))
    height = STOREY_M if asked.storey_m is None else asked.storey_m
    if asked.storey_m is None and asked.courses is not None and nominal_m is not None:
        height = asked.courses * nominal_m
    tolerance = TOLERANCE_M if asked.tolerance_m is None else asked.tolerance_m
    said = ("set", "asked"), ("memory", _TAKEN)
    number = asked.courses
    if number is None and nominal_m is not None:
        number = max(1, round(height / nominal_m))
    for key, title, value, stated in (
        ("storey", "Storey", height, asked.storey_m is not None),
        ("tolerance", "Tolerance, either way", tolerance, asked.tolerance_m is not None),
        ("seat", "What a joint adds", asked.seat_m or 0.0, asked.seat_m is not None),
        ("seat_spread", "Spread of joints", asked.seat_spread_m or 0.0,
         asked.seat_spread_m is not None),
    ):  # fmt: skip
        sheet.given(key, (title, "length"), value, said[0] if stated else said[1])  # type: ignore[arg-type]
    count = None if number is None else float(number)
    how = ("set", "asked" if asked.courses else "nearest to the storey")
    sheet.given("courses", ("Courses", "pieces"), count, how)  # type: ignore[arg-type]


def _blocks(found: Measured) -> int:
    return sum(one.count for one in found.lots)


def _parts(mix: str, number: int) -> list[int]:
    return [number] if mix == "one" else [1] * number


@stands(Trust.ESTIMATE, formula="mean - drawn, two uncertainties either way", source="arithmetic",
        **_LEARNT)  # fmt: skip
def _mean_off(mean: float, u_mean: float, nominal: float) -> Banded:
    off = mean - nominal
    return Banded.of(off, off - 2 * u_mean, off + 2 * u_mean)


def _functions(
    mix: str, dof: tuple[float, float]
) -> tuple[Callable[..., Banded], Callable[..., float]]:
    def ending(of: dict[str, float]) -> Ending:
        blocks = BlockHeights(of["mean"], of["u_mean"], of["within"], of["between"], *dof)
        parts = _parts(mix, round(of["courses"]))
        seats = (of["seat_m"], of["seat_spread_m"])
        return stack_up(blocks, Courses(of["storey_m"], of["tolerance_m"], parts, *seats))

    one = standing_of(stack_up)
    learnt = stands(Trust.ESTIMATE, formula=one.formula, source=one.source, **_LEARNT)

    @learnt
    def ends(**of: float) -> Banded:
        end = ending(of)
        return Banded.of(end.deviation_m, end.deviation_m - 2 * end.u_m,
                         end.deviation_m + 2 * end.u_m)  # fmt: skip

    @learnt
    def chance(**of: float) -> float:
        return ending(of).chance

    return ends, chance
