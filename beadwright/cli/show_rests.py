"""What the limits of a lot rest on: entries, times, specimens, instruments, people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.cli.printed import Page, local
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.restatements import Restatement, by_entry
from beadwright.plant.rests import rests
from beadwright.plant.words import in_runs, iso
from beadwright.quality.readings import ReadingView

__all__ = ["show", "with_rests"]

_MOST = 12
"""Entries that are named before the rest is counted."""


def show(page: Page, plant: Plant, lot: LotAssessment) -> None:
    """Print which readings each limit rests on; limits that share theirs stand together."""
    by_entries: dict[tuple[int, ...], dict[str, None]] = {}
    known = rests(plant.no, [lot])
    taken: dict[tuple[int, ...], list[ReadingView]] = {}
    for result in lot.limits:
        entries = tuple(sorted({seq for seq, _ in result.readings}))
        if entries:
            name = result.limit.characteristic.replace("_", " ")
            by_entries.setdefault(entries, {})[name] = None
            views = (known[one] for one in result.readings if one in known)
            taken.setdefault(entries, []).extend(views)
    if not by_entries:
        return
    page.heading("Readings that the limits rest on (`beadwright entry NUMBER` shows one)")
    named, into = Named.of(plant), by_entry(lot.restated)
    for entries, names in by_entries.items():
        said = _said(taken[entries], plant.zone, named)
        anew = _restated([into[one] for one in entries if one in into], named)
        page.item(f"{', '.join(names)}: {_entries(entries)}{said}{anew}")


def _entries(entries: Sequence[int]) -> str:
    word = "entry" if len(entries) == 1 else "entries"
    named = ", ".join(map(str, entries[:_MOST]))
    more = f" and {len(entries) - _MOST} more" if len(entries) > _MOST else ""
    return f"{word} {named}{more}"


def _restated(some: Sequence[Restatement], named: Named) -> str:
    """Say of entries that stand in place of others who restated them, and when."""
    told: dict[str, list[int]] = {}
    for one in some:
        said = f"restated by {named(one.who)}, entered {one.entered}"
        told.setdefault(said, []).append(one.entry or 0)
    return "".join(f"; {_entries(seqs)} {said}" for said, seqs in told.items())


def _said(taken: Sequence[ReadingView], zone: ZoneInfo, named: Named) -> str:
    if not taken:
        return ""
    times = sorted({one.at_ms for one in taken})
    when = local(times[0], zone)
    if local(times[-1], zone) != when:
        when += f" to {_short(local(times[-1], zone), when)}"
    specimens = sorted({one.specimen for one in taken if one.specimen})
    parts = [
        when,
        f"specimens {in_runs(specimens)}" if specimens else "",
        ", ".join(sorted({one.instrument for one in taken if one.instrument})),
        _by({one.by for one in taken if one.by}, named),
    ]
    return "; " + "; ".join(filter(None, parts))


def _by(people: Iterable[str], named: Named) -> str:
    told = ", ".join(named(one) for one in sorted(people))
    return f"by {told}" if told else ""


def _short(last: str, first: str) -> str:
    """Give a second time without the day, where that is the first one's."""
    day, _, hour = last.partition(" ")
    return hour if first.startswith(day) else last


def with_rests(plant: Plant, lots: Sequence[LotAssessment], told: Sequence[dict[str, Any]]) -> None:
    """Add to the JSON of lots, limit by limit, the readings that it rests on."""
    known, named = rests(plant.no, lots), Named.of(plant)
    for lot, said in zip(lots, told, strict=True):
        into = by_entry(lot.restated)
        for result, limit in zip(lot.limits, said["limits"], strict=True):
            found = (known[one] for one in result.readings if one in known)
            limit["rests_on"] = [
                _json(one, plant.zone, named) | {"replaces": _replaces(into.get(one.seq))}
                for one in found
            ]


def _replaces(one: Restatement | None) -> int | None:
    return None if one is None else one.replaces


def _json(one: ReadingView, zone: ZoneInfo, named: Named) -> dict[str, Any]:
    return {
        "entry": one.seq,
        "number": one.line,
        "at": iso(one.at_ms, zone),
        "characteristic": one.characteristic,
        "value": one.value,
        "unit": one.unit,
        "specimen": one.specimen,
        "instrument": one.instrument,
        "by": one.by,
        "name": named.name(one.by),
    }
