"""Decision rules that were eased for a day before they were entered, and the lots judged by them.

Read :func:`told`. Nothing is refused for it: the rule is the plant's, and an engineer has signed
for it. But whoever reads that a lot's limits are met should know that they are met only since the
guard band was narrowed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.ledger import entered, lots
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.settings import Settings
from beadwright.plant.decision_rule import ALL, TOPIC, DecisionRule, read_rule
from beadwright.plant.plan import day_at

__all__ = ["Told", "is_eased", "told"]

_SHARE = "share_"

Told = tuple[str, str, str]
"""Code of a reason, a sentence, and where it is written."""


_Stated = tuple[int, int, Mapping[str, object]]
"""A version of a setting: since when, by which entry, its body."""


@dataclass(frozen=True, slots=True)
class _Eased:
    """A rule that asks less than the one that stood on its day before it was entered."""

    name: str
    seq: int
    before_seq: int
    before: DecisionRule
    after: DecisionRule


def is_eased(before: DecisionRule, after: DecisionRule) -> bool:
    """Whether a rule asks for a narrower guard band than another, or for none."""
    return after.k < before.k


def told(
    plant_no: int,
    in_force: Settings,
    asked: Iterable[tuple[str, int, frozenset[str]]],
    zone: ZoneInfo,
) -> Iterator[tuple[str, Told]]:
    """Say of each lot by which eased rule it is judged, that was entered after it was made.

    ``asked``: lots with when they were made, and the characteristics they are judged by.
    """
    found = [
        (one, made, {name.removeprefix(_SHARE) for name in names}, _of(in_force, made))
        for one, made, names in asked
    ]
    seqs = {seq for *_, some in found for each in some for seq in (each.seq, each.before_seq)}
    if not seqs:
        return
    said = entered.by_number(lots.plant_code(plant_no), seqs)
    for lot, made, names, some in found:
        for each in some:
            entry = said[each.seq]
            bears = each.name in names or (each.name == ALL and names)
            # What came with one file was never otherwise in the record.
            together = said[each.before_seq].recorded_at == entry.recorded_at
            if not bears or together or entry.recorded_at <= made:
                continue
            draft = entry.draft
            by = (draft.by if isinstance(draft, SettingDraft) else "") or "nobody named"
            what = "" if each.name == ALL else f" for {each.name.replace('_', ' ')}"
            sentence = (
                f"judged by a decision rule{what} that {by} eased on"
                f" {day_at(entry.recorded_at, zone)}, after it was made: {each.before.words}, now"
                f" {each.after.words}"
            )
            yield lot, ("rule_loosened", sentence, f"entry {each.seq}")


def _of(in_force: Settings, made_ms: int) -> list[_Eased]:
    """Give the rules in force at a time that are narrower than what stood there before them."""
    found = []
    for name in in_force.names(TOPIC):
        there = [one for one in in_force.stated(TOPIC, name) if one[0] <= made_ms]
        if not there:
            continue
        _, seq, body = there[-1]
        after = read_rule(body)
        earlier = [one for one in there if one[1] < seq] or _for_all(in_force, made_ms, seq)
        if earlier and is_eased(read_rule(earlier[-1][2]), after):
            before = earlier[-1]
            shown = name.removeprefix(_SHARE)
            found.append(_Eased(shown, seq, before[1], read_rule(before[2]), after))
    return found


def _for_all(in_force: Settings, at_ms: int, seq: int) -> list[_Stated]:
    """Give the rules for all up to a time, as the record stood before an entry."""
    return [one for one in in_force.stated(TOPIC, ALL) if one[0] <= at_ms and one[1] < seq]
