"""The pentane screen as a program reads it: SI, times as ISO 8601, and its caution with it.

Read :func:`air_json`.
"""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from beadwright.plant.fans import FanSaid
from beadwright.plant.fresh_blocks import FreshBlocks
from beadwright.plant.giving_off import Giver
from beadwright.plant.opening import Plant
from beadwright.plant.pentane_screen import Figure, Hour, PentaneScreen, RoomAnswer
from beadwright.plant.words import iso
from beadwright.plant.worked_words import line_json

__all__ = ["air_json"]


def air_json(plant: Plant, screen: PentaneScreen) -> dict[str, Any]:
    """Give the screen as a map that JSON can hold."""
    zone = plant.zone
    return {
        **plant.about,
        "at": iso(screen.at_ms, zone),
        "caution": screen.caution,
        "rooms": [_room(one, zone) for one in screen.rooms],
        "in_no_room": list(screen.in_no_room),
        "fresh": _fresh(screen.fresh, zone),
    }


def _room(one: RoomAnswer, zone: ZoneInfo) -> dict[str, Any]:
    still = one.still
    return {
        "room": one.room,
        "places": list(one.places),
        "unknown": one.unknown,
        "missing": list(one.missing),
        "caution": one.caution,
        "trust": one.trust.value,
        "limit": {"share": one.limit.share, "source": one.limit.source},
        "stated_share": one.stated_share,
        "fan": _fan(one.fan, zone),
        "fan_stops_now": None
        if still is None
        else {
            "above_at": iso(still.above_ms, zone),
            "limit_share_at_end": _figure(still.at_end),
        },
        "worst_from": None if one.worst is None else iso(one.worst.from_ms, zone),
        "hours": [_hour(it, zone) for it in one.hours],
        "gives_off": [_giver(it, zone) for it in one.givers],
        "rests_on": [line_json(it) for it in one.lines],
        "not_counted": list(one.not_counted),
    }


def _fan(said: FanSaid, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "said": said.word,
        "since": iso(said.since_ms, zone),
        "last_said": iso(said.said_ms, zone),
        "flow_switch": said.flow_switch,
        "counts": said.counts,
        "known_until": iso(said.lapses_ms, zone),
    }


def _hour(one: Hour, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "from": iso(one.from_ms, zone),
        "past": one.past,
        "given_off_si": _figure(one.given_off_kg_s),
        "air_needed_si": _figure(one.needed_m3_s),
        "limit_share": _figure(one.limit_share),
        "above": one.above,
    }


def _figure(one: Figure | None) -> dict[str, float] | None:
    return None if one is None else {"value": one.value, "low": one.low, "high": one.high}


def _giver(one: Giver, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "what": one.name,
        "mass_mg": one.mg,
        "oldest": iso(one.oldest_ms, zone),
        "youngest": iso(one.youngest_ms, zone),
        "missing": list(one.missing),
        "rests_on": [line_json(it) for it in one.lines],
    }


def _fresh(fresh: FreshBlocks, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "caution": fresh.caution,
        "gates": [{"gate": one.name, "min_h": one.min_h} for one in fresh.gates],
        "younger_than_h": fresh.younger_than_h,
        "older_pieces": fresh.older_pieces,
        "no_age": list(fresh.no_age),
        "lots": [
            {
                "lot": one.code,
                "what": one.what,
                "product": one.product,
                "pieces": one.pieces,
                "place": one.place,
                "moulded": iso(one.moulded_ms, zone),
                "age_h": one.age_h,
                "old_enough": {
                    gate.name: iso(at, zone)
                    for gate, at in zip(fresh.gates, one.from_ms, strict=True)
                },
            }
            for one in fresh.lots
        ],
    }
