"""The answer sheet: faults, what may ship, and which bag of beads is in which lot.

Read :func:`truth` first, whose result is the content of ``truth.json``. No tool reads that file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from beadwright.demo.clock import END, ZONE, day_start, stamp
from beadwright.demo.description import CODE
from beadwright.demo.faults import Fault
from beadwright.demo.floor import true_contents
from beadwright.demo.replayed import replayed
from beadwright.demo.sheets import (
    BeadReceipt,
    Expansion,
    Inspection,
    Moulding,
    Reclaim,
    Row,
    SiloMove,
)
from beadwright.demo.story import Story

__all__ = ["bags_in_lots", "truth"]

_ABOUT = (
    "What was planted in this invented plant and what is true of it; nothing reads it but tests. "
    "faults: kind, what, place, sheet and row numbers in it, lots that must not ship, and how many "
    "pieces of them had been shipped before anyone found out; of missing_ties also which weighed "
    "piece lacks how many. must_not_ship: lot to kind. clean: "
    "form block lots with every weighing and no fault. not_yet: form block lots without a fault "
    "whose pieces were not weighed after a day, or whose strength is not known yet. "
    "packaging_clean, packaging_not_yet: "
    "the same of packaging lots, none of which has a fault. "
    "genealogy: bag of beads to the lots that it can be in, by the rows of these sheets, through "
    "scrap and regrind too; a silo or hopper gives on whatever it was filled with since it was "
    "last swept empty, or, under since_ran_empty, since it last ran empty or was swept. "
    "not_in_the_sheets: what the filling that nobody entered adds to it; "
    "unentered: its runs, with what they brought into the silo, and the lots and bundles that "
    "truly hold a bead of it or more. "
    "lots, bundles: by code, the true share of its mass by bag of beads or carton of ties; kg: the "
    "true mass of each. left: by place, the kilograms that by true figures were in it each time it "
    "was written down as empty, of which a little stayed until it was swept."
)


class _Event(NamedTuple):
    """Something moved, or a place became empty: when, in which order within a minute."""

    at: int
    rank: int
    sources: tuple[str, ...]
    into: tuple[str, ...]
    emptied: str = ""
    ran_empty: bool = False


def truth(story: Story) -> dict[str, object]:
    """Return the answer sheet of a story, fit for JSON."""
    rows = [row for sheet in story.sheets.values() for _, row in sheet]
    more = [*rows, *story.unentered]
    swept = bags_in_lots(rows)
    really = bags_in_lots(more)
    true = replayed(story)
    added = {bag: sorted(set(lots) - set(swept.get(bag, ()))) for bag, lots in really.items()}
    return {
        "about": _ABOUT,
        "plant": CODE,
        "seed": story.seed,
        "zone": ZONE,
        "from": stamp(day_start(0)),
        "to": stamp(END),
        "faults": [_fault(story, fault) for fault in story.faults],
        "must_not_ship": dict(story.forbidden),
        "clean": list(story.clean),
        "not_yet": list(story.waiting),
        "packaging_clean": list(story.packaging),
        "packaging_not_yet": list(story.packaging_waiting),
        "genealogy": {
            "since_swept_empty": swept,
            "since_ran_empty": bags_in_lots(rows, ran_empty_ends=True),
        },
        "not_in_the_sheets": {bag: lots for bag, lots in added.items() if lots},
        "unentered": [
            {
                "bag": run.bag,
                "silo": run.silo,
                "at": stamp(run.ended),
                "kg": round(run.mass - run.loss, 1),
                "lots": true.not_entered[run.bag],
            }
            for run in story.unentered
        ],
        **true_contents(true.came, true.bundles, true.left),
    }


def _fault(story: Story, fault: Fault) -> dict[str, object]:
    facts = {
        name: stamp(value) if name.endswith("_at") and isinstance(value, int) else value
        for name, value in fault.facts.items()
    }
    if fault.ties_missing:
        facts["ties_missing"] = fault.ties_missing
    gone = {lot: story.shipped[lot] for lot in fault.lots if lot in story.shipped}
    return {
        "kind": fault.kind,
        "what": fault.what,
        "at": stamp(fault.at),
        "place": fault.place,
        "sheet": fault.sheet,
        "rows": [story.number(fault.sheet, row) for row in fault.rows],
        "lots": list(fault.lots),
        "shipped_before_found": gone,
        **facts,
    }


def bags_in_lots(rows: Sequence[Row], *, ran_empty_ends: bool = False) -> dict[str, list[str]]:
    """Return, for every bag of beads, the lots of blocks and packaging that it can be in."""
    held: dict[str, frozenset[str]] = {}
    lots = {row.lot for row in rows if isinstance(row, Moulding)}
    for event in sorted(event for row in rows for event in _events(row)):
        if event.emptied and (ran_empty_ends or not event.ran_empty):
            held[event.emptied] = frozenset()
        bags = frozenset[str]().union(*(held.get(source, ()) for source in event.sources))
        for code in event.into:
            held[code] = held.get(code, frozenset()) | (bags or frozenset())
        if not event.sources and event.into:
            held[event.into[0]] = frozenset(event.into)
    found: dict[str, list[str]] = {}
    for lot in sorted(lots):
        for bag in held.get(lot, ()):
            found.setdefault(bag, []).append(lot)
    return dict(sorted(found.items()))


def _events(row: Row) -> Iterator[_Event]:
    """What a row moves; within a minute along the plant, from the dock to the grinder."""
    match row:
        case BeadReceipt():
            yield _Event(row.at, 1, (), (row.bag,))
        case Expansion():
            yield _Event(row.ended, 2, (row.bag,), (row.silo,))
        case SiloMove(what="transfer"):
            yield _Event(row.at, 3, (row.source,), (row.to,))
        case SiloMove():
            swept = row.what == "swept_empty"
            yield _Event(row.at, 0 if swept else 7, (), (), row.source, not swept)
        case Moulding():
            into = (row.lot, row.scrap_bin) if row.scrap_bin else (row.lot,)
            yield _Event(row.at, 4, (row.source,), into)
        case Inspection(rejected=int(rejected)) if rejected:
            yield _Event(row.at, 5, (row.lot,), (row.scrap_bin,))
        case Reclaim():
            yield _Event(row.at, 6, (row.source,), (row.to,) if row.to else ())
