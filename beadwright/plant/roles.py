"""Roles given, as drafts at the door find them: by the record, and by the drafts beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from beadwright.ledger import lots, settings
from beadwright.ledger.draft import Draft, SettingDraft

__all__ = ["Roles", "roles"]

_ROLE = "role"


class Roles:
    """Roles by name and time; the record is read when one is asked for."""

    def __init__(self, plant: str, given: Mapping[str, Mapping[int, Mapping[str, object]]]) -> None:
        """Take a plant's code, and the roles given beside, by name and since when."""
        self._plant, self._given = plant, given
        self._known: settings.Settings | None = None

    def at(self, topic: str, name: str, at_ms: int) -> Mapping[str, object] | None:
        """Give the body in force at that time, or None; of one date the one given beside."""
        versions = {**dict(self._recorded().versions(topic, name)), **self._given.get(name, {})}
        since = max((one for one in versions if one <= at_ms), default=None)
        return None if since is None else versions[since]

    def _recorded(self) -> settings.Settings:
        if self._known is None:
            there = self._plant in lots.plants()
            no = lots.plant_number(self._plant) if there else 0
            self._known = settings.load(no) if there else settings.Settings(())
        return self._known


def roles(plant: str, drafts: Iterable[Draft]) -> Roles:
    """Give the roles of a plant as the record has them once these drafts are in."""
    given: dict[str, dict[int, Mapping[str, object]]] = {}
    for draft in drafts:
        if isinstance(draft, SettingDraft) and draft.topic == _ROLE:
            since = draft.happened_at if draft.since is None else draft.since
            given.setdefault(draft.name, {})[since] = draft.body
    return Roles(plant, given)
