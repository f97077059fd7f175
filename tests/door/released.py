"""Releases that the door refuses, one way for each code, of a yard with beads and ties."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.db import connection

from beadwright.ledger.draft import Draft, Reading, ReadingsDraft, Release
from tests.plant.asking import GOOD, the_lot
from tests.plant.planning import decide
from tests.plant.yard import Yard, ms

__all__ = ["RELEASED", "read_by", "release", "sound"]


def sound(yard: Yard, lot: str = "L1") -> Yard:
    """Give a lot that may ship."""
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot(lot)
    yard.weigh(lot, "24h", GOOD)
    return yard


def read_by(yard: Yard, who: str, lot: str = "L1", instrument: str = "") -> None:
    """Have somebody take a reading of a lot."""
    one = Reading("block_mass_24h", f"{GOOD[0]:.4f}", "kg", lot=lot, specimen=f"D-{who}",
                  instrument=instrument, facts={"state": "24h", "age_h": "26"})  # fmt: skip
    yard.post(ReadingsDraft(f"read/{lot}/{who}", ms(61), (one,), by=who))


def release(
    yard: Yard, by: str = "P-13", lot: str = "L1", evidence: str = "", at: float = 79
) -> Release:
    """Release a lot over what is known of it now."""
    evidence = evidence or the_lot(yard, lot).evidence
    return Release(f"release/{lot}/{by}", ms(at), lot, evidence, by=by)


def _held(yard: Yard) -> Draft:
    sound(yard).hold("H1", "B-1")
    return release(yard)


def _stale(yard: Yard) -> Draft:
    looked_at = release(sound(yard))
    read_by(yard, "P-14")
    return looked_at


def _twice(yard: Yard) -> Draft:
    first = release(sound(yard))
    yard.post(first)
    return Release("again", ms(80), "L1", first.evidence, by="P-13")


def _tester(yard: Yard) -> Draft:
    yard.set("release", "rule", {"persons": 1, "tester_apart": True})
    read_by(sound(yard), "P-13")
    return release(yard)


def _found_wrong(yard: Yard) -> Draft:
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for done, result in (("2026-09-01", "pass"), ("2026-09-04", "fail")):
        body = {"done": done, "result": result, "certificate": done}
        decide(yard, "calibration", "BAL-2", body)
    read_by(sound(yard), "P-14", instrument="BAL-2")
    return release(yard)


def _alike(yard: Yard) -> Draft:
    yard.set("release", "rule", {"persons": 2})
    yard.set("role", "P-I3", role="engineer")
    yard.post(release(sound(yard), "P-13"))
    return release(yard, "P-I3")


def _tampered(yard: Yard) -> Draft:
    looked_at = release(sound(yard))
    with connection.cursor() as cursor:
        cursor.execute("UPDATE quality_reading SET si = si + 0.01 WHERE lot='L1'")
    return looked_at


RELEASED: Mapping[str, Callable[[Yard], Draft]] = {
    "tables_differ": _tampered,
    "not_releasable": _held,
    "evidence_changed": _stale,
    "doubt_not_answered": _found_wrong,
    "already_released": _twice,
    "persons_not_apart": _alike,
    "tester_alone": _tester,
}
