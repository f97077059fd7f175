"""A calibration that somebody enters, whether at the shell or on a page.

Read :func:`enter_calibration`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.errors import Misuse
from beadwright.ledger import said, settings
from beadwright.ledger.decided import of_kinds
from beadwright.ledger.draft import Decision
from beadwright.plant.access import Who
from beadwright.plant.as_found import as_found, as_found_fault, unlikely
from beadwright.plant.door import Posted
from beadwright.plant.moment import moment_of
from beadwright.plant.opening import Plant, door_of
from beadwright.plant.stated_again import calibration_doubt
from beadwright.quality.readings import largest_with

__all__ = ["KIND", "Doubtful", "enter_calibration", "require_meant"]

KIND = "calibration"
_TOPIC = "instrument"


class Doubtful(Misuse):
    """A calibration that is asked about once.

    It says otherwise what the record holds, or states an error beyond half of all that was read, or
    in a unit of nothing that was.
    """


def require_meant(
    plant_no: int, instrument: str, body: Mapping[str, object], *, keep: bool
) -> None:
    """Ask about a calibration before it is entered.

    Raises
    ------
    Misuse
        If the plant lists no such instrument.
    Doubtful
        If it says otherwise what the record holds, or its error is more than half of all that was
        read or in a unit of nothing that was, and nobody said that it stands so.
    """
    listed = settings.load(plant_no).names(_TOPIC)
    if instrument not in listed:
        there = ", ".join(listed) or "none: set [instrument.NAME] in the plant's settings"
        message = f"no instrument {instrument!r} is listed; there are: {there}"
        raise Misuse(message)
    earlier = [one.body for one in of_kinds(plant_no, KIND) if one.about == instrument]
    _, doubt = calibration_doubt(earlier, body)
    doubt = doubt or _unlikely(plant_no, instrument, str(body.get("as_found", "")))
    if doubt and not keep:
        message = f"{instrument}: {doubt}"
        raise Doubtful(message)


def _unlikely(plant_no: int, instrument: str, stated: str) -> str:
    """Doubt an error as found whose unit is likely mistaken; a bad one the door refuses."""
    if not stated or as_found_fault(stated):
        return ""
    return unlikely(as_found(stated), largest_with(plant_no, instrument))


def enter_calibration(
    plant: Plant, who: Who, about: tuple[str, str], body: Mapping[str, str], *, keep: bool
) -> Posted:
    """Enter a calibration; ``about`` is its instrument and the form's key. A key enters once.

    What was left empty is not stated.

    Raises
    ------
    Misuse
        As :func:`require_meant`.
    Refusal
        If the role may not enter one, or a part of it cannot be read or meant.
    """
    instrument, sent = about
    key = f"calibration/{sent}"
    stated = {name: text for name, text in body.items() if text}
    if said.posted(plant.code, plant.no, key) is None:
        require_meant(plant.no, instrument, stated, keep=keep)
    at_ms = moment_of(plant, key)
    draft = Decision(key, at_ms, KIND, instrument, stated, by=who.account)
    return door_of(plant.code).post(draft, who)
