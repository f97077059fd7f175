"""What a correction changed: a step, or readings, before and after, field by field.

Pure. Read :func:`changes` and :func:`reading_changes`.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from beadwright.ledger.draft import Label, Line, NewLot, ReadingsDraft, StepDraft
from beadwright.quality.versions import MARK

__all__ = ["WAYS", "Change", "changes", "fact", "fields", "reading_changes"]

WAYS = {-1: "in", 0: "stock", 1: "out"}
"""What a line's sign means: into the step, a statement of stock, out of the step."""

_MG_PER_KG = 1_000_000
_NO_FIELD = frozenset({MARK, "kept"})
"""Facts that nobody keyed as a field: which correction made it, and that a doubt was answered."""

_STAMP = re.compile(r"1[0-9]{12}")
"""A time in UTC milliseconds, from 2001 to 2033."""


@dataclass(frozen=True, slots=True)
class Change:
    """One field of a step: what it said before, and after; empty where it did not say it."""

    field: str
    before: str
    after: str


def changes(before: StepDraft, after: StepDraft, zone: ZoneInfo) -> tuple[Change, ...]:
    """Give the fields that differ; masses in kg to the milligram, times by the plant's clock."""
    return _differing(dict(fields(before, zone)), dict(fields(after, zone)))


def _differing(was: Mapping[str, str], now: Mapping[str, str]) -> tuple[Change, ...]:
    return tuple(
        Change(name, was.get(name, ""), now.get(name, ""))
        for name in dict.fromkeys((*was, *now))
        if was.get(name, "") != now.get(name, "")
    )


def reading_changes(
    before: ReadingsDraft | None, after: ReadingsDraft | None, zone: ZoneInfo
) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
    """Give the values that differ, and what differs of all the readings taken together.

    None before: they were added; None after: they were taken out.
    """
    drafts = [draft for draft in (before, after) if draft is not None]
    often = {
        name
        for draft in drafts
        for name, times in Counter(one.characteristic for one in draft.readings).items()
        if times > 1
    }
    values = _differing(_values(before, often), _values(after, often))
    if before is None or after is None:
        return values, ()
    return values, _differing(_shared(before, zone), _shared(after, zone))


def _values(draft: ReadingsDraft | None, often: Container[str]) -> dict[str, str]:
    """Values by name; of what was read more than once together, with the specimen's."""
    found: dict[str, str] = {}
    for one in () if draft is None else draft.readings:
        name = one.characteristic.replace("_", " ")
        if one.characteristic in often:
            own = f"{name} {one.specimen or one.replicate}"
            name = own if own not in found else f"{own} ({len(found) + 1})"
        stated = f" ± {one.uncertainty}" if one.uncertainty else ""
        found[name] = f"{one.value}{stated} {one.unit}".strip()
    return found


def _shared(draft: ReadingsDraft, zone: ZoneInfo) -> dict[str, str]:
    """What readings taken together say beside their values."""
    said = {"happened at": _local(draft.happened_at, zone), "by": draft.by}
    for name in ("lot", "step", "specimen", "instrument", "method"):
        said[name] = _once(str(getattr(one, name)) for one in draft.readings)
    names = dict.fromkeys(
        name for one in draft.readings for name in one.facts if name not in _NO_FIELD
    )
    for name in names:
        said[name.replace("_", " ")] = _once(one.facts.get(name, "") for one in draft.readings)
    return said


def _once(texts: Iterable[str]) -> str:
    return ", ".join(text for text in dict.fromkeys(texts) if text)


def fields(step: StepDraft, zone: ZoneInfo) -> Iterator[tuple[str, str]]:
    """Give every field that a step says, by a name that two versions share."""
    yield "kind", step.kind
    yield "happened at", "" if step.happened_at is None else _local(step.happened_at, zone)
    yield "by", step.by
    yield "product", step.product
    yield "place", step.place
    yield "run", step.run
    seen: Counter[str] = Counter()
    for line in step.lines:
        name = f"{WAYS[line.sign]} {line.lot}"
        seen[name] += 1
        yield (name if seen[name] == 1 else f"{name} ({seen[name]})"), _line(line)
    for loss in step.losses:
        yield f"lost: {loss.name}", _kg(loss.mg)
    yield "unaccounted", _kg(step.remainder_mg) if step.remainder_mg else ""
    for new in step.new_lots:
        yield f"new lot {new.code}", _new(new)
    for code, labels in step.labels.items():
        yield f"labels of {code}", _labels(labels)
    for name, text in step.facts.items():
        yield name.replace("_", " "), fact(text, zone)


def fact(text: str, zone: ZoneInfo) -> str:
    """Give what was keyed beside; a time, which the record holds in milliseconds, by the clock."""
    return _local(int(text), zone) if _STAMP.fullmatch(text) else text


def _line(line: Line) -> str:
    pieces = f"{line.pieces} pieces, " if line.pieces else ""
    keyed = f", keyed {line.keyed}" if line.keyed else ""
    to = f", to {line.place}" if line.place else ""
    return f"{pieces}{_kg(line.mg)} {line.evidence}{keyed}{to}"


def _new(new: NewLot) -> str:
    said = {
        "kind": str(new.kind), "what": new.what, "product": new.product,
        "grades": "+".join(new.grades), "piece": _kg(new.unit_mg) if new.unit_mg else "",
        "labels": _labels(new.labels),
    }  # fmt: skip
    return ", ".join(f"{name} {text}" for name, text in said.items() if text)


def _labels(labels: tuple[Label, ...]) -> str:
    return "; ".join(f"{one.issuer} {json.dumps(one.text, ensure_ascii=False)}" for one in labels)


def _kg(mg: int) -> str:
    return f"{Decimal(mg) / _MG_PER_KG:.6f} kg"


def _local(at_ms: int, zone: ZoneInfo) -> str:
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")
