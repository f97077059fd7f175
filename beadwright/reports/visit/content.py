"""The visit file: gathered from the record, then set. Read :func:`content`."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from datetime import UTC, date, datetime

from beadwright.errors import Fault, Misuse, RecordBroken, Refusal
from beadwright.ledger import lots, settings
from beadwright.ledger.chain import canonical
from beadwright.plant.access import Who, may_ask
from beadwright.plant.opening import Plant, projections_differing
from beadwright.plant.plan import start_of
from beadwright.plant.said_words import ENTRY_WORDS
from beadwright.reports.setting import require_size, typeset
from beadwright.reports.visit import changed, decided, found, lot, recalled, tests
from beadwright.reports.visit.entries import Since, read
from beadwright.reports.visit.parts import Part, table
from beadwright.reports.words import CAUTIONS, INVENTED, in_words, iso, local

__all__ = ["Visit", "content", "render"]

_FORM = 1


@dataclass(frozen=True, slots=True)
class Visit:
    """Everything that a visit file says."""

    form: int
    paper: str
    plant: str
    plant_name: str
    zone: str
    since: str
    made: tuple[int, ...]
    """UTC: year, month, day, hour, minute, second."""
    made_at: str
    head: str
    parts: tuple[Part, ...]
    cautions: tuple[str, ...]
    banner: str

    @property
    def text(self) -> str:
        """Its canonical JSON."""
        return canonical(json.loads(json.dumps(dataclasses.asdict(self))))


def content(
    plant: Plant, since: date, codes: tuple[str, ...], who: Who, made: tuple[int, str]
) -> Visit:
    """Gather a visit file: since which day, which lots traced; ``made`` is when, on which paper.

    Raises
    ------
    RecordBroken
        If the record does not verify, or the tables do not say what it says: nothing that stands
        in them would be evidence.
    Misuse
        If the lot is not in the record, or the day is to come.
    Refusal
        ``not_allowed``, where the role may not ask.
    """
    if not may_ask(who):
        what = f"{who.account} ({who.role or 'no role'}) may not ask questions of the record"
        raise Refusal([Fault("not_allowed", what, "", "", "Ask somebody whose role allows it.")])
    at_ms, paper = made
    require_size(paper)
    since_ms = start_of(since, plant.zone)
    if since_ms > at_ms:
        message = f"{since} is to come: say the day of the last visit"
        raise Misuse(message)
    if unknown := [code for code in codes if code not in lots.get_many(plant.no, codes)]:
        message = f"lot {unknown[0]} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    seen = read(plant.code, since_ms, plant.zone)
    for one in seen.breaks:
        raise RecordBroken(one.seq, one.what)
    differing = projections_differing(plant.code)
    if differing:
        what = f"tables that do not say what the record says: {', '.join(differing)}"
        raise RecordBroken(plant.head[0], f"{what}. `beadwright verify` says more.")
    in_force = settings.load(plant.no)
    when = datetime.fromtimestamp(at_ms // 1000, UTC)
    return Visit(
        _FORM, paper, plant.code, plant.name, plant.zone.key, since.isoformat(),
        (when.year, when.month, when.day, when.hour, when.minute, when.second),
        iso(at_ms, plant.zone), f"{plant.head[0]}:{plant.head[1]}",
        (
            _record(plant, seen),
            *tests.parts(plant, seen, since_ms, at_ms),
            found.nonconformities(plant.no, since_ms, plant.zone),
            recalled.recalled(plant, seen),
            decided.decisions(plant, seen),
            changed.changes(plant, seen, in_force, (since_ms, at_ms)),
            changed.people(seen, in_force, since_ms, plant.zone),
            *(lot.traced(plant, code) for code in codes),
        ),
        CAUTIONS, INVENTED if plant.invented else "",
    )  # fmt: skip


def render(text: str) -> bytes:
    """Set a visit file from its canonical JSON: the same text gives the same bytes."""
    said = json.loads(text)
    year, month, day, hour, minute, second = said["made"]
    at = datetime(year, month, day, hour, minute, second, tzinfo=UTC)
    return typeset(f"visit_{said['form']}", text, at)


def _record(plant: Plant, seen: Since) -> Part:
    """Say that the chain holds, and how much of it came since."""
    seq, recorded = seen.last
    facts = (
        ("Verified", f"entries 1 to {seq}: each gives its hash and follows the one before"),
        ("Head", f"{plant.head[0]}:{plant.head[1]}"),
        ("Newest entry", f"recorded {local(recorded, plant.zone)}" if seq else "none"),
    )
    words = (
        "An entry is never changed or removed. Hold a head that was printed at the last visit"
        " against the record: beadwright verify --head SEQ:HASH."
    )
    rows = [
        (ENTRY_WORDS.get(kind, in_words(kind)), str(count), str(seen.late[kind]))
        for kind, count in sorted(seen.counts.items())
    ]
    columns = "kind|entries>|of these dated before>"
    return Part("The record", (words,), facts, (table("Recorded since", columns, rows),))
