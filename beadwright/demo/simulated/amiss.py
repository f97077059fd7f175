"""What goes wrong on purpose: kinds of faults, each from a day on, for some days, at one place.

Read :class:`Amiss` first. The figures stand in the section ``faults`` of the parameters file.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.demo.simulated.parameters import Parameters

__all__ = ["Amiss", "Planned"]

_DAY = 24 * 60


@dataclass(frozen=True)
class Planned:
    """One fault: from when until when (minutes), where, and how much."""

    kind: str
    since: int
    until: int
    place: str
    size: float


class Amiss:
    """The faults that are switched on."""

    def __init__(self, parameters: Parameters) -> None:
        """Take them from the parameters."""
        self._planned: dict[str, Planned] = {}
        for kind, given in parameters.sections["faults"].items():
            since = round((float(given["day"]) - 1) * _DAY)
            until = since + round(float(given["days"]) * _DAY)
            if since >= 0 and until > since:
                place, size = str(given["place"]), float(given["size"])
                self._planned[kind] = Planned(kind, since, until, place, size)

    def __iter__(self) -> object:
        """Give each of them."""
        return iter(self._planned.values())

    def at(self, kind: str, minute: int, place: str) -> Planned | None:
        """Give the fault of a kind if it is at work at that minute and place."""
        one = self._planned.get(kind)
        if one is None or place != one.place or not one.since <= minute < one.until:
            return None
        return one
