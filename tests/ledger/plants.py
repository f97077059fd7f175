"""Small plants at random: what is drawn becomes drafts that the door takes.

Read :class:`Yardful`: a cast of bags, cartons, silos and bins, and one method per thing that may
happen. Times are coarse on purpose, so that many things share an instant.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from beadwright.errors import Refusal
from beadwright.ledger import holds, lots
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Draft,
    Evidence,
    Hold,
    Lift,
    Line,
    Loss,
    Material,
    NewLot,
    Reversal,
    SettingDraft,
    StepDraft,
)
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES

__all__ = ["BAGS", "CARTONS", "KG", "NOW", "PLACES", "T0", "Yardful", "first_settings", "open_yard"]

T0 = 1_788_000_000_000
HALF_HOUR = 1_800_000
NOW = T0 + 400 * HALF_HOUR
KG = 1_000_000
TIE_MG = 40_000

BAGS = {"B1": "F1", "B2": "F1", "B3": "F2", "B4": "PK"}
CARTONS = {"T1": "TA", "T2": "TB"}
PLACES = ("S1", "S2", "H1")
_ENGINEER = Who("install", Role.ENGINEER)


def first_settings() -> list[SettingDraft]:
    """Give the settings every such plant begins with."""
    rows: list[tuple[str, str, dict[str, object]]] = [
        ("product", "FB", {"family": "form", "ties": 5}),
        ("product", "PKG", {"family": "packaging"}),
        ("approved", "FB", {"revision": "R1", "grades": ["F1", "TA", "TB"]}),
        ("ageing", "F1", {"min_h": "4", "max_h": "60"}),
        ("place", "S1", {"kind": "silo", "content": True, "accepts": ["F1", "F2"]}),
        ("place", "S2", {"kind": "silo", "content": True}),
        ("place", "H1", {"kind": "hopper", "content": True}),
    ]
    return [SettingDraft(f"set/{t}/{n}", T0, t, n, body, T0) for t, n, body in rows]


def _receipts() -> list[StepDraft]:
    found = []
    for code, grade in BAGS.items():
        new = NewLot(code, Material.BEAD, "bag", grades=(grade,))
        line = Line(code, 1, 900 * KG, keyed="900 kg")
        found.append(StepDraft(f"in/{code}", "receipt", T0, (line,), new_lots=(new,)))
    for code, grade in CARTONS.items():
        new = NewLot(code, Material.TIE, "carton", grades=(grade,), unit_mg=TIE_MG)
        line = Line(code, 1, 4000 * TIE_MG, 4000, keyed="4000 pcs")
        found.append(StepDraft(f"in/{code}", "receipt", T0, (line,), new_lots=(new,)))
    new = NewLot("BIN", Material.SCRAP, "bin")
    line = Line("BIN", 1, KG, keyed="1 kg")
    found.append(StepDraft("in/BIN", "receipt", T0, (line,), new_lots=(new,)))
    return found


@dataclass
class Yardful:
    """A plant under test: its door, and everything that was posted to it, in order."""

    door: Door
    no: int
    posted: list[Draft] = field(default_factory=list)
    steps: dict[str, StepDraft] = field(default_factory=dict)
    moulded: list[str] = field(default_factory=list)
    packed: list[str] = field(default_factory=list)
    ground: list[str] = field(default_factory=list)
    held: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    count: int = 0

    def post(self, draft: Draft) -> bool:
        """Post a draft; False where the record refuses it."""
        try:
            self.door.post(draft, _ENGINEER)
        except Refusal:
            return False
        self.posted.append(draft)
        if isinstance(draft, StepDraft):
            self.steps[draft.key] = draft
        return True

    def key(self) -> str:
        """Give a client key of its own."""
        self.count += 1
        return f"k/{self.count}"

    def at(self, slot: int) -> int:
        """Give the time of a slot, from 1."""
        return T0 + slot * HALF_HOUR

    def expand(self, slot: int, bag: str, place: str, kg: int) -> bool:
        """Expand from a bag into a silo, losing a little and a little more unnamed."""
        lost, rest = kg * KG // 50, kg % 7 * 1000
        lines = (
            Line(bag, -1, kg * KG, keyed=f"{kg} kg"),
            Line(place, 1, kg * KG - lost - rest, evidence=Evidence.BACKFLUSHED),
        )
        losses = (Loss("pentane", lost),)
        return self.post(
            StepDraft(self.key(), "expand", self.at(slot), lines, losses, remainder_mg=rest)
        )

    def fill(self, slot: int, source: str, place: str, kg: int) -> bool:
        """Blow beads, or regrind, from one lot into a place."""
        if source == place:
            return False
        lines = (
            Line(source, -1, kg * KG, evidence=Evidence.BACKFLUSHED),
            Line(place, 1, kg * KG, evidence=Evidence.BACKFLUSHED),
        )
        return self.post(StepDraft(self.key(), "fill", self.at(slot), lines))

    def mould(self, slot: int, where: tuple[str, str], pieces: int, *, again: bool) -> bool:
        """Mould blocks; a part of what goes in ends in the bin. Sometimes into a lot there is."""
        source, carton = where
        foam, unit = pieces * KG * 3 // 2, KG * 3 // 2 + 5 * TIE_MG
        good = pieces - pieces // 10
        code = self.moulded[-1] if again and self.moulded else f"M{self.count + 1}"
        lines = (
            Line(source, -1, foam, evidence=Evidence.BACKFLUSHED),
            Line(carton, -1, 5 * pieces * TIE_MG, 5 * pieces, Evidence.COUNTED),
            Line(code, 1, good * unit, good, Evidence.COUNTED),
            Line("BIN", 1, (pieces - good) * unit, evidence=Evidence.BACKFLUSHED),
        )
        new = NewLot(code, Material.BLOCK, "mould run", "FB", unit_mg=unit)
        news = () if code in self.moulded else (new,)
        draft = StepDraft(
            self.key(), "mould", self.at(slot), lines, new_lots=news, product="FB", place="P1"
        )
        done = self.post(draft)
        if done and news:
            self.moulded.append(code)
        return done

    def bundle(self, slot: int, sources: Sequence[str], pieces: int) -> bool:
        """Bundle pieces of one or several block lots."""
        unit = KG * 3 // 2 + 5 * TIE_MG
        code = f"U{self.count + 1}"
        parts = tuple(Line(s, -1, pieces * unit, pieces, Evidence.COUNTED) for s in sources)
        total = pieces * len(sources)
        lines = (*parts, Line(code, 1, total * unit, total, Evidence.COUNTED, place="YARD"))
        new = NewLot(code, Material.BLOCK, "bundle", "FB", unit_mg=unit)
        done = self.post(StepDraft(self.key(), "bundle", self.at(slot), lines, new_lots=(new,)))
        if done:
            self.packed.append(code)
        return done

    def grind(self, slot: int, kg: int) -> bool:
        """Grind out of the bin."""
        code = f"R{self.count + 1}"
        new = NewLot(code, Material.REGRIND, "bag")
        lines = (Line("BIN", -1, kg * KG, keyed=f"{kg} kg"), Line(code, 1, kg * KG, keyed="1 kg"))
        done = self.post(StepDraft(self.key(), "grind", self.at(slot), lines, new_lots=(new,)))
        if done:
            self.ground.append(code)
        return done

    def state(self, slot: int, kind: str, lot: str, kg: int = 0) -> bool:
        """Say that a place ran empty or was swept, or what a count found."""
        mg = kg * KG if kind == "stocktake" else 0
        keyed = f"{kg} kg" if mg else ""
        return self.post(
            StepDraft(self.key(), kind, self.at(slot), (Line(lot, 0, mg, keyed=keyed),))
        )

    def hold(self, slot: int, chosen: Sequence[str]) -> bool:
        """Put lots, or one place, on hold."""
        name = f"H{self.count + 1}"
        done = self.post(Hold(self.key(), self.at(slot), name, "why", tuple(chosen)))
        if done:
            self.held.append((name, tuple(chosen)))
        return done

    def lift(self, slot: int, which: int, chosen: Sequence[str]) -> bool:
        """Lift a hold for some lots."""
        if not self.held:
            return False
        name = self.held[which % len(self.held)][0]
        return self.post(Lift(self.key(), self.at(slot), name, "why", tuple(chosen)))

    def concede(self, slot: int, which: int) -> bool:
        """Give a concession on a cause there is."""
        there = holds.nonconformities(self.no)
        if not there:
            return False
        cause = there[which % len(there)].cause
        covers = tuple(one.mark for one in there if one.cause == cause)
        return self.post(Concession(self.key(), self.at(slot), cause, "why", covers))

    def correct(self, which: int, slot: int, share: int) -> bool:
        """Restate a step: at another time, and with another share of its masses."""
        keys = [k for k in self.steps if not k.startswith("in/")]
        if not keys:
            return False
        old = self.steps[keys[which % len(keys)]]
        lines = tuple(
            replace(line, mg=line.mg * share, pieces=line.pieces * share) for line in old.lines
        )
        losses = tuple(replace(loss, mg=loss.mg * share) for loss in old.losses)
        new = replace(
            old, happened_at=self.at(slot), lines=lines, losses=losses,
            remainder_mg=old.remainder_mg * share,
        )  # fmt: skip
        done = self.post(Correction(self.key(), old.key, new, "why", NOW))
        if done:
            self.steps[old.key] = new
        return done

    def reverse(self, which: int) -> bool:
        """Undo a step, where its outputs have not moved."""
        keys = [k for k in self.steps if not k.startswith("in/")]
        if not keys:
            return False
        key = keys[which % len(keys)]
        done = self.post(Reversal(self.key(), key, "why", NOW))
        if done:
            del self.steps[key]
        return done

    def sign(self, slot: int, hours: int) -> bool:
        """Sign other hours of ageing, from a time that may lie in the past."""
        body = {"min_h": str(hours), "max_h": "60"}
        return self.post(SettingDraft(self.key(), NOW, "ageing", "F1", body, self.at(slot)))


def open_yard(plant: str) -> Yardful:
    """Make a plant with its settings and its first receipts."""
    door = Door(plant, RULES, clock=lambda: NOW)
    for setting in first_settings():
        door.post(setting, _ENGINEER)
    yard = Yardful(door, lots.plant_number(plant))
    for receipt in _receipts():
        yard.post(receipt)
    return yard
