"""What else explains that a group has more of a defect: a bag that ran with one carton of ties.

Read :func:`explained`. Two questions are asked of each other thing: is anything left of the excess
without the one of them that most of its bad pieces are of, and among pieces that share the other
thing? Which of the two stands out the more is looked at first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.plant.defects.cavities import UNSAID, mould_of
from beadwright.statistics.defects import Stratum, within

__all__ = ["Explained", "Left", "Pieces", "among", "called", "explained", "goes_with"]

_CHANCE = 0.05
"""From here on nothing is left of an excess. Common practice."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one lot: what they are told apart by, how many, and those bad by kind."""

    origin: Mapping[str, str]
    of: int
    bad: Mapping[str, int]
    may_have: Callable[[str], bool] = lambda _kind: True
    """Whether they can have a kind of defect at all."""


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a group without something else."""

    bad: int
    of: int
    probability: float
    """How often chance alone gives it at least as many, against the others without it too."""


@dataclass(frozen=True, slots=True)
class Explained:
    """Another thing that explains an excess as well."""

    by: str
    """Such as ``tie lot``."""
    name: str
    """The one of them that most of the group's bad pieces are of."""
    bad: int
    """So many of the group's bad pieces are of it."""
    left: Left
    alone: float
    """How often chance gives it all of its own bad pieces, with no regard to the group."""
    within: float | None
    """How often chance gives the group its excess among pieces that share the other thing; None
    where none of them do."""
    first: bool
    """Whether it stands out more than the group: then it is looked at first."""


def called(by: str, name: str) -> str:
    """Give a group in words: ``tie lot T-02``; a cavity's name says what it is."""
    return name if by == "cavity" else f"{by} {name}"


def goes_with(pieces: Sequence[Pieces], group: tuple[str, str]) -> tuple[str, ...]:
    """Give what a group cannot be told from: all of it shares that, and not all of the others.

    A cavity that is the only one of its product says no more than the product does.
    """
    by, name = group
    mine = [one.origin for one in pieces if one.origin[by] == name]
    rest = [one.origin for one in pieces if one.origin[by] != name]
    found = []
    for way in mine[0]:
        its, others = {one[way] for one in mine}, {one[way] for one in rest}
        if way == by or len(its) > 1 or its in ({UNSAID}, others):
            continue
        (shared,) = its
        if way == "cavity" and _same(pieces, (way, shared), ("product", mine[0]["product"])):
            continue
        found.append(called(way, shared))
    return tuple(found)


def among(pieces: Sequence[Pieces], by: str, name: str) -> Sequence[Pieces]:
    """Give the pieces that a group is set against, and its own: of a cavity, those of its mould."""
    if by != "cavity":
        return pieces
    return [one for one in pieces if mould_of(one.origin[by]) == mould_of(name)]


def _same(pieces: Iterable[Pieces], one: tuple[str, str], other: tuple[str, str]) -> bool:
    """Whether two groups are of the same pieces."""
    (by, name), (way, shared) = one, other
    return all((each.origin[by] == name) == (each.origin[way] == shared) for each in pieces)


def explained(
    pieces: Sequence[Pieces], kind: str, group: tuple[str, str], ways: Iterable[str]
) -> tuple[Explained, ...]:
    """Say what explains a group's excess as well, that which stands out most in front.

    ``group`` is by what and which; ``ways`` are the other things. What all of the group is of
    explains nothing here: it cannot be told from it at all.
    """
    by, name = group
    count = _Counting(pieces, kind)
    own = count.chance(by, name)
    found = []
    for way in ways:
        of: Counter[str] = Counter()
        for one in pieces:
            if one.origin[by] == name:
                of[one.origin[way]] += one.bad.get(kind, 0)
        most = max(of, key=lambda each: (of[each], each))
        alone, left = count.chance(way, most), count.left(group, (way, most))
        if most == UNSAID or left is None or alone is None or own is None or alone > _CHANCE:
            continue
        if left.probability > _CHANCE:
            shared = count.within(group, way)
            found.append(Explained(way, most, of[most], left, alone, shared, alone < own))
    return tuple(sorted(found, key=lambda one: (one.alone, one.by)))


class _Counting:
    """Bad pieces of one kind, counted as is asked."""

    def __init__(self, pieces: Sequence[Pieces], kind: str) -> None:
        self._pieces, self._kind = pieces, kind

    def chance(self, by: str, name: str) -> float | None:
        """Give how often chance gives a group at least its bad pieces; of a cavity, in its mould.

        None where there is nothing to set it against.
        """
        some = among(self._pieces, by, name)
        return self._of({"": some}, lambda one: one.origin[by] == name)

    def left(self, group: tuple[str, str], other: tuple[str, str]) -> Left | None:
        """Give what is left of a group without another; None where that is nothing."""
        (by, name), (way, most) = group, other
        rest = [one for one in self._pieces if one.origin[way] != most]
        mine = [one for one in rest if one.origin[by] == name]
        chance = self._of({"": rest}, lambda one: one.origin[by] == name)
        if not mine:
            return None
        bad = sum(one.bad.get(self._kind, 0) for one in mine)
        return Left(bad, sum(one.of for one in mine), 1.0 if chance is None else chance)

    def within(self, group: tuple[str, str], way: str) -> float | None:
        """Give how often chance gives a group its excess among pieces that share a thing."""
        by, name = group
        strata: dict[str, list[Pieces]] = {}
        for one in self._pieces:
            strata.setdefault(one.origin[way], []).append(one)
        return self._of(strata, lambda one: one.origin[by] == name)

    def _of(
        self, strata: Mapping[str, Sequence[Pieces]], is_it: Callable[[Pieces], bool]
    ) -> float | None:
        found = within([
            Stratum(
                sum(one.bad.get(self._kind, 0) for one in some if is_it(one)),
                sum(one.of for one in some if is_it(one)),
                sum(one.bad.get(self._kind, 0) for one in some),
                sum(one.of for one in some),
            )
            for some in strata.values()
        ])  # fmt: skip
        return None if found is None else found.probability
