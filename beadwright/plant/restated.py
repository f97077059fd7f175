"""What a correction changed: a step before and after, field by field.

Pure. Read :func:`changes`.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from beadwright.ledger.draft import Label, Line, NewLot, StepDraft

__all__ = ["WAYS", "Change", "changes", "fact", "fields"]

WAYS = {-1: "in", 0: "stock", 1: "out"}
"""What a line's sign means: into the step, a statement of stock, out of the step."""

_MG_PER_KG = 1_000_000
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
    was, now = dict(fields(before, zone)), dict(fields(after, zone))
    return tuple(
        Change(name, was.get(name, ""), now.get(name, ""))
        for name in dict.fromkeys((*was, *now))
        if was.get(name, "") != now.get(name, "")
    )


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
