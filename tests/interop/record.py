"""A record that remembers the drafts it was given: what the reader asks of a store, in memory."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from beadwright.interop.sheets import KnownLot, KnownSetting, Person
from beadwright.interop.sheets.known import Made
from beadwright.ledger.draft import (
    Correction,
    Decision,
    Draft,
    ReadingsDraft,
    SettingDraft,
    StepDraft,
)
from beadwright.plant.kept_curves import CurveRead

__all__ = ["MemoryRecord"]


class MemoryRecord:
    """Answers as a store would that had posted these drafts in this order."""

    def __init__(self, drafts: Iterable[Draft] = (), people: Iterable[Person] = ()) -> None:
        self.lots: dict[str, KnownLot] = {}
        self.versions: dict[tuple[str, str], dict[int, KnownSetting]] = defaultdict(dict)
        self.steps: dict[str, list[tuple[str, StepDraft]]] = defaultdict(list)
        self.first: dict[str, Draft] = {}
        self.taken: dict[str, ReadingsDraft] = {}
        self.people = {person.initials: person.id for person in people}
        for draft in drafts:
            self.post(draft)

    def post(self, draft: Draft) -> None:
        """Remember a draft; a key posts once."""
        self.first.setdefault(draft.key, draft)
        if isinstance(draft, SettingDraft):
            version = KnownSetting(draft.happened_at, draft.body)
            self.versions[draft.topic, draft.name].setdefault(draft.happened_at, version)
        elif isinstance(draft, StepDraft):
            if draft.key not in self.steps:
                self._step("", draft)
        elif isinstance(draft, Correction):
            if draft.key not in {key for key, _ in self.steps[draft.step]}:
                self._step(draft.key, draft.restated)
        elif isinstance(draft, ReadingsDraft):
            self.taken.setdefault(draft.key, draft)

    def _step(self, correction: str, step: StepDraft) -> None:
        self.steps[step.key].append((correction, step))
        for lot in step.new_lots:
            known = KnownLot(lot.kind, lot.unit_mg, lot.product, step.key)
            if self.lots.setdefault(lot.code, known).born == step.key:
                self.lots[lot.code] = known

    def zone(self) -> str:
        """Return the plant's time zone, by the newest of its settings."""
        plants = [versions for (topic, _), versions in self.versions.items() if topic == "plant"]
        newest = [versions[max(versions)] for versions in plants if versions]
        return str(newest[0].body["zone"]) if newest else ""

    def lot(self, code: str) -> KnownLot | None:
        """Return the lot of that code."""
        return self.lots.get(code)

    def settings(self, topic: str, name: str) -> Sequence[KnownSetting]:
        """Return every dated version, oldest first."""
        versions = self.versions.get((topic, name), {})
        return [versions[since] for since in sorted(versions)]

    def person(self, initials: str) -> str | None:
        """Return a person's id."""
        return self.people.get(initials)

    def posted(self, key: str) -> Draft | None:
        """Return what was first posted under a key."""
        return self.first.get(key)

    def step(self, key: str, before: str = "") -> StepDraft | None:
        """Return the newest version, or the one a correction restated."""
        versions = self.steps.get(key, [])
        if not before:
            return versions[-1][1] if versions else None
        for (_, earlier), (correction, _) in pairwise(versions):
            if correction == before:
                return earlier
        return None

    def users(self, code: str) -> Sequence[StepDraft]:
        """Return the newest versions of steps that took pieces of a lot."""
        newest = (versions[-1][1] for versions in self.steps.values() if versions)
        return [
            step
            for step in newest
            if any(line.lot == code and line.sign < 0 and line.pieces for line in step.lines)
        ]

    def made(self, codes: Iterable[str]) -> Mapping[str, Mapping[str, Made]]:
        """Return the mould runs of lots."""
        found: dict[str, dict[str, Made]] = {}
        for versions in self.steps.values():
            step = versions[-1][1] if versions else None
            for line in step.lines if step is not None and step.kind == "mould" else ():
                if step is not None and line.sign > 0 and line.lot in set(codes):
                    started, ended = (int(step.facts[name]) for name in ("started", "ended"))
                    made = Made(started, ended, line.pieces)
                    found.setdefault(line.lot, {})[step.key] = made
        return found

    def curve_read(self, sha256: str) -> Sequence[CurveRead]:
        """Know no result of a curve: sheets of these tests name none."""
        assert not sha256
        return ()

    def specimens(self, names: Iterable[str]) -> Mapping[str, Sequence[str]]:
        """Return the lots of specimens."""
        wanted, found = set(names), defaultdict[str, list[str]](list)
        for draft in self.taken.values():
            for one in draft.readings:
                if one.specimen in wanted and one.lot and one.lot not in found[one.specimen]:
                    found[one.specimen].append(one.lot)
        return found

    def names(self, topic: str) -> Sequence[str]:
        """Return every name that a topic has."""
        return [name for of, name in self.versions if of == topic]

    def decisions(self, kind: str, about: str) -> Sequence[Decision]:
        """Return the decisions of a kind about something."""
        return [
            one
            for one in self.first.values()
            if isinstance(one, Decision) and (one.kind, one.about) == (kind, about)
        ]

    def receivers(self) -> frozenset[str]:
        """Return everybody whom anything was shipped to."""
        places = (
            line.place
            for versions in self.steps.values()
            for _, step in versions
            for line in step.lines
        )
        return frozenset(
            place.removeprefix("outside:") for place in places if place.startswith("outside:")
        )

    def readings(self, key: str) -> ReadingsDraft | None:
        """Return readings as posted."""
        return self.taken.get(key)

    def expansions(self, run: str) -> Sequence[StepDraft]:
        """Return the expansion steps of a run as first posted."""
        first = (versions[0][1] for versions in self.steps.values() if versions)
        return [step for step in first if step.kind == "expand" and step.run == run]
