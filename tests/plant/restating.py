"""Readings restated as the corrections sheet does it: a void, and readings in their place."""

from collections.abc import Sequence
from dataclasses import replace

from beadwright.ledger.draft import Reading, ReadingsDraft, Void
from tests.plant.yard import MASSES, Yard, ms

__all__ = ["REASON", "read_by", "restate", "taken_out", "weighed"]

REASON = "balance misread"


def weighed(*kg: str, lot: str = "L1", first: int = 1) -> tuple[Reading, ...]:
    """Blocks weighed a day old, with the masses as keyed."""
    facts = {"state": "24h", "age_h": "26"}
    return tuple(
        Reading(MASSES["24h"], mass, "kg", lot=lot, specimen=f"D{n}", facts=facts)
        for n, mass in enumerate(kg, first)
    )


def read_by(yard: Yard, key: str, readings: Sequence[Reading], by: str = "P-01") -> str:
    """Post readings that a person took."""
    yard.post(ReadingsDraft(key, ms(60), tuple(readings), by))
    return key


def restate(
    yard: Yard, key: str, readings: Sequence[Reading], *, own: str = "60", by: str = "P-13"
) -> str:
    """Restate readings by a correction: gives the key of those that stand since."""
    correction, at = f"corrections/{own}", ms(62)
    base, _, number = key.rpartition("/readings/")
    later = f"{base}/readings/{int(number) + 1}" if base else f"{key}/2"
    first, *others = readings
    first = replace(first, facts={**first.facts, "correction": correction})
    yard.post(Void(f"{correction}/void", at, key, REASON, by))
    yard.post(ReadingsDraft(later, ms(60), (first, *others), "P-01"))
    return later


def taken_out(yard: Yard, key: str, own: str = "61", by: str = "P-13") -> None:
    """Take readings out by a correction that leaves none."""
    yard.post(Void(f"corrections/{own}/void", ms(62), key, "another block", by))
