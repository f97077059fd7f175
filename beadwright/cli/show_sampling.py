"""What `inspection-plan` asks and says: the plan, what it protects against, which pieces.

Read :class:`Planned`, then :func:`show`.
"""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from beadwright.charts import curves
from beadwright.charts.oc_curve import OcCurve, Promise, picture
from beadwright.cli import drawing
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse, OutOfRange
from beadwright.statistics.sampling import (
    DoublePlan,
    Level,
    Model,
    PublishedPlan,
    Selection,
    Severity,
    SinglePlan,
    TwoPoints,
    acceptance,
    design_double,
    design_single,
    outgoing_limit,
    plan_words,
    published_plan,
    select,
)

__all__ = ["CAUTION", "Planned", "draw", "drawn", "planned", "show"]

CAUTION = (
    "Where one bad piece can hurt someone, inspect every piece. A lot of the wrong bead grade is "
    "held, not sampled. Local code and licensed practice govern."
)
_SHARE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*%\s*")
_RANGE = re.compile(r"\s*(\d+)\s*\.\.\s*(\d+)\s*")
_MOST_PER_PIECE = 10.0
_SHOWN = (0.95, 0.5, 0.1)


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan for a lot, and how it was found."""

    lot: int
    plan: SinglePlan | DoublePlan
    published: PublishedPlan | None
    points: TwoPoints | None

    @property
    def short(self) -> str:
        """Give the plan in a few words."""
        if isinstance(self.plan, SinglePlan):
            return f"{self.plan.size} of {self.lot} pieces, at most {self.plan.accept} bad"
        return f"{self.plan.first} and {self.plan.second} of {self.lot} pieces"

    def chance(self, bad: int) -> float:
        """Give how likely the lot is accepted with so many bad pieces."""
        return float(acceptance(self.plan, bad / self.lot, Model.LOT, self.lot))


def planned(
    lot: int, table: tuple[str, str, str], shares: tuple[str, str], *, double: bool
) -> Planned:
    """Find the plan that was asked for: published, or by two points."""
    aql, level, severity = table
    if bool(aql) == any(shares) or (any(shares) and not all(shares)):
        message = "say --aql for a published plan, or --good and --bad; one of the two"
        raise Misuse(message)
    if aql and double:
        message = "--double goes with --good and --bad: the published double plans are not in here"
        raise Misuse(message)
    try:
        if aql:
            return _published(lot, aql, level, severity)
        good, bad = (_share(one) for one in shares)
        points = TwoPoints(good, bad)
        design = design_double if double else design_single
        return Planned(lot, design(points, Model.LOT, lot), None, points)
    except OutOfRange as fault:
        raise Misuse(str(fault)) from None


def drawn(planned: Planned, pieces: str, seed: str) -> Selection | None:
    """Draw the pieces, None where that was not asked."""
    if not pieces and not seed:
        return None
    if not (pieces and seed):
        message = "--pieces and --seed go together: --pieces 1..270 --seed L1-001"
        raise Misuse(message)
    found = _RANGE.fullmatch(pieces)
    if found is None:
        message = f"no range of numbers: {pieces!r}; write it as 1..270"
        raise Misuse(message)
    numbers = range(int(found[1]), int(found[2]) + 1)
    if len(numbers) != planned.lot:
        message = f"{pieces} are {len(numbers)} pieces, and the lot has {planned.lot}"
        raise Misuse(message)
    later = planned.plan.second if isinstance(planned.plan, DoublePlan) else 0
    return select(numbers, planned.plan.sizes[0], seed, later)


def draw(planned: Planned, to: Path) -> None:
    """Write the curve of a plan."""
    promises = []
    if planned.points is not None:
        for share, words in ((planned.points.good, "good"), (planned.points.bad, "bad")):
            bad = round(share * planned.lot)
            chance = planned.chance(bad)
            said = f"{words}: passes {100 * chance:.0f} in 100"
            promises.append(Promise(bad / planned.lot, chance, said))
    spec = picture(OcCurve(planned.plan, planned.short, planned.lot, tuple(promises)))
    drawing.draw(curves.draw(spec), to)


def show(planned: Planned, drawn: Selection | None, *, json: bool) -> None:
    """Print the plan."""
    if json:
        write_json(_json(planned, drawn))
        return
    page = Page()
    page.line(f"Inspection plan for a lot of {planned.lot} pieces")
    page.line(f"Caution. {CAUTION}")
    page.line()
    for words in plan_words(planned.plan, planned.lot):
        page.item(words)
    for words in _found_by(planned):
        page.item(words)
    page.heading("How likely the lot is accepted")
    page.table(("bad pieces>", "share>", "accepted, of 100>"), _rows(planned))
    if drawn is not None:
        page.heading(f"Which pieces, drawn from {drawn.seed!r}")
        page.line(", ".join(drawn.pieces), 2)
        if drawn.later:
            page.line("If a second sample is needed:")
            page.line(", ".join(drawn.later), 2)


def _published(lot: int, aql: str, level: str, severity: str) -> Planned:
    try:
        percent = float(aql)
    except ValueError:
        message = f"no AQL: {aql!r}; write a number of per cent, such as 1.0"
        raise Misuse(message) from None
    if percent > _MOST_PER_PIECE:
        message = f"an AQL above {_MOST_PER_PIECE:g} counts defects per 100 pieces, not pieces"
        raise Misuse(message)
    levels, severities = list(Level), [one for one in Severity if one is not Severity.DISCONTINUED]
    if level.upper() not in [one.value for one in levels]:
        message = f"no inspection level: {level!r}; there are {', '.join(levels)}"
        raise Misuse(message)
    if severity not in [one.value for one in severities]:
        message = f"no severity: {severity!r}; there are {', '.join(severities)}"
        raise Misuse(message)
    found = published_plan(lot, percent, Level(level.upper()), Severity(severity))
    return Planned(lot, found.plan, found, None)


def _share(text: str) -> float:
    found = _SHARE.fullmatch(text)
    if found is None:
        message = f"no share: {text!r}; write it in per cent, such as '1 %'"
        raise Misuse(message)
    return float(found[1]) / 100


def _found_by(planned: Planned) -> tuple[str, ...]:
    if planned.points is not None:
        points = planned.points
        return (
            (
                f"The smallest such plan that turns away at most {100 * points.producer_risk:.0f} "
                f"of 100 lots with {100 * points.good:g} % bad pieces and passes at most "
                f"{100 * points.consumer_risk:.0f} of 100 with {100 * points.bad:g} %."
            ),
        )
    found = planned.published
    assert found is not None  # noqa: S101 - for the type checker
    arrow = "" if found.used == found.letter else f", whose arrow leads to {found.used}"
    return (
        (
            f"{found.scheme.value}, {found.severity.value} inspection, level {found.level.value}, "
            f"AQL {found.aql:g} %: letter {found.letter}{arrow}. Table: {found.read}."
        ),
        (
            "A published plan protects only together with its rules for changing over: 2 of 5 lots "
            "not accepted, and inspection is tightened."
        ),
    )


def _bads(planned: Planned) -> list[int]:
    """Numbers of bad pieces worth showing: where the chance passes what matters, and between."""
    shares = np.arange(planned.lot + 1) / planned.lot
    chances = acceptance(planned.plan, shares, Model.LOT, planned.lot)
    marks = {0, 1}
    for chance in _SHOWN:
        last = int(np.flatnonzero(chances >= chance)[-1])
        marks |= {last, min(last + 1, planned.lot)}
    return sorted(marks)


def _rows(planned: Planned) -> list[tuple[str, str, str]]:
    return [
        (str(bad), f"{100 * bad / planned.lot:.1f} %", f"{100 * planned.chance(bad):.1f}")
        for bad in _bads(planned)
    ]


def _json(planned: Planned, drawn: Selection | None) -> dict[str, Any]:
    """Give the answer as the manual's page on JSON lists it."""
    plan, points = planned.plan, planned.points
    limit, at = outgoing_limit(plan, planned.lot)
    return {
        "lot": planned.lot,
        "caution": CAUTION,
        "plan": _plan_json(plan),
        "points": None if points is None else asdict(points),
        "published": _published_json(planned.published),
        "words": list(plan_words(plan, planned.lot)),
        "curve": [
            {"bad": bad, "share": bad / planned.lot, "accepted": planned.chance(bad)}
            for bad in _bads(planned)
        ],
        "outgoing": {"most": limit, "at": at},
        "pieces": (
            None
            if drawn is None
            else {"seed": drawn.seed, "first": list(drawn.pieces), "later": list(drawn.later)}
        ),
    }


def _plan_json(plan: SinglePlan | DoublePlan) -> dict[str, Any]:
    if isinstance(plan, SinglePlan):
        kind, second, ends = "single", None, (plan.accept, plan.refused_from)
    else:
        kind, second, ends = "double", plan.second, (plan.first_accept, plan.first_reject)
    return {
        "kind": kind,
        "first": plan.sizes[0],
        "second": second,
        "first_accept": ends[0],
        "first_reject": ends[1],
        "accept": plan.accept,
    }


def _published_json(found: PublishedPlan | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "scheme": found.scheme.value,
        "level": found.level.value,
        "severity": found.severity.value,
        "aql_percent": found.aql,
        "letter": found.letter,
        "used": found.used,
        "every_piece": found.every_piece,
        "read": found.read,
    }
