"""Stocktaking: what the record says is there, and how far what was found differs from it.

Read :func:`groups`, :func:`sheet` and :func:`compare`. Nothing here writes: what was found comes
to the record as the form ``stocktakes``, one for each lot.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

from beadwright.ledger import holds, settings, stock
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.present import Present, Sort, booked, last_said, present, sorts
from beadwright.plant.judge import count_tolerated_mg

__all__ = [
    "AT",
    "PAGE",
    "UNSEEN_MG",
    "Compared",
    "Found",
    "Group",
    "Listed",
    "Sheet",
    "compare",
    "groups",
    "look_up",
    "sheet",
]

PAGE = 40
"""Lots that stand on one sheet: as many as one person walks to before they send it."""

UNSEEN_MG = 22_680
"""Half of the last digit of a mass as it is shown, a tenth of a pound: nobody sees less."""

AT = "at:"
"""Begins the name of the group of all that stands at a place."""

_GROUPS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "bags": ("Bags of beads", ("bead",)),
    "silos": ("Silos and other places that hold beads", ("prefoam",)),
    "cartons": ("Tie cartons", ("tie",)),
    "blocks": ("Block lots", MOULDED),
    "bundles": ("Bundles", MOULDED),
    "scrap": ("Scrap bins", ("scrap",)),
    "reclaim": ("Regrind and densified foam", ("regrind", "densified")),
}
_BUNDLE, _IN_PROCESS = "bundle", "work in process"

_Side = Literal["as_booked", "less", "more"]


class Found(NamedTuple):
    """What was found of a lot: its mass, or of what is kept in pieces how many."""

    mg: int = 0
    pieces: int = 0


@dataclass(frozen=True, slots=True)
class Group:
    """What is counted together: a kind of lots, or all that stands at a place."""

    name: str
    title: str
    lots: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A lot or place as the books have it, to be compared with what is there."""

    lot: str
    kind: str
    what: str
    named: str
    """Its product, or its grade."""
    place: str
    mg: int
    pieces: int
    unit_mg: int
    """Mass of one piece; 0 where it is kept by mass."""
    in_mg: int
    rest: bool
    """Used up, but for what the books have left in it."""
    held: tuple[str, ...]
    """Causes that hold it now."""
    said_ms: int | None
    """When somebody last weighed or counted it."""

    @property
    def counted(self) -> bool:
        """Whether it is kept in pieces."""
        return bool(self.unit_mg)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of the lots of one group."""

    group: Group
    lots: tuple[Listed, ...]
    before: int
    """Lots on the pages before this one."""

    @property
    def after(self) -> int:
        """Lots on the pages behind this one."""
        return max(0, self.group.lots - self.before - len(self.lots))


@dataclass(frozen=True, slots=True)
class Compared:
    """What was found of a lot against the books, as they stand now."""

    listed: Listed
    found: Found
    differ_mg: int
    """Found less booked: below zero where some is missing."""
    differ_pieces: int
    tolerated_mg: int
    """By how much a count may differ before it is a nonconformity."""

    @property
    def side(self) -> _Side:
        """Whether more or less was found than the books say."""
        off = self.differ_pieces if self.listed.counted else self.differ_mg
        if not off or (not self.listed.counted and abs(off) < UNSEEN_MG):
            return "as_booked"
        return "less" if off < 0 else "more"

    @property
    def share(self) -> float | None:
        """Difference as a share of the books; None where they have nothing."""
        books = self.listed.pieces if self.listed.counted else self.listed.mg
        off = self.differ_pieces if self.listed.counted else self.differ_mg
        return off / books if books else None

    @property
    def large(self) -> bool:
        """Whether recording it raises a nonconformity: it is asked about once before."""
        return abs(self.differ_mg) > self.tolerated_mg


def groups(plant_no: int) -> tuple[Group, ...]:
    """Give what can be counted together: each kind of lots, then each place that holds some."""
    return _groups(_there(plant_no, stock.head(plant_no)))


@lru_cache(maxsize=4)
def _there(plant_no: int, head: str) -> tuple[Sort, ...]:
    """Read what there is to count, once for each head of the record."""
    del head  # stands for all that is read
    return tuple(sorts(plant_no))


def _groups(there: Sequence[Sort]) -> tuple[Group, ...]:
    kinds = [
        Group(name, title, sum(one.lots for one in there if _group_of(one) == name))
        for name, (title, _) in _GROUPS.items()
    ]
    places: dict[str, int] = {}
    for one in there:
        if one.place and one.what != "content":
            places[one.place] = places.get(one.place, 0) + one.lots
    stand = [Group(f"{AT}{place}", f"All at {place}", places[place]) for place in sorted(places)]
    return tuple(one for one in (*kinds, *stand) if one.lots)


def sheet(plant_no: int, name: str, before: int = 0) -> Sheet | None:
    """Give a page of a group, newest lots first, used-up ones among them; None where it has none.

    ``before`` lots are passed over.
    """
    there = _there(plant_no, stock.head(plant_no))
    group = next((one for one in _groups(there) if one.name == name), None)
    if group is None:
        return None
    page = (PAGE, before)
    if name.startswith(AT):
        some = present(plant_no, place=name.removeprefix(AT), page=page)
    else:
        whats = [one.what for one in there if _group_of(one) == name]
        some = present(plant_no, _GROUPS[name][1], whats, page=page)
    return Sheet(group, _listed(plant_no, some), before)


def compare(
    plant_no: int, found: Mapping[str, Found], at_ms: int
) -> tuple[Mapping[str, Compared], Mapping[str, str]]:
    """Hold what was found against the books as they stand: by lot, and why a code is none of them.

    A code may be none that the record knows, or of something that has left the plant.
    """
    known, strange = look_up(plant_no, found)
    tolerance = settings.load(plant_no).at("tolerance", "stocktake", at_ms) or {}
    return {one.lot: _compared(one, found[one.lot], tolerance) for one in known}, strange


def look_up(plant_no: int, codes: Iterable[str]) -> tuple[tuple[Listed, ...], Mapping[str, str]]:
    """Give lots by their codes, on whatever sheet they stand; and why a code is none of them."""
    asked = list(dict.fromkeys(codes))
    books = booked(plant_no, asked)
    strange = {code: why for code in asked if (why := _strange(code, books.get(code)))}
    known = [books[code] for code in asked if code not in strange]
    return _listed(plant_no, known), strange


def _strange(code: str, one: Present | None) -> str:
    if one is None:
        return f"the record knows no lot {code}: receive it, or look for its label in the search"
    if one.place.startswith(OUTSIDE):
        return f"{code} has left for {one.place.removeprefix(OUTSIDE)}: bring it back as a return"
    return ""


def _listed(plant_no: int, some: Sequence[Present]) -> tuple[Listed, ...]:
    closed = holds.closed_causes(plant_no, {cause for one in some for cause in one.causes})
    said = last_said(plant_no, [one.code for one in some])
    return tuple(
        Listed(
            one.code,
            one.kind,
            one.what,
            one.product or " + ".join(one.grades),
            one.place,
            one.mg,
            one.pieces,
            one.unit_mg,
            one.in_mg,
            one.rest,
            tuple(cause for cause in one.causes if cause not in closed),
            said.get(one.code),
        )
        for one in some
    )


def _compared(one: Listed, found: Found, tolerance: Mapping[str, object]) -> Compared:
    mg = found.pieces * one.unit_mg if one.counted else found.mg
    differ_pieces = found.pieces - one.pieces if one.counted else 0
    # As many pieces as booked are no difference, though what one weighs was stated anew.
    differ_mg = 0 if one.counted and not differ_pieces else mg - one.mg
    tolerated = int(count_tolerated_mg(tolerance, one.in_mg, one.mg))
    return Compared(one, found, differ_mg, differ_pieces, tolerated)


def _group_of(one: Sort) -> str:
    if one.kind in MOULDED:
        return "bundles" if one.what == _BUNDLE else "blocks"
    if one.what == _IN_PROCESS:
        return ""  # what is in a machine is weighed when it comes out
    return next((name for name, (_, kinds) in _GROUPS.items() if one.kind in kinds), "")
