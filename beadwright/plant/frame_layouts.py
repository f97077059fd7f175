"""How a load frame's files are to be read, kept for the machine by whoever looked at them.

Read :func:`keep_layout` and :func:`layouts`. What a layout holds, ``interop.load_frame`` knows.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.ledger.decided import of_kinds
from beadwright.ledger.draft import Decision
from beadwright.plant.access import Who
from beadwright.plant.door import Posted
from beadwright.plant.moment import moment_of
from beadwright.plant.opening import Plant, door_of

__all__ = ["KIND", "KeptLayout", "keep_layout", "layouts", "require_listed"]

KIND = "frame_layout"
_TOPIC = "instrument"


@dataclass(frozen=True, slots=True)
class KeptLayout:
    """A layout in force."""

    machine: str
    """The instrument's name."""
    text: str
    at_ms: int
    by: str
    seq: int


def keep_layout(plant: Plant, who: Who, machine: str, text: str, key: str) -> Posted:
    """Keep a layout for a machine of the register. A key enters once.

    Raises
    ------
    Misuse
        If the plant lists no such instrument.
    Refusal
        If the role may not, or it is no layout.
    """
    require_listed(plant.no, machine)
    key = f"{KIND}/{key}"
    at_ms = moment_of(plant, key)
    draft = Decision(key, at_ms, KIND, machine, {"layout": text}, by=who.account)
    return door_of(plant.code).post(draft, who)


def require_listed(plant_no: int, machine: str) -> None:
    """Refuse what is no instrument of the register.

    Raises
    ------
    Misuse
        If the plant lists none of that name.
    """
    listed = settings.load(plant_no).names(_TOPIC)
    if machine not in listed:
        message = f"no instrument {machine!r} is listed; there are: {', '.join(listed) or 'none'}"
        raise Misuse(message)


def layouts(plant_no: int) -> tuple[KeptLayout, ...]:
    """Give what was kept, the newest first."""
    kept = of_kinds(plant_no, KIND)
    return tuple(
        KeptLayout(one.about, str(one.body["layout"]), one.at_ms, one.by, one.seq)
        for one in reversed(kept)
    )
