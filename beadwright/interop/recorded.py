"""The record, as the reader of files asks it (see ``sheets.known.Known``)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from beadwright.interop.sheets.known import KnownLot, KnownSetting, Made
from beadwright.ledger import decided, entered, lots, matching, people, said, settings
from beadwright.ledger.draft import Decision, Draft, Material, ReadingsDraft, StepDraft
from beadwright.plant.block_age import runs_of
from beadwright.plant.kept_curves import CurveRead, read_already
from beadwright.quality.specimens import lots_of

__all__ = ["Recorded", "RecordedOneByOne"]


class Recorded:
    """One plant's record; answers are kept for as long as one reading lasts."""

    def __init__(self, plant: str) -> None:
        """Ask about a plant that is in the store."""
        self._plant = plant
        self._no = lots.plant_number(plant)
        self._settings = settings.load(self._no)
        self._people = people.names(plant)
        self._lots: dict[str, KnownLot] | None = None

    def zone(self) -> str:
        """Return the plant's time zone, by the newest of its settings."""
        versions = self._settings.versions("plant", self._plant)
        return str(versions[-1][1]["zone"]) if versions else ""

    def lot(self, code: str) -> KnownLot | None:
        """Return the lot of that code; all are read at once, for a file asks about many."""
        if self._lots is None:
            self._lots = {
                code: KnownLot(Material(kind), unit_mg, product, born)
                for code, kind, unit_mg, product, born in lots.introduced(self._no)
            }
        return self._lots.get(code)

    def settings(self, topic: str, name: str) -> Sequence[KnownSetting]:
        """Return every dated version of a setting, oldest first."""
        return [KnownSetting(since, body) for since, body in self._settings.versions(topic, name)]

    def person(self, initials: str) -> str | None:
        """Return the id of the person who signs with these initials."""
        found = self._people.get(initials)
        return None if found is None else found.person

    def posted(self, key: str) -> Draft | None:
        """Return what was first posted under a client key."""
        return said.posted(self._plant, self._no, key)

    def step(self, key: str, before: str = "") -> StepDraft | None:
        """Return the newest version of a step, or the one that a correction restated."""
        return said.step(self._plant, self._no, key, before)

    def users(self, code: str) -> Sequence[StepDraft]:
        """Return the newest versions of the steps that took pieces of a lot."""
        touches = lots.touches(self._no, code)
        keys = dict.fromkeys(one.step for one in touches if one.sign < 0 and one.pieces)
        return [step for key in keys if (step := self.step(key)) is not None]

    def made(self, codes: Iterable[str]) -> Mapping[str, Mapping[str, Made]]:
        """Return the mould runs that brought pieces of lots, by lot and client key."""
        return {
            code: {
                one.step: Made(*run, one.pieces, one.facts.get("mould", ""))
                for one in steps
                for run in runs_of([one])
            }
            for code, steps in lots.makings(self._no, codes).items()
        }

    def readings(self, key: str) -> ReadingsDraft | None:
        """Return a readings draft as it was posted."""
        return said.readings(self._plant, self._no, key)

    def expansions(self, run: str) -> Sequence[StepDraft]:
        """Return the expansion steps of a run as they were first posted."""
        return said.run_steps(self._plant, self._no, run, "expand")

    def receivers(self) -> frozenset[str]:
        """Return everybody who has, or had, something of the plant."""
        return frozenset(matching.receivers(self._no))

    def curve_read(self, sha256: str) -> Sequence[CurveRead]:
        """Return the results that were read from the same specimen of the same file."""
        return read_already(self._plant, sha256)

    def specimens(self, names: Iterable[str]) -> Mapping[str, Sequence[str]]:
        """Return the lots that readings name each specimen with."""
        return lots_of(self._no, names)

    def names(self, topic: str) -> Iterable[str]:
        """Return every name that a topic of the settings has."""
        return self._settings.names(topic)

    def decisions(self, kind: str, about: str) -> Sequence[Decision]:
        """Return the decisions of a kind about something, as they were posted."""
        seqs = [one.seq for one in decided.of_kinds(self._no, kind) if one.about == about]
        found = entered.by_number(self._plant, seqs)
        drafts = (found[seq].draft for seq in seqs)
        return [draft for draft in drafts if isinstance(draft, Decision)]


class RecordedOneByOne(Recorded):
    """One plant's record for a form, which asks about a few lots only."""

    def lot(self, code: str) -> KnownLot | None:
        """Return the lot of that code."""
        view = lots.get(self._no, code)
        if view is None:
            return None
        born = entered.by_number(self._plant, [view.seq])[view.seq].draft.key
        return KnownLot(Material(view.kind), view.unit_mg, view.product, born)
