"""What a lot gave of each cavity of its mould: scrap at the press, and what was looked over.

Read :func:`of_cavities`. Cavity 2 of one mould is not cavity 2 of another, so that a mould is named
with each. Of a mould that is set up with one cavity everything is of that one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.ledger.settings import Settings
from beadwright.plant.costs.moulded import Moulded
from beadwright.plant.moulds import Mould, mould_at
from beadwright.plant.pieces import counted, defects_of
from beadwright.quality.characteristics import DEFECTS
from beadwright.quality.readings import ReadingView

__all__ = ["UNSAID", "Part", "mould_of", "of_cavities"]

UNSAID = "not said"
"""Where a lot has none of what it is told apart by, as packaging has no ties."""


@dataclass(slots=True)
class Part:
    """What is of one cavity; or of none, where nobody said which."""

    moulded: int = 0
    scrap: Counter[str] = field(default_factory=Counter)
    checked: int = 0
    bad: Mapping[str, int] = field(default_factory=dict)


def of_cavities(
    some: Sequence[Moulded], looked: Iterable[ReadingView], in_force: Settings
) -> dict[str, Part]:
    """Give the parts of one lot by the name of their cavity: its counts, and its looking over."""
    moulds: dict[str, list[Moulded]] = {}
    for one in some:
        moulds.setdefault(one.mould, []).append(one)
    known = {name: mould_at(in_force, name, of[0].at_ms) for name, of in moulds.items()}
    found: dict[str, Part] = {}
    for name, of in moulds.items():
        for cavity, part in _pressed(known[name], of):
            found[cavity] = _more(found.get(cavity), part)
    only = next(iter(known.values())) if len(known) == 1 else None
    for cavity, part in _looked(only, looked):
        pressed = found.setdefault(cavity, Part())
        pressed.checked, pressed.bad = part.checked, part.bad
    return found


def _named(mould: Mould | None, said: str) -> str:
    """Name a cavity; without one said it is the only one, where the mould has but one."""
    if mould is not None and mould.is_set and mould.cavities == 1:
        said = said or "1"
    return f"mould {mould.name}, cavity {said}" if mould is not None and said else UNSAID


def mould_of(cavity: str) -> str:
    """Give the mould of a cavity by its name, as ``mould M-2`` of ``mould M-2, cavity 1``."""
    return cavity.rpartition(", cavity ")[0]


def _more(here: Part | None, more: Part) -> Part:
    if here is None:
        return more
    return Part(here.moulded + more.moulded, here.scrap + more.scrap)


def _pressed(mould: Mould, some: Sequence[Moulded]) -> Iterator[tuple[str, Part]]:
    """Give what was moulded of each cavity, as many of each: a shot fills them all.

    Scrap of which nobody said the cavity is of none; where nobody said it of any, so is the lot.
    """
    scrap: dict[str, Counter[str]] = {}
    for one in some:
        if one.scrap:
            scrap.setdefault(_named(mould, one.cavity), Counter())[one.cause] += one.scrap
    unsaid = scrap.pop(UNSAID, Counter())
    good = sum(one.good for one in some)
    if not mould.is_set or (unsaid and not scrap):
        rest = sum(each.total() for each in scrap.values())
        yield from ((name, Part(each.total(), each)) for name, each in scrap.items())
        if good or unsaid:
            yield UNSAID, Part(sum(one.good + one.scrap for one in some) - rest, unsaid)
        return
    names = [_named(mould, str(number)) for number in range(1, mould.cavities + 1)]
    names += [name for name in scrap if name not in names]
    least = [scrap.get(name, Counter()).total() for name in names]
    for name, pieces in zip(names, _evenly(least, good), strict=True):
        yield name, Part(pieces, scrap.get(name, Counter()))
    if unsaid:
        yield UNSAID, Part(unsaid.total(), unsaid)


def _evenly(least: Sequence[int], more: int) -> list[int]:
    """Give each its least and some of what is more, so that all are as even as can be.

    >>> _evenly([1, 0], 9), _evenly([4, 0], 2), _evenly([0, 0], 3)
    ([5, 5], [4, 2], [1, 2])
    """
    rest, found = sum(least) + more, list(least)
    order = sorted(range(len(least)), key=lambda at: -least[at])
    for left, at in zip(range(len(order), 0, -1), order, strict=True):
        found[at] = max(least[at], rest // left)
        rest -= found[at]
    return found


def _looked(mould: Mould | None, looked: Iterable[ReadingView]) -> Iterator[tuple[str, Part]]:
    """Give what was looked over of each cavity; of lots of several moulds nobody knows of which."""
    rows: dict[str, list[ReadingView]] = {}
    for one in looked:
        rows.setdefault(_named(mould, one.facts.get("cavity", "")), []).append(one)
    for name, some in rows.items():
        counts = counted(some)
        found = defects_of(counts)
        given = dict(found.defective)
        bad = {kind: given[kind] for kind in DEFECTS if f"defective_{kind}" in counts}
        yield name, Part(checked=found.checked, bad=bad if found.checked else {})
