"""Where a wall's courses end: from one lot, and from a lot a course.

Read :func:`picture`.
"""

from __future__ import annotations

from beadwright.charts.curves import Across, Axis, Curve, Curves, Label
from beadwright.science import wall

__all__ = ["HEIGHTS", "picture"]

HEIGHTS = wall.BlockHeights(0.4065, 0.0001, 0.0003, 0.0004, 9.0, 90.0)
"""An invented product: a mean 0.1 mm over 16 in, spread within lots 0.3 mm and between 0.4 mm."""

_COURSE_M, _TOLERANCE_M, _MOST = 0.4064, 0.00635, 8


def picture() -> Curves:
    """Give the deviation of the top against the courses, with two uncertainties either way."""
    courses = range(1, _MOST + 1)
    one, many = (
        [wall.stack_up(HEIGHTS, _wall(n, alike=alike)) for n in courses] for alike in (True, False)
    )
    middle = [1000 * end.deviation_m for end in one]
    wide, narrow = ([2000 * end.u_m for end in ends] for ends in (one, many))
    chances = [100 * ends[5].chance for ends in (one, many)]
    words = (
        f"How far the top of a wall ends from its height against the number of courses, with two "
        f"standard uncertainties either way. After six courses it is {middle[5]:.1f} mm too high "
        f"± {wide[5]:.1f} mm where all come from one lot, whose blocks are wrong together, and "
        f"± {narrow[5]:.1f} mm where each comes from another. The chance to end farther off than "
        f"{_TOLERANCE_M * 1000:.2f} mm is {chances[0]:.1f} % and {chances[1]:.1f} %."
    )
    low, high = ([m + sign * w for m, w in zip(middle, wide, strict=True)] for sign in (-1, 1))
    less, more = ([m + sign * w for m, w in zip(middle, narrow, strict=True)] for sign in (-1, 1))
    at = list(courses)
    return Curves(
        name="physics-wall",
        title="Where the courses end",
        words=words,
        x=Axis("Courses", 1, _MOST),
        y=Axis("Top above its height, mm", -10.0, 10.0),
        curves=(
            Curve.of(at, middle, tone="scrap", low=low, high=high,
                     label=Label("all of one lot", 6.2, -3.6)),
            Curve.of(at, middle, tone="block", low=less, high=more,
                     label=Label("each of another lot", 5.6, 2.0)),
        ),
        across=tuple(
            Across(1000 * sign * _TOLERANCE_M, tone="bad",
                   label=Label(f"{'+' if sign > 0 else '−'} 1/4 in", 1.05, sign * 7.2))
            for sign in (1, -1)
        ),
    )  # fmt: skip


def _wall(courses: int, *, alike: bool) -> wall.Courses:
    lots = [courses] if alike else [1] * courses
    return wall.Courses(courses * _COURSE_M, _TOLERANCE_M, lots)
