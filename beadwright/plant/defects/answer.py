"""Which defect is most frequent, and which lots, presses or shifts have more than chance gives.

Read :func:`defects_asked`. Blocks scrapped at the press and pieces found bad when looked over are
two counts of two sources, and stand apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from beadwright.errors import Misuse
from beadwright.plant.defects.cavities import mould_of
from beadwright.plant.defects.counted import UNSAID, Counted, counted, with_beads
from beadwright.plant.defects.explaining import Explained, Pieces, among, explained, goes_with
from beadwright.plant.opening import Plant
from beadwright.plant.spans import span_asked
from beadwright.statistics.defects import Pareto, Standing, pareto, standing_out

__all__ = ["BY", "Apart", "Defects", "Source", "defects_asked"]

BY = ("product", "press", "cavity", "shift", "tie lot", "silo", "bead bag")
"""What defects can be told apart by."""

_OF_BEADS = frozenset({"silo", "bead bag"})
"""What is known only by a lot's trace."""

_DAYS = 28
_CONFIDENCE = 0.975
"""Of each of two tables: together one search in twenty names anything by mistake (Bonferroni)."""

_SOURCES: Mapping[str, tuple[Callable[[Counted], Mapping[str, int]], Callable[[Counted], int]]] = {
    "scrapped at the press": (lambda one: one.scrap, lambda one: one.moulded),
    "found bad when looked over": (lambda one: one.bad, lambda one: one.checked),
}


@dataclass(frozen=True, slots=True)
class Apart:
    """A kind of defect that one group has more of."""

    kind: str
    standing: Standing
    lots: tuple[str, ...]
    """Lots of the group that have the defect, oldest first."""
    goes_with: tuple[str, ...]
    """What cannot be told from it: all of its pieces share it, and not all of the others."""
    explained: tuple[Explained, ...] = ()
    """What explains it as well: compared with pieces that share it, the group has no more."""


@dataclass(frozen=True, slots=True)
class Source:
    """One count of defects."""

    name: str
    pieces: int
    bad: int
    pareto: Pareto | None
    """None where fewer than two kinds were found."""
    kinds: tuple[tuple[str, int], ...]
    """Each kind and its pieces, the most frequent first."""
    groups: tuple[tuple[str, int], ...]
    """Each group and its pieces."""
    found: Mapping[str, int]
    """By group, the defects of its pieces; a piece may have two."""
    left: tuple[int, int, int]
    """What is in no group, because nothing of it is said: lots, pieces, and those with a defect."""
    apart: tuple[Apart, ...]


@dataclass(frozen=True, slots=True)
class Defects:
    """Defects of a span of days."""

    since: date
    until: date
    by: str
    sources: tuple[Source, ...]


def defects_asked(plant: Plant, since: str = "", until: str = "", by: str = "tie lot") -> Defects:
    """Read what was asked, and answer it; without a span, the last four weeks.

    Raises
    ------
    Misuse
        If a day is none, the span is turned round or longer than 400 days, or there is no such
        way to tell defects apart.
    """
    if by not in BY:
        message = f"defects are not told apart by {by!r}; by {', '.join(BY)}"
        raise Misuse(message)
    span = span_asked(plant, since, until, days=_DAYS)
    every = counted(plant, span)
    if by in _OF_BEADS:
        every = with_beads(plant, every)
    sources = tuple(_source(name, every, by) for name in _SOURCES)
    if any(one.apart for one in sources):
        every = with_beads(plant, every)
        sources = tuple(_explained(one, every, by) for one in sources)
    return Defects(span.since, span.until, by, sources)


def _explained(source: Source, every: Sequence[Counted], by: str) -> Source:
    """Say of each group that stands out what explains it as well."""
    bad_of, pieces_of = _SOURCES[source.name]
    here = [one for one in every if pieces_of(one) and one.origin[by] != UNSAID]
    pieces = [Pieces(one.origin, pieces_of(one), bad_of(one), one.may_have) for one in here]
    ways = [one for one in BY if one != by]
    apart = tuple(
        replace(
            one,
            goes_with=goes_with(some, (by, one.standing.name)),
            explained=explained(some, one.kind, (by, one.standing.name), ways),
        )
        for one in source.apart
        for able in [[some for some in pieces if some.may_have(one.kind)]]
        for some in [among(able, by, one.standing.name)]
    )
    return replace(source, apart=apart)


def _source(name: str, every: Sequence[Counted], by: str) -> Source:
    bad_of, pieces_of = _SOURCES[name]
    some = [one for one in every if pieces_of(one)]
    here = [one for one in some if one.origin[by] != UNSAID]
    out = [one for one in some if one.origin[by] == UNSAID]
    kinds: Counter[str] = Counter()
    of: Counter[str] = Counter()
    table: dict[str, Counter[str]] = {}
    for one in here:
        group = one.origin[by]
        of[group] += pieces_of(one)
        for kind, count in bad_of(one).items():
            kinds[kind] += count
            table.setdefault(kind, Counter())[group] += count
    found = {kind: count for kind, count in kinds.items() if count}
    apart: tuple[Apart, ...] = ()
    if len(of) > 1 and found:
        cells = {kind: table[kind] for kind in found}
        able = {kind: _able(kind, here, by, pieces_of) for kind in found}
        # Moulds differ by what they make: a cavity is set against the others of its own.
        moulds = {name: mould_of(name) for name in of} if by == "cavity" else None
        apart = tuple(
            _apart(kind, one, here, (by, bad_of))
            for kind, one in standing_out(
                cells, of, among=moulds, able=able, confidence=_CONFIDENCE
            )
        )
    return Source(
        name, sum(of.values()), sum(found.values()),
        pareto(found) if len(found) > 1 else None,
        tuple(sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))),
        tuple(sorted(of.items())), _sum(found.keys(), table),
        _left(out, pieces_of, bad_of), apart,
    )  # fmt: skip


def _able(
    kind: str, here: Iterable[Counted], by: str, pieces_of: Callable[[Counted], int]
) -> Counter[str]:
    """Count the pieces of each group that can have a kind of defect."""
    of: Counter[str] = Counter()
    for one in here:
        if one.may_have(kind):
            of[one.origin[by]] += pieces_of(one)
    return of


def _sum(kinds: Iterable[str], table: Mapping[str, Counter[str]]) -> Counter[str]:
    return sum((table[kind] for kind in kinds), Counter())


def _left(
    out: Sequence[Counted],
    pieces_of: Callable[[Counted], int],
    bad_of: Callable[[Counted], Mapping[str, int]],
) -> tuple[int, int, int]:
    """Count what is in no group: lots, pieces, and those with a defect."""
    bad = sum(sum(bad_of(one).values()) for one in out)
    return len({one.lot for one in out}), sum(map(pieces_of, out)), bad


def _apart(
    kind: str,
    one: Standing,
    here: Sequence[Counted],
    how: tuple[str, Callable[[Counted], Mapping[str, int]]],
) -> Apart:
    by, bad_of = how
    lots = (lot.lot for lot in here if lot.origin[by] == one.name and bad_of(lot).get(kind))
    return Apart(kind, one, tuple(dict.fromkeys(lots)), ())
