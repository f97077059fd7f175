"""Faults planted in what tells which kept answers an entry may change, each with what shows it.

Read :data:`PLANTED`. A scene tells a small plant something, and yields it with the hour at which
its lots are asked about: before the last of what it tells, and after.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date

import pytest

from beadwright.ledger import holds, news
from beadwright.ledger.draft import Line, Material, NewLot, Reading, ReadingsDraft, Void
from beadwright.plant import open_lots
from beadwright.plant.plan import day_at
from beadwright.plant.shifts import Shifts
from tests.plant.asking import GOOD, good_yard
from tests.plant.restating import read_by, weighed
from tests.plant.yard import Yard, ms

__all__ = ["PLANTED", "Scene"]

Scene = Callable[[], Iterator[tuple[Yard, float]]]
_Fault = Callable[[pytest.MonkeyPatch], None]
_KG = 1_000_000


def _put(name: str, instead: object, where: object = open_lots) -> _Fault:
    return lambda patch: patch.setattr(where, name, instead)


def _itself(patch: pytest.MonkeyPatch) -> None:
    """A lot's answer hangs on the lot alone, and not on what took pieces of it."""
    patch.setattr(news, "moulded", lambda _: ())
    patch.setattr(open_lots, "reached_from", lambda code, _: [code])


def _by_day(self: Shifts, times: Iterable[int], _: object) -> set[date]:
    return {day_at(one, self.zone) for one in times}


def _never(*_: object) -> Iterable[bool]:
    return ()


# -- scenes ----------------------------------------------------------------------------------------


def _setting() -> Iterator[tuple[Yard, float]]:
    """A limit that the lot does not meet is set for the day it was made."""
    yard = good_yard()
    yield yard, 62
    yard.limit("STRICT", "density", "min", "24.0 kg/m3")
    yield yard, 62


def _nonconforming() -> Iterator[tuple[Yard, float]]:
    """A lot was conceded; a step that the concession did not cover shares the cause."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2", grade="PK1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    yard.expand("B-2", "S1", 10)
    yard.mould("L1")
    (flaw,) = holds.nonconformities(yard.no)
    yard.concede(flaw.cause, [flaw.mark])
    yield yard, 80
    yard.mould("L2", at=40)
    yield yard, 80


def _late() -> Iterator[tuple[Yard, float]]:
    """Beads for packaging had come into the silo before the lot was made, and are entered now."""
    yard = good_yard()
    yard.bag("B-2", grade="PK1", at=1)
    yield yard, 62
    yard.expand("B-2", "S1", 10, at=6)
    yield yard, 62


def _other_grades() -> Iterator[tuple[Yard, float]]:
    """By which bag beads of a wrong grade came is told; a later one gets that grade too."""
    yard = Yard.open()
    scrap = NewLot("SC-1", Material.SCRAP, "bin", grades=("F1",))
    ground = NewLot("R-1", Material.REGRIND, "regrind bag", grades=("F1",))
    packaging = NewLot("SC-2", Material.SCRAP, "bin", grades=("PK1",))
    yard.bag("B-1")
    yard.bag("B-2", grade="PK1")
    yard.carton("T-1")
    yard.step("receipt", 0, [Line("SC-1", 1, 9 * _KG)], scrap)
    yard.step("receipt", 0, [Line("SC-2", 1, 9 * _KG)], packaging)
    yard.expand("B-1", "S1")
    yard.step("grind", 3, [Line("SC-1", -1, 5 * _KG), Line("R-1", 1, 5 * _KG)], ground)
    yard.expand("B-2", "S1", 10, at=4)
    yard.transfer("R-1", "S1", 2, at=5)
    yard.mould("L1")
    yield yard, 62
    yard.step("grind", 60, [Line("SC-2", -1, 5 * _KG), Line("R-1", 1, 5 * _KG)])
    yield yard, 62


def _bundled() -> Iterator[tuple[Yard, float]]:
    """What is in a bundle leaves."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20, at=62)
    yield yard, 64
    yard.ship("SH-1", "BU-1", 20, at=63)
    yield yard, 64


def _measured() -> Iterator[tuple[Yard, float]]:
    """A lot is weighed."""
    yard = good_yard()
    yard.block_lot("L2", at=40)
    yield yard, 62
    yard.weigh("L2", "24h", [2.5, 2.5, 2.5], at=65)
    yield yard, 62


def _of_its_day() -> Iterator[tuple[Yard, float]]:
    """Another lot is weighed, and speaks for all that was made on the day."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    row = {"product": "FB6", "characteristic": "density", "evidence": "lot_test", "every": "day"}
    yard.set("plan", "DENSITY", row)
    yard.block_lot("L1")
    yard.block_lot("L2", at=21)
    yield yard, 62
    yard.weigh("L2", "24h", GOOD)
    yield yard, 62


def _of_its_night() -> Iterator[tuple[Yard, float]]:
    """A lot made after midnight is weighed, and speaks for one made before it in the same shift."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    row = {"product": "FB6", "characteristic": "density", "evidence": "lot_test", "every": "shift"}
    yard.set("plan", "DENSITY", row)
    for name, begin in (("early", "06:00"), ("night", "20:00")):
        yard.set("shift", name, {"from": begin})
    yard.block_lot("L1", at=22)
    yard.block_lot("L2", at=26)
    yield yard, 62
    yard.weigh("L2", "24h", GOOD)
    yield yard, 62


def _signed() -> Iterator[tuple[Yard, float]]:
    """The first piece of a run is signed."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.set("first_piece", "rule", after=["start"])
    yard.block_lot("L1")
    yield yard, 62
    signed = dict.fromkeys(("mass", "ties", "fusion", "dimensions", "code"), "ok")
    yard.step("first_piece", 20.5, [], place="FP1", by="P-13", facts=signed)
    yield yard, 62


def _periodic() -> Iterator[tuple[Yard, float]]:
    """A lot of another day is tested, and covers the week."""
    yard = good_yard()
    row = {"product": "*", "characteristic": "compressive_resistance",
           "evidence": "periodic_test", "every": "week"}  # fmt: skip
    yard.limit("S", "compressive_resistance", "min", "104 kPa", evidence="periodic_test")
    yard.set("plan", "STRENGTH", row)
    yard.block_lot("L2", at=44)
    yield yard, 70
    yard.read([Reading("compressive_resistance", "90", "kPa", lot="L2", specimen="A")], at=69)
    yield yard, 70


def _added() -> Iterator[tuple[Yard, float]]:
    """More is made, a week later, of a lot that was tested: it was then that it was sampled."""
    yard = good_yard()
    row = {"product": "*", "characteristic": "compressive_resistance",
           "evidence": "periodic_test", "every": "day"}  # fmt: skip
    yard.limit("S", "compressive_resistance", "min", "104 kPa", evidence="periodic_test")
    yard.set("plan", "STRENGTH", row)
    yard.block_lot("L2", good=5, at=20.5)
    yard.read([Reading("compressive_resistance", "120", "kPa", lot="L2", specimen="A")], at=69)
    yard.expand("B-1", "S2", at=180)
    yield yard, 240
    yard.mould("L2", "S2", good=5, at=200)
    yield yard, 240


def _restated() -> Iterator[tuple[Yard, float]]:
    """Readings that were voided are put in as another lot's."""
    yard = good_yard("L1", "L2")
    key = read_by(yard, "inspections/9/readings", weighed("3.15", lot="L1", first=7))
    yard.post(Void("corrections/9/void", ms(62), key, "of another lot", "P-13"))
    yield yard, 70
    (one,) = weighed("3.15", lot="L2", first=7)
    one = replace(one, facts={**one.facts, "correction": "corrections/9"})
    yard.post(ReadingsDraft(f"{key}/2", ms(60), (one,), "P-01"))
    yield yard, 70


def _hour() -> Iterator[tuple[Yard, float]]:
    """From an hour on lots must be released; nothing is entered meanwhile."""
    yard = good_yard()
    yard.set("release", "rule", persons=1, since=63)
    yield yard, 62
    yield yard, 64


PLANTED: Mapping[str, tuple[Scene, _Fault]] = {
    "a setting changes nothing": (_setting, _put("_KINDS", {"step", "readings", "setting"}, news)),
    "what is wrong with a step changes nothing": (
        _nonconforming, _put("_nonconforming", lambda *_: False, news),
    ),
    "a late step changes nothing else": (_late, _put("_is_late", _never, news)),
    "other grades change nothing": (_other_grades, _put("_remarked", _never, news)),
    "bundles are forgotten": (_bundled, _itself),
    "readings are forgotten": (_measured, _put("_read", lambda *_: ())),
    "lots of a day are forgotten": (_of_its_day, _put("_of_a_day", lambda *_: set())),
    "a night ends at midnight": (_of_its_night, _put("days_about", _by_day, Shifts)),
    "first pieces are forgotten": (_signed, _put("TOLD", frozenset())),
    "periodic tests are forgotten": (_periodic, _put("PERIODIC", "no such evidence")),
    "what tested lots are added to is forgotten": (_added, _put("_periodic_of", lambda *_: False)),
    "restated readings are forgotten": (_restated, _put("MARK", "no such fact")),
    "the hour is forgotten": (_hour, _put("_of_hour", lambda *_: True)),
}  # fmt: skip
"""By name: a scene in which the answer of some lot changes, and the fault that would not see it."""
