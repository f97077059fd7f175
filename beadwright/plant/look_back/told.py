"""A look back as a program reads it.

Read :func:`look_back_json`; :func:`taken_json` gives an instrument's readings one by one.
"""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from beadwright.plant.calibrations import Calibration
from beadwright.plant.look_back.answer import LookBack, LotBack
from beadwright.plant.look_back.taken import Taken
from beadwright.plant.look_back.words import not_looked_at
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.whereabouts import Stand
from beadwright.plant.words import iso

__all__ = ["look_back_json", "taken_json"]


def look_back_json(plant: Plant, back: LookBack) -> dict[str, Any]:
    """Give the look back as a map that JSON can hold."""
    span = back.span
    return {
        **plant.about,
        "at": iso(back.at_ms, plant.zone),
        "instrument": span.instrument,
        "found": _calibration(span.found),
        "error": None if span.error is None else span.error.text,
        "last_good": _calibration(span.last_good),
        "from": iso(span.from_ms, plant.zone) if span.from_ms else None,
        "to": iso(span.to_ms, plant.zone),
        "readings": back.readings,
        "unanswered": back.unanswered,
        "by_characteristic": [{"characteristic": name, "readings": n} for name, n in back.read],
        "elsewhere": [{"of": code, "readings": n} for code, n in back.elsewhere],
        "released": back.released,
        "to_hold": list(back.to_hold),
        "lots": [_lot(one, plant.zone) for one in back.lots],
        "not_looked_at": not_looked_at(back),
    }


def taken_json(plant: Plant, found: Taken) -> dict[str, Any]:
    """Give what an instrument read, one by one, as a map that JSON can hold."""
    named = Named.of(plant)
    return {
        **plant.about,
        "instrument": found.instrument,
        "last_right": _calibration(found.last_right),
        "since": None if found.since is None else found.since.isoformat(),
        "to": iso(found.to_ms, plant.zone),
        "readings": [
            {
                "entry": one.seq, "line": one.line, "at": iso(one.at_ms, plant.zone),
                "characteristic": one.characteristic, "value": one.value, "unit": one.unit,
                "si": one.si, "u_si": one.u_si, "lot": one.lot, "step": one.step,
                "specimen": one.specimen, "replicate": one.replicate, "method": one.method,
                "by": one.by, "name": named.name(one.by), "voided_by": one.voided_by,
            }
            for one in found.readings
        ],
    }  # fmt: skip


def _calibration(one: Calibration | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "entry": one.seq,
        "done": one.done.isoformat(),
        "passed": one.passed,
        "certificate": one.certificate,
        "as_found": one.as_found,
    }


def _lot(one: LotBack, zone: ZoneInfo) -> dict[str, Any]:
    where = one.where
    return {
        "lot": one.lot,
        "product": one.product,
        "made": iso(one.made_at_ms, zone),
        "readings": one.readings,
        "without_the_error": one.standing,
        "changes": [
            {
                "name": each.name,
                "as_read": each.as_read,
                "without_the_error": each.without,
                "worse": each.worse,
            }
            for each in one.changes
        ],
        "released_by": [{"by": each.by, "at": iso(each.at_ms, zone)} for each in one.approvals],
        "in_stock": [] if where is None else [_stand(each) for each in where.in_stock],
        "shipped": [] if where is None else [_stand(each) for each in where.shipped],
        "gone": None if where is None else where.gone,
    }


def _stand(one: Stand) -> dict[str, Any]:
    return {
        "lot": one.lot,
        "place": one.place if not one.receiver else "",
        "receiver": one.receiver,
        "at_least": one.at_least,
        "at_most": one.at_most,
    }
