"""A generated plant whose lots are measured, planned for and signed, and asked about all the while.

Read :class:`Asked` first. What may be said is what the ledger's histories say (``tests.ledger``),
mostly in the order in which it happens, with presses, shifts, readings and rules besides.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, fields, replace

from beadwright.errors import Refusal
from beadwright.ledger import lots, matching, newest, news, places, stock
from beadwright.ledger.draft import (
    Draft,
    Evidence,
    Line,
    Material,
    Reading,
    ReadingsDraft,
    SettingDraft,
    StepDraft,
)
from beadwright.ledger.news import reached, since
from beadwright.plant import first_pieces, open_lots
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.door import Door
from tests.ledger.history import HOUR, NOW, SETTINGS, T0, History
from tests.ledger.moves import MOVES
from tests.ledger.player import FOLDED, WHO
from tests.strategies import Choice

__all__ = ["Asked", "fresh", "nothing_kept"]

_LIMIT = {"statistic": "mean", "source": "signed limits", "product": "FB6"}
_RULES: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("plant", "P", {"name": "small", "zone": "America/Chicago"}),
    ("place", "FP1", {"kind": "press"}),
    ("place", "FP2", {"kind": "press"}),
    ("product", "FB6", {"family": "form", "title": "Block", "ties": 0, "foam_volume": "65.0 L",
                        "foam_mass": "1.495 kg"}),
    ("approved", "FB6", {"revision": "R1", "grades": ["F1", "F2", "PK", "T1", "T2"]}),
    ("ageing", "F1", {"min_h": "0", "max_h": "900"}),
    ("ageing", "*", {"min_h": "0", "max_h": "900"}),
    ("tolerance", "mould", {"shortage": "0.5", "remainder": "1"}),
    ("limit", "DENSITY", {**_LIMIT, "characteristic": "density", "bound": "min",
                          "value": "22 kg/m3", "evidence": "lot_test", "specimens": 1}),
    ("limit", "STRENGTH", {**_LIMIT, "characteristic": "compressive_resistance", "bound": "min",
                           "value": "104 kPa", "evidence": "periodic_test"}),
)  # fmt: skip
_SOMETIMES: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("plan", "STRENGTH", {"product": "*", "characteristic": "compressive_resistance",
                          "evidence": "periodic_test", "every": "day"}),
    ("plan", "DENSITY", {"product": "*", "characteristic": "density", "evidence": "lot_test",
                         "every": "day"}),
    ("plan", "FUSION", {"product": "*", "characteristic": "fusion", "evidence": "lot_test",
                        "every": "shift"}),
    ("first_piece", "rule", {"after": ["start", "mould", "bead"], "still_h": "1"}),
    ("instrument", "BAL-1", {"what": "balance", "every": "year"}),
)  # fmt: skip
"""Rules that a plant may have or not: each asks of more lots than those an entry names."""

_AT_PRESS = frozenset({"mould", "produce", "mould_change", "first_piece"})
_SIGNED = dict.fromkeys(("mass", "ties", "fusion", "dimensions", "code"), "ok")
_READ = (("block_mass_24h", "3.2", "kg"), ("block_mass_24h", "2.9", "kg"),
         ("compressive_resistance", "110", "kPa"), ("compressive_resistance", "90", "kPa"),
         ("fusion", "80", "%"))  # fmt: skip


class _Orderly(History):
    """A history that mostly tells things as they happen, and takes no more than is there."""

    def time(self) -> int:
        if self.pick.chance(15):
            return super().time()
        return T0 + self.count * HOUR // 2

    def any(self, *kinds: Material, what: str = "") -> str | None:
        found = [super(_Orderly, self).any(*kinds, what=what) for _ in range(4)]
        return next((code for code in found if code and self.stock(code)), found[0])

    def draw(self, code: str) -> Line:
        there, unit = self.stock(code), self.lots[code].unit_mg or 1
        if there < unit or self.pick.chance(15):
            return super().draw(code)
        pieces = self.pick.whole(1, max(1, there // unit // 3))
        if self.lots[code].unit_mg:
            return Line(code, -1, pieces * unit, pieces, Evidence.COUNTED)
        return Line(code, -1, pieces, keyed="weighed")


@dataclass
class Asked:
    """A plant that is told things, and asked in between how its lots stand."""

    pick: Choice
    plant: str = "P"
    stood: int = 0
    """Answers that were kept over an entry."""
    renewed: int = 0
    """Answers that were worked out again, of some lots and not of all."""
    door: Door = field(init=False)
    history: History = field(init=False)

    def __post_init__(self) -> None:
        """Set the plant up."""
        self.door = Door(self.plant, FOLDED, clock=lambda: NOW)
        rules = [*_RULES, *(one for one in _SOMETIMES if self.pick.chance(2))]
        sets = [
            SettingDraft(f"rules/{i}", T0 - HOUR, topic, name, body)
            for i, (topic, name, body) in enumerate(rules)
        ]
        self.door.post_many([*SETTINGS, *sets], WHO)
        self.no = lots.plant_number(self.plant)
        self.history = _Orderly(self.pick, self._stock)

    def _stock(self, code: str) -> int:
        view = lots.get(self.no, code)
        return 0 if view is None else max(0, view.mg)

    def say(self) -> None:
        """Tell it something more; what it refuses is no part of it."""
        often = ("receipt", "expand", "mould", "mould", "bundle", "sample", "readings", "readings")
        rare = sorted(MOVES)
        name = self.pick.of(rare) if self.pick.chance(5) else self.pick.of(often)
        draft = self._read() if name == "readings" else MOVES[name](self.history)
        if draft is None:
            return
        draft = self._told(draft)
        try:
            posted = self.door.post(draft, WHO)
        except Refusal:
            return
        if not (isinstance(draft, StepDraft) and draft.planned) and not posted.repeated:
            self.history.keep(draft)
        self.history.causes += [found.cause for found in posted.found]

    def _told(self, draft: Draft) -> Draft:
        if not isinstance(draft, StepDraft) or draft.kind not in _AT_PRESS:
            return draft
        if draft.product and not self.pick.chance(8):
            new = tuple(replace(lot, product="FB6") if lot.product else lot
                        for lot in draft.new_lots)  # fmt: skip
            draft = replace(draft, product="FB6", new_lots=new)
        facts = {**draft.facts, "shift": self.pick.of(("A", "B"))}
        if draft.kind == "first_piece":
            facts |= _SIGNED
        return replace(draft, place=self.pick.of(("FP1", "FP1", "FP2")), facts=facts)

    def _read(self) -> Draft | None:
        code = self.history.any(Material.BLOCK)
        if code is None:
            return None
        name, value, unit = self.pick.of(_READ)
        facts = {"state": "24h", "age_h": "26"} if name.startswith("block") else {}
        if self.pick.chance(10):
            facts["correction"] = self.history.key("corrections")
        one = Reading(name, value, unit, lot=code, specimen="D1", instrument="BAL-1", facts=facts)
        return ReadingsDraft(self.history.key("readings"), self.history.time(), (one,))

    def compare(self) -> None:
        """Hold what is kept against what is worked out anew."""
        before, tip = open_lots.KEPT.of.get((self.no, "")), reached(self.no)
        found = {one.lot: one for one in open_lots.answered(self.no, NOW)}
        if before is not None and tip is not None and since(before[0], tip) is not None:
            same = {c for c, one in before[1].lots.items() if found.get(c) is one.told}
            self.stood += len(same)
            self.renewed += len(found) - len(same) if same else 0
        kept = self._asked()
        with nothing_kept():
            anew = self._asked()
        for what, answer in anew.items():
            assert kept[what] == answer, f"{what} is kept: {_differing(kept[what], answer)}"

    def _asked(self) -> dict[str, object]:
        """Ask every question of which the answer is kept."""
        lots_ = {f"lot {one.lot}": one for one in open_lots.answered(self.no, NOW)}
        places_ = {f"place {one.code}": one for one in places.contents(self.no)}
        return {
            **lots_,
            **places_,
            "which lots": set(lots_),
            "which places": list(places_),
            "stock": stock.sums(self.no),
            "names": matching.names(self.no),
            **{press: first_pieces.steps_back(self.no, press, NOW) for press in ("FP1", "FP2")},
            **{kind: newest.newest_of(self.plant, kind, 5) for kind in ("mould", "readings")},
        }


def _differing(kept: object, anew: object) -> object:
    """Give what differs between two answers of one kind, for a person to read."""
    if not isinstance(kept, LotAssessment) or not isinstance(anew, LotAssessment):
        return kept, anew
    return {
        one.name: (getattr(kept, one.name), getattr(anew, one.name))
        for one in fields(anew)
        if getattr(kept, one.name) != getattr(anew, one.name)
    }


@contextmanager
def nothing_kept() -> Iterator[None]:
    """Ask as if nothing were kept, and leave what is kept as it was."""
    every = list(news._every)
    held, drafts = [dict(kept.of) for kept in every], dict(newest._kept)
    news.forget()
    newest._kept.clear()
    yield
    news.forget()
    newest._kept.update(drafts)
    for kept, of in zip(every, held, strict=True):
        kept.of.update(of)


def fresh(plant_no: int, at_ms: int) -> dict[str, LotAssessment]:
    """Work all answers out anew, and leave what is kept as it was."""
    with nothing_kept():
        return {one.lot: one for one in open_lots.answered(plant_no, at_ms)}
