"""Defects in words, and as a program reads them.

Read :func:`told` and :func:`defects_json`.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict
from typing import Any, NamedTuple

from beadwright.plant.defects.answer import Apart, Defects, Source
from beadwright.plant.defects.cavities import mould_of
from beadwright.plant.defects.explaining import called
from beadwright.plant.opening import Plant
from beadwright.plant.words import number
from beadwright.statistics.proportions import Proportion, proportion

__all__ = [
    "DEFECTS_SAY",
    "GroupCount",
    "defects_json",
    "group_counts",
    "left_told",
    "none_told",
    "told",
]

DEFECTS_SAY = (
    "What stands out asks for a cause to be looked for, and is not yet the cause. A lot made of"
    " several is counted under the one that gave most of it. By chance once in 851 means: of 851"
    " such searches of everything here, with nothing wrong, one finds as much. Where no days are"
    " asked, they are the last 28 (of costs 7)."
)


def told(one: Apart, by: str) -> str:
    """Say of a group what it has more of, how sure that is, and what goes with it."""
    its = one.standing
    rest = "the other cavities of its mould" if by == "cavity" else "the others"
    times = f"where {rest} have none" if its.others == 0 else f"{its.ratio:.1f} times {rest}"
    sure = f"by chance {_chance(its.holm)}" if its.stands_out else "worth a look, and not sure"
    said = (
        f"{one.kind}, {called(by, its.name)}: {its.bad} of {number(its.of, 'piece')},"
        f" {100 * its.share:.1f} % ({100 * its.lower:.1f} to {100 * its.upper:.1f} %),"
        f" {times}; {sure}."
    )
    if one.goes_with:
        said += f" It cannot be told from {', '.join(one.goes_with)}."
    if one.explained:
        said += f" {_explains(one)}"
    if len(one.lots) == 1:
        said += f" All are of {one.lots[0]}: blocks of one run share more than their {by}."
    return said


def _explains(one: Apart) -> str:
    """Say what else explains the excess as well, and which of it is to be looked at first."""
    of = one.standing.bad
    some = [
        f"{called(each.by, each.name)} ({each.bad} of the {of}; without it {each.left.bad} of"
        f" {number(each.left.of, 'piece')}, by chance {_chance(each.left.probability)})"
        for each in one.explained
    ]
    said = f"Explained as well by {', '.join(some)}."
    first, *more = [called(each.by, each.name) for each in one.explained if each.first] or [""]
    if not first:
        return said
    so = f", and so {'do' if more[1:] else 'does'} {', '.join(more)}" if more else ""
    return f"{said} Look at {first} first: it stands out more{so}."


def none_told(one: Source, by: str) -> str:
    """Say that no group stands out, or that there was nothing to set it against."""
    moulds = Counter(mould_of(name) for name, _ in one.groups)
    if by == "cavity" and max(moulds.values(), default=0) == 1:
        return (
            "No mould here has several cavities with pieces, and a cavity is set against the others"
            " of its mould: there is nothing to compare."
        )
    return f"No {by} has more than chance gives."


_UNSAID_WHY = {
    "tie lot": ", as packaging has no ties",
    "shift": "; [shift.NAME] from says it, or shift of mould_runs",
    "cavity": ", and their mould has several, or it is not set up how many",
}


def left_told(one: Source, by: str) -> str:
    """Say what is in no group; empty where everything is in one."""
    lots, pieces, bad = one.left
    if not lots:
        return ""
    why = _UNSAID_WHY.get(by, "")
    fair = ""
    if by == "cavity":
        fair = (
            " Lots without any scrap are counted: so compare cavities of one mould, and no share"
            " with that of a product."
        )
    return (
        f"{number(pieces, 'piece')} of {number(lots, 'lot')}, {bad} of them with a defect, are not"
        f" counted here: no {by} is said of them{why}.{fair}"
    )


class GroupCount(NamedTuple):
    """Defects of one group, and the share of its pieces that they stand for."""

    name: str
    bad: int
    pieces: int
    share: Proportion | None
    """None where a piece has two, so that they are no share of the pieces."""

    @property
    def said(self) -> tuple[str, str, str, str]:
        """Name, defects, pieces, and the share with its interval."""
        one = self.share
        told = "" if one is None else (
            f"{100 * one.share:.2g} % ({100 * one.lower:.2g} to {100 * one.upper:.2g} %)"
        )  # fmt: skip
        return self.name, str(self.bad), str(self.pieces), told


def group_counts(one: Source) -> tuple[GroupCount, ...]:
    """Count the defects of each group, the greatest share first."""
    counts = (
        GroupCount(name, bad, of, proportion(bad, of) if bad <= of else None)
        for name, of in one.groups
        for bad in [one.found.get(name, 0)]
    )
    return tuple(sorted(counts, key=lambda each: (-each.bad / each.pieces, each.name)))


def _chance(holm: float) -> str:
    if holm < 1e-4:  # noqa: PLR2004
        return "less than once in 10,000"
    return f"once in {1 / holm:,.0f}" if holm < 0.4 else f"{100 * holm:.0f} times in 100"  # noqa: PLR2004


def defects_json(plant: Plant, found: Defects) -> dict[str, Any]:
    """Give defects as a map that JSON can hold."""
    return {
        **plant.about,
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "says": DEFECTS_SAY,
        "sources": [_source(one, found.by) for one in found.sources],
    }


def _source(one: Source, by: str) -> dict[str, Any]:
    kinds = one.pareto.causes if one.pareto is not None else ()
    return {
        "name": one.name,
        "pieces": one.pieces,
        "bad": one.bad,
        "kinds": [
            {"name": cause.name, "count": cause.count, "share": cause.share,
             "lower": cause.lower, "upper": cause.upper}
            for cause in kinds
        ] or [{"name": name, "count": count} for name, count in one.kinds],
        "words": [] if one.pareto is None else list(one.pareto.words),
        "left_out": {"lots": one.left[0], "pieces": one.left[1], "bad": one.left[2]},
        "groups": [
            {"name": each.name, "pieces": each.pieces, "bad": each.bad,
             "lower": None if each.share is None else each.share.lower,
             "upper": None if each.share is None else each.share.upper}
            for each in group_counts(one)
        ],
        "stand_out": [
            {**_finite(asdict(each.standing)), "kind": each.kind, "lots": list(each.lots),
             "goes_with": list(each.goes_with),
             "explained": [{**asdict(other), "first": other.first} for other in each.explained],
             "says": told(each, by)}
            for each in one.apart
        ],
    }  # fmt: skip


def _finite(standing: dict[str, Any]) -> dict[str, Any]:
    """Write the ratio to nothing as none."""
    return {**standing, "ratio": standing["ratio"] if standing["others"] else None}
