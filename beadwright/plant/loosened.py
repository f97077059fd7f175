"""Rules of release that were loosened for a day before they were entered, and what left by them.

Read :func:`loosenings`, then :func:`noted`. Nothing is refused for it: the rule is the plant's, and
an engineer has signed for it. But who reads that a lot is released should know that fewer people
were enough only afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.ledger import entered, lots
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.releases import Approval
from beadwright.ledger.settings import Settings
from beadwright.plant.approved import persons
from beadwright.plant.setting_changes import keys_of
from beadwright.plant.upstream import zone_of

__all__ = ["Loosened", "Told", "governs", "loosenings", "noted", "told"]

_RULE = ("release", "rule")

Told = tuple[str, str]
"""A sentence, and where it comes from."""


@dataclass(frozen=True, slots=True)
class Loosened:
    """A rule of release that asks less than the one before it, and was entered for a day before."""

    seq: int
    since_ms: int
    persons_before: int
    by: str
    """Who signed for it; empty where nobody did."""
    words: str
    """Who loosened it, when it was entered, from which day, and what it asked before and after."""


def loosenings(plant: str, in_force: Settings, zone: ZoneInfo) -> tuple[Loosened, ...]:
    """Give the rules of a plant that were loosened for a day before, in the order of their days."""
    stated = in_force.stated(*_RULE)
    pairs = [
        (before, one)
        for one in stated
        if (before := _before(stated, one)) is not None and _looser(before[2], one[2])
    ]
    if not pairs:
        return ()
    said = entered.by_number(plant, {seq for pair in pairs for _, seq, _ in pair})
    found = []
    for before, (since, seq, body) in pairs:
        entry = said[seq]
        day, made = _day(since, zone), _day(entry.recorded_at, zone)
        # What came with one file was never otherwise in the record.
        if made > day and said[before[1]].recorded_at != entry.recorded_at:
            draft = entry.draft
            by = draft.by if isinstance(draft, SettingDraft) else ""
            keys = "; ".join(
                f"{one.key.replace('_', ' ')}: {one.before or 'not stated'},"
                f" now {one.after or 'not stated'}"
                for one in keys_of(before[2], body)
            )
            words = f"{by or 'nobody named'} loosened on {made} for a day before, {day} ({keys})"
            found.append(Loosened(seq, since, persons(before[2]), by, words))
    return tuple(found)


def governs(in_force: Settings, at_ms: int, seq: int | None = None) -> int | None:
    """Give the entry of the rule in force at a time, as the record stood before an entry."""
    rules = [
        entry
        for since, entry, _ in in_force.stated(*_RULE)
        if since <= at_ms and (seq is None or entry < seq)
    ]
    return rules[-1] if rules else None


def noted(
    found: Iterable[Loosened],
    in_force: Settings,
    given: Mapping[str, Sequence[Approval]],
    at_ms: int,
) -> dict[str, list[Told]]:
    """Say of each lot with approvals by which loosened rule it is released: sentence and source.

    The rule of an approval is the one in force when it was entered; besides, the one in force now
    may let fewer approvals be enough than had to be when they were given.
    """
    said: dict[str, list[Told]] = {}
    now = governs(in_force, at_ms)
    for one in found:
        for lot, approvals in given.items():
            under = any(governs(in_force, each.at_ms, each.seq) == one.seq for each in approvals)
            fewer = now == one.seq and len({each.by for each in approvals}) < one.persons_before
            if approvals and (under or fewer):
                sentence = f"released under a rule of release that {one.words}"
                said.setdefault(lot, []).append((sentence, f"entry {one.seq}"))
    return said


def told(
    plant_no: int, in_force: Settings, given: Mapping[str, Sequence[Approval]], at_ms: int
) -> dict[str, list[Told]]:
    """Say the same of the lots of a plant in the record."""
    found = loosenings(lots.plant_code(plant_no), in_force, zone_of(in_force))
    return noted(found, in_force, given, at_ms) if found else {}


def _before(
    stated: Sequence[tuple[int, int, Mapping[str, object]]],
    one: tuple[int, int, Mapping[str, object]],
) -> tuple[int, int, Mapping[str, object]] | None:
    """Give the rule that stood on the day of another before that one was entered."""
    earlier = [other for other in stated if other[0] <= one[0] and other[1] < one[1]]
    return earlier[-1] if earlier else None


def _looser(before: Mapping[str, object], after: Mapping[str, object]) -> bool:
    fewer = persons(after) < persons(before)
    return fewer or bool(before.get("tester_apart") and not after.get("tester_apart"))


def _day(at_ms: int, zone: ZoneInfo) -> str:
    return datetime.fromtimestamp(at_ms / 1000, zone).date().isoformat()
