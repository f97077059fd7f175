"""A tiny plant for tests: settings in one call, then a line for each thing that happens.

Read :class:`Yard` first. Times are hours since the plant's first day; masses are in kg; every
draft goes through the door, as an engineer who keys what has happened.

::

    yard = Yard.open()
    yard.block_lot("L1", good=40)
    yard.weigh("L1", "24h", [3.2, 3.21, 3.19], at=60)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from beadwright.ledger import lots
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Draft,
    Evidence,
    Hold,
    Label,
    Lift,
    Line,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.record import Posted
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES

__all__ = ["DAY", "FORM", "HOUR", "MASSES", "T0", "Yard", "ms"]

T0 = 1_788_238_800_000
"""1 September 2026, midnight in the plant's zone (America/Chicago)."""

HOUR = 3_600_000
DAY = 24 * HOUR
_KG = 1_000_000
_NOW = T0 + 60 * DAY

MASSES = {"press": "wet_block_mass", "24h": "block_mass_24h", "dry": "dry_block_mass"}

FORM: dict[str, Any] = {
    "family": "form",
    "title": "Straight block",
    "ties": 6,
    "foam_volume": "65.0 L",
    "foam_mass": "1.495 kg",
    "bundle": 20,
    "moisture": {"press": "0.04", "24h": "0.01", "dry": "0"},
}
"""A form block of 23.0 kg/m3; six ties."""


def ms(hours: float) -> int:
    """UTC milliseconds of an hour of the plant."""
    return T0 + round(hours * HOUR)


@dataclass
class Yard:
    """A plant with its door; each method posts one draft and says what the record gave back."""

    door: Door
    no: int = 0
    who: Who = field(default_factory=lambda: Who("install", Role.ENGINEER))
    steps: dict[str, StepDraft] = field(default_factory=dict)
    _count: int = 0
    _run: int = 0

    @classmethod
    def open(cls, plant: str = "P1", silos: Sequence[str] = ("S1", "S2")) -> Yard:
        """Make a plant with product FB6, grades F1 and PK1 (packaging), ties T6 and silos.

        P-01, P-09, P-13 and P-14 are its engineers.
        """
        yard = cls(Door(plant, RULES, clock=lambda: _NOW))
        yard.set("plant", plant, name="Yard", zone="America/Chicago")
        yard.no = lots.plant_number(plant)
        yard.set("product", "FB6", FORM)
        yard.set("approved", "FB6", revision="R1", grades=["F1", "T6"])
        yard.set("ageing", "F1", min_h="8", max_h="96")
        yard.set("place", "FP1", kind="press")
        for silo in silos:
            yard.set("place", silo, kind="silo", content=True)
        for person in ("P-01", "P-09", "P-13", "P-14"):
            yard.set("role", person, role="engineer")
        return yard

    # -- settings and limits -----------------------------------------------------------------

    def set(
        self,
        topic: str,
        name: str,
        given: Mapping[str, object] | None = None,
        /,
        *,
        since: float = 0,
        **more: object,
    ) -> Posted:
        """Set something, in force from an hour on."""
        body = {**(given or {}), **more}
        draft = SettingDraft(self._key("setting"), ms(since), topic, name, body, ms(since))
        return self.post(draft)

    def limit(self, name: str, characteristic: str, bound: str, value: str, **more: Any) -> Posted:
        """Set a limit of the plant's own on product FB6; each, unless ``statistic`` says mean."""
        body = {
            "product": "FB6",
            "characteristic": characteristic,
            "bound": bound,
            "value": value,
            "statistic": "each",
            "source": "signed limits, sheet 1",
            "evidence": "lot_test",
        }
        since = float(more.pop("since", 0))
        return self.set("limit", name, {**body, **more}, since=since)

    # -- what happens to material ------------------------------------------------------------

    def bag(
        self, code: str, kg: float = 1000, grade: str = "F1", at: float = 0, *, lot: str = ""
    ) -> Posted:
        """Receive a bag of beads; ``lot``: the supplier's own."""
        labels = (Label("a supplier", lot),) if lot else ()
        new = NewLot(code, Material.BEAD, "bag", grades=(grade,), labels=labels)
        return self.step("receipt", at, [Line(code, 1, _mg(kg), keyed=f"{kg} kg")], new)

    def carton(self, code: str, pieces: int = 1000, unit_kg: float = 0.27, at: float = 0) -> Posted:
        """Receive a carton of ties."""
        new = NewLot(code, Material.TIE, "carton", grades=("T6",), unit_mg=_mg(unit_kg))
        line = Line(code, 1, pieces * _mg(unit_kg), pieces, keyed=f"{pieces} pcs")
        return self.step("receipt", at, [line], new)

    def expand(self, bag: str, silo: str, kg: float = 400, at: float = 2) -> Posted:
        """Expand beads out of a bag into a silo."""
        mg = _mg(kg)
        lines = [Line(bag, -1, mg, keyed=f"{kg} kg"), Line(silo, 1, mg, keyed=f"{kg} kg")]
        return self.step("expand", at, lines)

    def transfer(self, source: str, silo: str, kg: float, at: float) -> Posted:
        """Move foam from one place to another."""
        return self.step("fill", at, [Line(source, -1, _mg(kg)), Line(silo, 1, _mg(kg))])

    def sweep(self, silo: str, at: float) -> Posted:
        """Sweep a silo empty."""
        return self.step("swept_empty", at, [Line(silo, 0, 0)])

    def mould(
        self,
        lot: str,
        silo: str = "S1",
        carton: str = "T-1",
        *,
        good: int = 40,
        at: float = 20,
        **more: Any,
    ) -> Posted:
        """Mould good blocks; ``foam_kg`` a block, ``unit_kg`` of a tie, ``product``, ``mould``."""
        foam, unit = _mg(more.get("foam_kg", 1.495)), _mg(more.get("unit_kg", 0.27))
        product, ties = more.get("product", "FB6"), more.get("ties", 6) * good
        lines = [Line(silo, -1, good * foam, 0, Evidence.BACKFLUSHED)]
        if carton:
            lines.append(Line(carton, -1, ties * unit, ties, Evidence.COUNTED))
        tie_mg = ties * unit if carton else 0
        lines.append(Line(lot, 1, good * foam + tie_mg, good, Evidence.COUNTED))
        block = foam + tie_mg // good
        new = NewLot(lot, Material.BLOCK, "mould run", product, unit_mg=block)
        news = () if lots.get(self.no, lot) else (new,)
        said = {"mould": more["mould"]} if "mould" in more else {}
        return self.step("mould", at, lines, *news, product=product, place="FP1", facts=said)

    def block_lot(self, lot: str = "L1", *, good: int = 40, at: float = 20) -> Posted:
        """One block lot of product FB6 with everything behind it: bag B-1, silo S1, carton T-1."""
        if lots.get(self.no, "B-1") is None:
            self.bag("B-1")
            self.carton("T-1")
            self.expand("B-1", "S1")
        return self.mould(lot, good=good, at=at)

    def bundle(self, code: str, lot: str, pieces: int, at: float = 50) -> Posted:
        """Put pieces of a lot into a bundle."""
        return self._take("bundle", (lot, code), pieces, at, "")

    def ship(
        self, code: str, what: str, pieces: int, receiver: str = "QUARRY LANE", at: float = 70
    ) -> Posted:
        """Ship pieces of a lot or a bundle to a receiver."""
        return self._take("ship", (what, code), pieces, at, f"outside:{receiver}")

    def _take(self, kind: str, way: tuple[str, str], pieces: int, at: float, place: str) -> Posted:
        source = lots.get(self.no, way[0])
        assert source is not None
        mg = pieces * source.unit_mg
        lines = [
            Line(way[0], -1, mg, pieces, Evidence.COUNTED),
            Line(way[1], 1, mg, pieces, Evidence.COUNTED, place=place),
        ]
        what = "shipment" if kind == "ship" else kind
        new = NewLot(way[1], Material.BLOCK, what, source.product, unit_mg=source.unit_mg)
        return self.step(kind, at, lines, *(() if lots.get(self.no, way[1]) else (new,)))

    # -- readings ----------------------------------------------------------------------------

    def weigh(
        self, lot: str, state: str, kg: Sequence[float], at: float = 60, first: int = 1
    ) -> str:
        """Weigh blocks in a state; the specimens are called after it (W1, D1, Y1 …)."""
        letter = {"press": "W", "24h": "D", "dry": "Y"}[state]
        facts = {"state": state, "age_h": {"press": "0.2", "24h": "26", "dry": "200"}[state]}
        readings = [
            Reading(MASSES[state], f"{mass:.4f}", "kg", lot=lot, specimen=f"{letter}{i}",
                    instrument="BAL-1", facts=facts)
            for i, mass in enumerate(kg, first)
        ]  # fmt: skip
        return self.read(readings, at)

    def gauge(
        self,
        lot: str,
        dimension: str,
        values: Sequence[str],
        at: float = 60,
        facts: Mapping[str, str] | None = None,
    ) -> str:
        """Measure a dimension, each value with its unit; a day old unless ``facts`` differ."""
        facts = facts or {"state": "24h", "age_h": "26"}
        readings = [
            Reading(dimension, number, unit, lot=lot, specimen=f"D{i}", facts=facts)
            for i, (number, unit) in enumerate((value.split(" ") for value in values), 1)
        ]
        return self.read(readings, at)

    def look_over(self, lot: str, checked: int, at: float = 61, cavity: int = 0, **bad: int) -> str:
        """Count defective pieces by kind; of one cavity, where that is said."""
        facts = {"cavity": str(cavity)} if cavity else {}
        counts = {"checked": checked, **{f"defective_{kind}": n for kind, n in bad.items()}}
        some = [Reading(name, str(n), "pcs", lot=lot, facts=facts) for name, n in counts.items()]
        return self.read(some, at)

    def cup(self, silo: str, where: str, grams: str, at: float, step: str = "") -> str:
        """Weigh a cup of 10 L of beads of a silo."""
        facts = {"place": where, "cup_volume": "10 L"}
        return self.read([Reading("cup_weight", grams, "g", lot=silo, step=step, facts=facts)], at)

    def read(self, readings: Sequence[Reading], at: float = 60) -> str:
        """Post readings taken together; gives their client key."""
        key = self._key("readings")
        self.post(ReadingsDraft(key, ms(at), tuple(readings)))
        return key

    def void(self, key: str, at: float = 80) -> Posted:
        """Take readings out of every later answer."""
        return self.post(Void(self._key("void"), ms(at), key, "wrong block weighed"))

    # -- decisions ---------------------------------------------------------------------------

    def hold(self, hold: str, *codes: str, at: float = 75, reason: str = "smell") -> Posted:
        """Put lots on hold."""
        return self.post(Hold(self._key("hold"), ms(at), hold, reason, codes, by="P-13"))

    def lift(self, hold: str, *codes: str, at: float = 78) -> Posted:
        """Lift a hold from lots."""
        return self.post(Lift(self._key("lift"), ms(at), hold, "looked into", codes))

    def concede(self, cause: str, covers: Sequence[str], at: float = 79) -> Posted:
        """Give a concession."""
        key = self._key("concession")
        return self.post(Concession(key, ms(at), cause, "strength tested", tuple(covers)))

    def release(self, lot: str, evidence: str, at: float = 79) -> Posted:
        """Release a lot over its evidence."""
        return self.post(Release(self._key("release"), ms(at), lot, evidence, by="P-13"))

    def correct(self, key: str, at: float = 81, **changes: Any) -> Posted:
        """Restate a step with changes."""
        restated = replace(self.steps[key], **changes)
        self.steps[key] = restated
        return self.post(Correction(self._key("correct"), key, restated, "mistyped", ms(at)))

    def draw_ties_of(self, key: str, carton: str, unit_kg: float) -> Posted:
        """Restate a mould run as having drawn its ties from another carton."""
        old = self.steps[key]
        lines = [
            replace(line, lot=carton, mg=line.pieces * _mg(unit_kg)) if line.lot == "T-1" else line
            for line in old.lines
        ]
        rest = -sum(line.sign * line.mg for line in lines)
        return self.correct(key, lines=tuple(lines), remainder_mg=rest)

    # -- the door ----------------------------------------------------------------------------

    def step(
        self, kind: str, at: float, lines: Sequence[Line], *new: NewLot, **more: Any
    ) -> Posted:
        """Post a step that has happened; what does not add up is its remainder."""
        rest = 0 if kind == "receipt" else -sum(line.sign * line.mg for line in lines)
        draft = StepDraft(self._key(kind), kind, ms(at), tuple(lines), (), rest, tuple(new), **more)
        self.steps[draft.key] = draft
        return self.post(draft)

    def post(self, draft: Draft) -> Posted:
        """Bring a draft to the door."""
        return self.door.post(draft, self.who)

    def _key(self, kind: str) -> str:
        self._count += 1
        return f"{kind}/{self._count}"

    def facts(self, code: str) -> Mapping[str, object]:
        """What the store says of a lot, for a test's own look."""
        view = lots.get(self.no, code)
        assert view is not None
        return {"pieces": view.pieces, "place": view.place, "causes": view.causes}


def _mg(kg: float) -> int:
    return round(kg * _KG)
