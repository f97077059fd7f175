"""What a caller builds before anything is recorded: drafts of entries.

A draft is plain, frozen data. Read :class:`StepDraft` first; the other drafts state readings,
settings and decisions. Masses are whole milligrams of material (dry polymer, blowing agent, tie
plastic); what was keyed, with its unit, is kept beside as text. Times are UTC milliseconds.
"""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

__all__ = [
    "MOULDED",
    "RANK",
    "RECLAIM",
    "Concession",
    "Correction",
    "Decision",
    "Draft",
    "Evidence",
    "Hold",
    "Label",
    "Lift",
    "Line",
    "Loss",
    "Material",
    "NewLot",
    "Reading",
    "ReadingsDraft",
    "Release",
    "Reversal",
    "SettingDraft",
    "StepDraft",
    "Void",
    "lot_uuid",
]


class Material(StrEnum):
    """Kinds of material the ledger knows; it knows no product."""

    BEAD = "bead"
    PREFOAM = "prefoam"
    TIE = "tie"
    BLOCK = "block"
    SCRAP = "scrap"
    REGRIND = "regrind"
    DENSIFIED = "densified"
    PACKAGING = "packaging"


MOULDED: tuple[str, ...] = (Material.BLOCK.value, Material.PACKAGING.value)
"""Kinds of lots that mould runs make, counted in pieces: few steps ever touch one."""


class Evidence(StrEnum):
    """How a movement is known."""

    WEIGHED = "weighed"
    COUNTED = "counted"
    BACKFLUSHED = "backflushed"


RECLAIM = "reclaim"
"""The grade mark of foam that was moulded before; every regrind and densified lot carries it."""

RANK: Mapping[str, int] = {
    "swept_empty": 0,
    "hold": 1,
    "receipt": 2,
    "return": 2,
    "expand": 3,
    "fill": 4,
    "draw": 5,
    "mould": 6,
    "produce": 7,
    "inspect": 8,
    "split": 9,
    "merge": 10,
    "move": 11,
    "sample": 12,
    "bundle": 13,
    "ship": 14,
    "scrap": 15,
    "strip": 16,
    "grind": 17,
    "densify": 18,
    "dispose": 19,
    "ran_empty": 20,
    "weigh": 21,
    "stocktake": 22,
    "run_open": 2,
    "run_close": 23,
    "relabel": 24,
    "first_piece": 25,
    "mould_change": 26,
    "lift": 30,
}
"""Order of step kinds within one instant: along the plant, so that a minute stamp still folds."""


@dataclass(frozen=True, slots=True)
class Label:
    """A foreign label of a lot: the issuer's own text, which may repeat."""

    issuer: str
    text: str
    since: int | None = None
    until: int | None = None


@dataclass(frozen=True, slots=True)
class NewLot:
    """A lot that a step brings into the record."""

    code: str
    kind: Material
    what: str = ""
    """bag, carton, mould run, bundle, shipment, sample, bin, work in process …"""
    product: str = ""
    grades: tuple[str, ...] = ()
    labels: tuple[Label, ...] = ()
    unit_mg: int = 0
    """Mass of one piece; 0 where the unit of account is mass."""
    unit_source: str = ""
    id: str = ""
    """UUIDv7; made from time and code where it is left empty."""


@dataclass(frozen=True, slots=True)
class Line:
    """One movement of a step: into it (-1), out of it (+1), or a statement of stock (0)."""

    lot: str
    sign: int
    mg: int
    pieces: int = 0
    evidence: Evidence = Evidence.WEIGHED
    keyed: str = ""
    """The value and unit as a person keyed them, e.g. ``882.5 lb``."""
    place: str = ""
    """Where the lot stands after this line, if that changes."""


@dataclass(frozen=True, slots=True)
class Loss:
    """Mass that left without becoming a lot, by name, such as pentane, moisture or dust."""

    name: str
    mg: int
    keyed: str = ""


@dataclass(frozen=True, slots=True)
class StepDraft:
    """A step: lots in, lots out, named losses, and the remainder nobody can account for."""

    key: str
    """Client key, given before posting; the same key posts once."""
    kind: str
    happened_at: int | None
    """UTC milliseconds; None only for a planned step, which is timed under the lock."""
    lines: tuple[Line, ...]
    losses: tuple[Loss, ...] = ()
    remainder_mg: int = 0
    new_lots: tuple[NewLot, ...] = ()
    labels: Mapping[str, tuple[Label, ...]] = field(default_factory=dict)
    """Foreign labels given to lots already known (relabel)."""
    product: str = ""
    place: str = ""
    run: str = ""
    by: str = ""
    """Id of the person who did it."""
    facts: Mapping[str, str] = field(default_factory=dict)
    """Whatever else was keyed and later questions may ask: shots, batches, cause of scrap …"""
    planned: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """One measured value, as keyed, of a lot, a step or a place."""

    characteristic: str
    value: str
    unit: str
    lot: str = ""
    step: str = ""
    """Client key of the step it was taken at."""
    specimen: str = ""
    replicate: int = 1
    uncertainty: str = ""
    """Standard uncertainty, in the same unit."""
    instrument: str = ""
    method: str = ""
    facts: Mapping[str, str] = field(default_factory=dict)
    """Conditions of the reading, e.g. ``{"place": "hot"}`` or ``{"age_h": "1.5"}``."""
    parents: tuple[int, ...] = ()
    """Numbers, within the same draft, of the readings it was derived from."""


@dataclass(frozen=True, slots=True)
class ReadingsDraft:
    """Readings taken together: one row of an inspection sheet, one cup."""

    key: str
    happened_at: int
    readings: tuple[Reading, ...]
    by: str = ""


@dataclass(frozen=True, slots=True)
class Void:
    """Takes a draft of readings out of every later answer; the readings stay in the record."""

    key: str
    happened_at: int
    readings: str
    """Client key of the readings draft."""
    reason: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class SettingDraft:
    """A dated setting, such as a product, a place, a limit, a role or a tolerance."""

    key: str
    happened_at: int
    topic: str
    name: str
    body: Mapping[str, object]
    """JSON values without floats: text, whole numbers, booleans, lists, maps."""
    since: int | None = None
    """In force from; happened_at where it is None."""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """A person's hold on named lots; it flows to everything made of them."""

    key: str
    happened_at: int
    hold: str
    reason: str
    lots: tuple[str, ...]
    since: int | None = None
    """On a place: content since then; its last swept empty where None. Else: the lot from birth."""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Lift:
    """Clears the named lots, and only those, of one hold."""

    key: str
    happened_at: int
    hold: str
    reason: str
    lots: tuple[str, ...]
    by: str = ""


@dataclass(frozen=True, slots=True)
class Release:
    """Approval of one block lot over the hash of its evidence."""

    key: str
    happened_at: int
    lot: str
    evidence: str
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Concession:
    """Authority after the fact: closes the nonconformities that share one cause."""

    key: str
    happened_at: int
    cause: str
    reason: str
    covers: tuple[str, ...] = ()
    """The nonconformities it was given for (``ledger.holds``); a later one reopens it."""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Decision:
    """A decision that is kept but moves nothing by itself: disposition, signature."""

    key: str
    happened_at: int
    kind: str
    about: str
    body: Mapping[str, object]
    by: str = ""


@dataclass(frozen=True, slots=True)
class Correction:
    """Restates a step whole; the id and client key of the step stay."""

    key: str
    step: str
    """Client key of the step restated."""
    restated: StepDraft
    """Its key must equal ``step``."""
    reason: str
    happened_at: int
    """When it was noticed; the restated draft says when the step happened."""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Reversal:
    """Undoes a step whose outputs have not moved."""

    key: str
    step: str
    reason: str
    happened_at: int
    by: str = ""


Draft = (
    StepDraft
    | ReadingsDraft
    | Void
    | SettingDraft
    | Hold
    | Lift
    | Release
    | Concession
    | Decision
    | Correction
    | Reversal
)


def lot_uuid(at_ms: int, plant: str, code: str) -> str:
    """UUIDv7 of a lot: its time, and bits drawn from plant and code.

    Drawn, not random, so that the same files give the same record wherever they are imported
    (layout: RFC 9562, section 5.7).
    """
    bits = int.from_bytes(hashlib.sha256(f"{plant}\x00{code}".encode()).digest()[:10], "big")
    number = (at_ms & ((1 << 48) - 1)) << 80 | (bits & ((1 << 80) - 1))
    number = number & ~(0xF << 76) | 7 << 76
    number = number & ~(0x3 << 62) | 2 << 62
    return str(uuid.UUID(int=number))
