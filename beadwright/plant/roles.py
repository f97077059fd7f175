"""Roles and the plant's zone, as drafts at the door find them: in the record, or beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from zoneinfo import ZoneInfo

from beadwright.ledger import lots, settings
from beadwright.ledger.draft import Decision, Draft, SettingDraft
from beadwright.plant.upstream import zone_of

__all__ = ["Roles", "roles"]

_ROLE = "role"
_PLANT = "plant"


class Roles:
    """Roles by name and time; the record is read when one is asked for."""

    def __init__(
        self, plant: str, given: Mapping[str, Mapping[int, Mapping[str, object]]], zone: str = ""
    ) -> None:
        """Take a plant's code, and what is given beside: roles by name and since when, a zone."""
        self._plant, self._given, self._zone = plant, given, zone
        self._known: settings.Settings | None = None

    def at(self, topic: str, name: str, at_ms: int) -> Mapping[str, object] | None:
        """Give the body in force at that time, or None; of one date the one given beside."""
        versions = {**dict(self._recorded().versions(topic, name)), **self._given.get(name, {})}
        since = max((one for one in versions if one <= at_ms), default=None)
        return None if since is None else versions[since]

    def zone(self) -> ZoneInfo:
        """Give the plant's time zone; UTC where nobody says."""
        try:
            return ZoneInfo(self._zone) if self._zone else zone_of(self._recorded())
        except (KeyError, ValueError):  # no zone: the setting is refused by itself
            return ZoneInfo("UTC")

    def every(self, draft: Decision) -> str:
        """Say how often the instrument of a calibration is calibrated; empty where none is."""
        if draft.kind != "calibration":
            return ""
        listed = self._recorded().at("instrument", draft.about, draft.happened_at)
        return "" if listed is None else str(listed.get("every", ""))

    def _recorded(self) -> settings.Settings:
        if self._known is None:
            there = self._plant in lots.plants()
            no = lots.plant_number(self._plant) if there else 0
            self._known = settings.load(no) if there else settings.Settings(())
        return self._known


def roles(plant: str, drafts: Iterable[Draft]) -> Roles:
    """Give the roles of a plant as the record has them once these drafts are in."""
    given: dict[str, dict[int, Mapping[str, object]]] = {}
    zone = ""
    for draft in drafts:
        if isinstance(draft, SettingDraft) and draft.topic == _PLANT:
            zone = str(draft.body.get("zone", ""))
        if isinstance(draft, SettingDraft) and draft.topic == _ROLE:
            since = draft.happened_at if draft.since is None else draft.since
            given.setdefault(draft.name, {})[since] = draft.body
    return Roles(plant, given, zone)
