"""A plant of the store, opened: its number, its door, its settings."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from beadwright.errors import Fault, Misuse, RecordBroken
from beadwright.ledger import compared, heads, lots, rebuild, settings
from beadwright.ledger.draft import Decision, Lift, Release
from beadwright.ledger.rules import Rules
from beadwright.plant.codes import NOTICES
from beadwright.plant.door import Door, now_ms
from beadwright.plant.held import lift_faults
from beadwright.plant.judge import JUDGED, judge
from beadwright.plant.planned import planned
from beadwright.plant.recall.held import said_held
from beadwright.plant.recall.on_record import KIND as RECALL
from beadwright.plant.release_entry import releasable
from beadwright.quality import projection

__all__ = ["RULES", "Plant", "door_of", "open_plant", "projections_differing", "rebuild_plant"]


def _undecidable(plant_no: int, draft: Release | Lift | Decision, now_ms: int) -> list[Fault]:
    """Say why a release, a lift or a recall's stage may not be entered as the record stands."""
    if isinstance(draft, Decision):
        return said_held(plant_no, draft)
    if isinstance(draft, Lift):
        return lift_faults(plant_no, draft)
    return releasable(plant_no, draft, now_ms)


RULES = Rules(
    judge=judge,
    readings=projection.project,
    planned=planned,
    unread=projection.refused,
    undecidable=_undecidable,
    weighed=frozenset({RECALL}),
    judged=JUDGED,
    notices=NOTICES,
)
"""The rules that door, fold and rebuild alike are handed."""


@dataclass(frozen=True, slots=True)
class Plant:
    """A plant that is in the store."""

    code: str
    no: int
    name: str
    zone: ZoneInfo
    head: tuple[int, str]
    invented: bool = False
    """Whether it is a demonstration: every page and paper of it says so."""
    currency: str = ""
    """Code of the money that its prices are in (ISO 4217); empty where nothing names it."""

    @property
    def about(self) -> dict[str, str]:
        """Give what every answer to a program begins with: the plant, its zone, what was read."""
        seq, own = self.head
        return {"plant": self.code, "zone": self.zone.key, "head": f"{seq}:{own}"}


def door_of(code: str) -> Door:
    """Give the door of a plant, which may be new to the store."""
    return Door(code, RULES)


def open_plant(code: str = "") -> Plant:
    """Open the plant of that code, or the only one there is.

    Raises
    ------
    Misuse
        If there is no such plant, or several and none was named.
    RecordBroken
        If the record ends elsewhere than the store had reached.
    """
    codes = lots.plants()
    if not code:
        if len(codes) != 1:
            if not codes:
                message = "the store holds no plant: import a plant's files first"
                raise Misuse(message)
            there = ", ".join(codes)
            message = f"say which plant, by --plant CODE before the verb; the store holds {there}"
            raise Misuse(message)
        code = codes[0]
    no = lots.plant_number(code)
    head, kept = rebuild.head(code), heads.look(code)
    if kept is None or (kept.seq, kept.hash) != head:
        reached = "nothing" if kept is None else f"{kept.seq}:{kept.hash[:12]}…"
        what = f"the record ends at {head[0]}:{head[1][:12]}…, the store had reached {reached}"
        raise RecordBroken(head[0], f"{what}. Nothing is answered; `beadwright verify` says more.")
    body = settings.load(no).at("plant", code, now_ms()) or {}
    zone = ZoneInfo(str(body.get("zone", "UTC")))
    invented = body.get("invented") is True
    currency = str(body.get("currency", ""))
    return Plant(code, no, str(body.get("name", code)), zone, head, invented, currency)


def projections_differing(code: str) -> tuple[str, ...]:
    """Names of a plant's projections that do not say what its record says."""
    return compared.differing(code, RULES, projection.clear)


def rebuild_plant(code: str) -> int:
    """Make every projection of a plant again; gives the number of entries read."""
    return rebuild.rebuild(code, RULES, projection.clear)
