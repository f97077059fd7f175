"""Everything a row may refer to: people, settings and lots, of these files and of the record.

Which row brings a lot into the record must not depend on what else is imported with it, or the
same file would give other drafts the second time. So a lot known to the record is introduced again
by the very row that introduced it there, and by no other; a new one by its earliest row.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from beadwright.errors import Fault, UnitError
from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.known import Known, KnownLot, KnownSetting, Person
from beadwright.ledger.draft import Material, NewLot
from beadwright.units import parse_number, to_mg

__all__ = ["Expansion", "Order", "Product", "Register"]

Order = tuple[int, int, int]
"""Where a row stands among all: its time, its file, its number."""


@dataclass(frozen=True, slots=True)
class Product:
    """What the reader needs of a product's setting."""

    name: str
    packaging: bool
    ties: int
    foam_mg: int
    """Target mass of one block's foam, dry, net of ties; 0 where none is set."""

    @property
    def material(self) -> Material:
        """Kind of lot that its blocks are."""
        return Material.PACKAGING if self.packaging else Material.BLOCK


class Expansion(NamedTuple):
    """An expansion step, as far as a cup needs it."""

    key: str
    silo: str
    started: int
    ended: int


class _Birth(NamedTuple):
    order: Order
    key: str
    lot: NewLot
    doubtful: bool


_COUNTED = frozenset({Material.TIE, Material.BLOCK, Material.PACKAGING})


class Register:
    """What is known while the rows of an intake are read; collects their faults."""

    def __init__(self, known: Known) -> None:
        """Start with what the record knows."""
        self.known = known
        self.faults: list[Fault] = []
        self.people: dict[str, Person] = {}
        self.sheets_unread = False
        """A sheet could not be read: a lot nobody knows may stand in it, so none is faulted."""
        self.settings_unread = False
        """Likewise for people, products, grades and places."""
        self.missed = False
        """Something was not known, and not faulted because settings could not be read."""
        self.read_of: dict[tuple[str, str], str] = {}
        """Row that reads a curve for a characteristic, by both: none counts twice."""
        self._stated: dict[tuple[str, str], list[KnownSetting]] = {}
        self._versions: dict[tuple[str, str], list[KnownSetting]] = {}
        self._products: dict[tuple[str, int], Product] = {}
        self._persons: dict[str, str | None] = {}
        self._recorded: dict[str, KnownLot | None] = {}
        self._births: dict[str, _Birth] = {}
        self._newer: set[str] = set()
        self._lots: dict[str, KnownLot] = {}
        self._runs: dict[str, dict[str, Expansion]] = {}
        self._known_runs: set[str] = set()

    def state(self, topic: str, name: str, version: KnownSetting) -> None:
        """Add a dated setting that these files state."""
        self._stated.setdefault((topic, name), []).append(version)
        self._versions.pop((topic, name), None)

    def person(self, initials: str) -> str | None:
        """Return the id of the person who signs with these initials."""
        if initials in self.people:
            return self.people[initials].id
        if initials not in self._persons:
            self._persons[initials] = self.known.person(initials)
        found = self._persons[initials]
        if found is None and self.settings_unread:
            self.missed = True
            return initials
        return found

    def setting(self, topic: str, name: str, at_ms: int) -> KnownSetting | None:
        """Return the version of a setting in force at a time."""
        found = None
        for version in self.versions(topic, name):
            if version.since > at_ms:
                break
            found = version
        return found

    def versions(self, topic: str, name: str) -> list[KnownSetting]:
        """Return every version of a setting, oldest first; what these files state wins."""
        key = (topic, name)
        if key not in self._versions:
            merged = {one.since: one for one in self.known.settings(topic, name)}
            merged.update((one.since, one) for one in self._stated.get(key, ()))
            self._versions[key] = [merged[since] for since in sorted(merged)]
        return self._versions[key]

    def names(self, topic: str) -> list[str]:
        """Return every name that a topic has, in these files or in the record."""
        stated = {name for of, name in self._stated if of == topic}
        return sorted(stated.union(self.known.names(topic)))

    def zone(self) -> str:
        """Return the plant's time zone, by these files or the record; empty where neither says."""
        for (topic, _), stated in self._stated.items():
            if topic == "plant" and stated:
                return str(stated[-1].body.get("zone", ""))
        return self.known.zone()

    def declare(self, row: Row, lots: Iterable[NewLot], order: Order) -> None:
        """Note the lots that a row would bring into the record."""
        for lot in lots:
            recorded = self._record_of(lot.code)
            if recorded is not None and recorded.born != row.key:
                continue
            held = self._births.get(lot.code)
            # Two meanings of one code: the kind of sheet read first keeps it (a receipt before
            # a slip of the pen elsewhere), and the other row is told.
            restated = held is not None and held.key == row.key
            if held is None or restated or (held.lot.what == lot.what and order < held.order):
                at = held.order if held is not None and restated else order
                self._births[lot.code] = _Birth(at, row.key, lot, row.bad)
                self._lots.pop(lot.code, None)

    def renew(self, row: Row, lots: Iterable[NewLot]) -> None:
        """Note that a row, as corrected here, knows better than the record what its lots weigh."""
        for lot in lots:
            born = self._births.get(lot.code)
            if born is not None and born.key == row.key:
                self._newer.add(lot.code)
                self._lots.pop(lot.code, None)

    def note_expansion(self, row: Row) -> None:
        """Note the step that an expansion row becomes, so that cups find it."""
        self._runs.setdefault(row.text("run"), {})[row.key] = Expansion(
            row.key, row.text("silo"), row.number_of("started"), row.number_of("ended")
        )

    def expansions(self, run: str) -> Iterable[Expansion]:
        """Return the expansion steps of a run, of the record and of these files."""
        if run not in self._known_runs:
            found = self._runs.setdefault(run, {})
            for step in self.known.expansions(run):
                facts = step.facts
                started, ended = int(facts["started"]), int(facts["ended"])
                found.setdefault(step.key, Expansion(step.key, facts["silo"], started, ended))
            self._known_runs.add(run)
        return self._runs[run].values()

    def lot(self, code: str) -> KnownLot | None:
        """Return a lot of these files, of the record, or a place that holds beads."""
        found = self._lots.get(code)
        if found is None:
            found = self._find(code)
            if found is not None:
                self._lots[code] = found
        return found

    def born(self, row: Row, lots: Iterable[NewLot]) -> tuple[NewLot, ...]:
        """Of the lots a row would bring, those that it is the one to bring."""
        mine = []
        for lot in lots:
            known = self.lot(lot.code)
            if known is None or known.born == row.key:
                mine.append(lot)
        return tuple(mine)

    def fault(self, row: Row, name: str, code: str, *, what: str, remedy: str) -> None:
        """Note a fault of a row's field."""
        row.bad = True
        self.faults.append(Fault(code, what, row.shown(name), row.where(name), remedy))

    def need_lot(self, row: Row, name: str, *kinds: Material) -> KnownLot | None:
        """Return the lot a field names, or note that it is unknown or of the wrong kind."""
        code = row.text(name)
        lot = self.lot(code)
        if lot is None and self.versions("place", code):
            self.fault_place(row, name, " or ".join(kinds))
        elif lot is None:
            self.missed |= self.settings_unread
            if not (self.sheets_unread or self.settings_unread):
                what = f"no lot or place is called {code}"
                remedy = "Correct the code, or enter first what brings the lot in."
                self.fault(row, name, "unknown_lot", what=what, remedy=remedy)
        elif kinds and lot.kind not in kinds:
            wanted = " or ".join(kinds)
            what = f"{code} is {lot.kind}; {wanted} is needed here"
            self.fault(row, name, "wrong_kind", what=what, remedy="Correct the code.")
            return None
        return lot

    def fault_place(self, row: Row, name: str, wanted: str) -> None:
        """Note a place that holds no beads, and so cannot be drawn from or filled."""
        code = row.text(name)
        kind = self.versions("place", code)[-1].body.get("kind", "place")
        what = f"{code} is a {kind} and holds no beads"
        if wanted:
            what += f"; {wanted} is needed here"
        holding = self.holding()
        there = f": {', '.join(holding)}" if holding else ""
        remedy = f"Name a place that holds beads{there}; or set content = true in [place.{code}]."
        self.fault(row, name, "place_without_content", what=what, remedy=remedy)

    def need_counted(self, row: Row, name: str, *kinds: Material) -> KnownLot | None:
        """Return a lot that is accounted by pieces."""
        lot = self.need_lot(row, name, *kinds)
        if lot is not None and not lot.unit_mg and not self._doubtful(row.text(name)):
            what = f"{row.text(name)} is accounted by mass; it has no pieces"
            self.fault(row, name, "not_counted", what=what, remedy="Correct the code.")
            return None
        return lot

    def need_setting(self, row: Row, name: str, topic: str, at_ms: int) -> KnownSetting | None:
        """Return the setting a field names, or note that it is unknown or not yet in force."""
        text = row.text(name)
        found = self.setting(topic, text, at_ms)
        self.missed |= found is None and self.settings_unread
        if found is None and not self.settings_unread:
            later = bool(self.versions(topic, text))
            what = f'no {topic} is called "{text}"'
            remedy = f"Correct it, or set [{topic}.{text}] in plant.toml."
            if later:
                what = f'the {topic} "{text}" was not yet set at that time'
                remedy = "Correct the time, or set it from an earlier day (since) in plant.toml."
            self.fault(row, name, f"unknown_{topic}", what=what, remedy=remedy)
        return found

    def need_product(self, row: Row, name: str, at_ms: int) -> Product | None:
        """Return the product a field names as it was set at a time."""
        found = self.need_setting(row, name, "product", at_ms)
        return None if found is None else self._product(row.text(name), found)

    def product(self, name: str, at_ms: int) -> Product | None:
        """Return a product as it was set at a time, if it was."""
        found = self.setting("product", name, at_ms) if name else None
        return None if found is None else self._product(name, found)

    def holding(self) -> list[str]:
        """Names of the places that hold beads, as far as they are known here."""
        names = {name for topic, name in (*self._stated, *self._versions) if topic == "place"}
        return sorted(
            name
            for name in names
            if any(one.body.get("content") is True for one in self.versions("place", name))
        )

    def _product(self, name: str, found: KnownSetting) -> Product:
        key = (name, found.since)
        if key not in self._products:
            body = found.body
            ties = body.get("ties", 0)
            self._products[key] = Product(
                name,
                body.get("family") == "packaging",
                ties if isinstance(ties, int) else 0,
                _mass(body.get("foam_mass")),
            )
        return self._products[key]

    def _find(self, code: str) -> KnownLot | None:
        born = self._births.get(code)
        if born is not None:
            lot = born.lot
            return KnownLot(lot.kind, self._unit_mg(code, lot), lot.product, born.key)
        if any(one.body.get("content") is True for one in self.versions("place", code)):
            return KnownLot(Material.PREFOAM, born=f"place/{code}")
        return self._record_of(code)

    def _unit_mg(self, code: str, lot: NewLot) -> int:
        """What a piece weighs: by the record, which knows corrections that these files may not."""
        recorded = self._record_of(code)
        if recorded is None or not recorded.unit_mg or code in self._newer:
            return lot.unit_mg
        return recorded.unit_mg if lot.unit_mg else 0

    def _record_of(self, code: str) -> KnownLot | None:
        if code not in self._recorded:
            self._recorded[code] = self.known.lot(code)
        return self._recorded[code]

    def _doubtful(self, code: str) -> bool:
        """Whether the lot stands in a row that has a fault of its own."""
        born = self._births.get(code)
        if born is None:
            return False
        return born.doubtful or (born.lot.kind in _COUNTED and not born.lot.unit_mg)


def _mass(text: object) -> int:
    if not isinstance(text, str):
        return 0
    number, _, unit = text.partition(" ")
    try:
        return to_mg(parse_number(number, decimal="."), unit)
    except UnitError:
        return 0
