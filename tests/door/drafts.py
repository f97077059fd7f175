"""Drafts of every kind about a busy yard: most nearly right, many wrong in some one way or two."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from hypothesis import strategies as st

from beadwright.ledger.draft import (
    RANK,
    Concession,
    Correction,
    Decision,
    Draft,
    Evidence,
    Hold,
    Label,
    Lift,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from tests.door.forbidden import NOW_H, kg
from tests.plant.asking import the_lot
from tests.plant.yard import FORM, Yard, ms

__all__ = ["busy", "drafts"]

KG = kg(1)


def busy() -> Yard:
    """A yard in which everything has been done once: blocks, bundle, holds, corrections, voids."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.bundle("BN-1", "L1", 10, at=NOW_H - 90)
    yard.ship("SH-1", "BN-1", 5, at=NOW_H - 80)
    yard.mould("L2", good=2, at=3)  # too fresh: a nonconformity to concede
    yard.step("split", 30, [Line("B-1", -1, 5 * KG), Line("B-1A", 1, 5 * KG)],
              NewLot("B-1A", Material.BEAD, "part", grades=("F1",)))  # fmt: skip
    yard.expand("B-1A", "S2", 1, at=31)
    yard.step("split", 32, [Line("B-1", -1, 5 * KG), Line("B-1B", 1, 5 * KG)],
              NewLot("B-1B", Material.BEAD, "part", grades=("F1",)))  # fmt: skip
    yard.step("split", 33, [Line("B-1", -1, 5 * KG), Line("B-1C", 1, 5 * KG)],
              NewLot("B-1C", Material.BEAD, "part", grades=("F1",)))  # fmt: skip
    undone = list(yard.steps)[-1]
    yard.post(Reversal("undone", undone, "never happened", ms(34)))
    yard.hold("H1", "B-1B", at=35)
    for key in ("weighed", "weighed/2"):
        mass = Reading("block_mass_24h", "3.1", "kg", lot="L1")
        yard.post(ReadingsDraft(key, ms(60), (mass,)))
    yard.void("weighed")
    yard.limit("LIM", "block_mass", "min", "3.0 kg")
    yard.release("L1", the_lot(yard).evidence)
    yard.post(Decision("signature", ms(36), "signature", "FB6", {"edition": "10"}))
    return yard


def drafts(yard: Yard, kind: str) -> st.SearchStrategy[Draft]:
    """Drafts of a kind about a busy yard: what they name is its own, or is wrong."""
    return _About(yard).drafts()[kind]


class _About:
    """Strategies of what a draft may say, drawn from what the yard knows."""

    def __init__(self, yard: Yard) -> None:
        steps = list(yard.steps)
        self.yard = yard
        self.steps = _some([*steps, "undone", "signature"], ["never", "hold/1", ""])
        self.keys = _some(["new", "new/2"], [steps[0], steps[-1], "undone", "", "k" * 161])
        self.times = _some([ms(40), ms(NOW_H - 1), ms(NOW_H)], [ms(0), -1, ms(NOW_H + 9)])
        self.lots = _some(["B-1", "B-1A", "B-1B", "S1", "S2", "L1", "BN-1", "T-1"],
                          ["B-9", "l 1", ""])  # fmt: skip
        self.new = _some(["N-1", "N-2"], ["B-1", "B-1A", "n 1", ""])
        self.texts = _some(["", "KR", "F1"], ["a|b", "x" * 201, "nul\0"])
        self.evidence = _some([the_lot(yard).evidence], ["", "0" * 64])
        self.mg = _some([KG, 3 * KG], [0, 700 * KG, 10_000 * KG, -KG])
        self.pieces = _some([0, 10], [1, 4000, -1])

    def drafts(self) -> Mapping[str, st.SearchStrategy[Draft]]:
        """Drafts by kind."""
        at, key, text = self.times, self.keys, self.texts
        hold, lots = _some(["H1", "H2"], ["a|b", ""]), st.lists(self.lots, max_size=3).map(tuple)
        causes = _some(["too_fresh:S1"], ["too_fresh:S9", "H1", ""])
        readings = st.lists(self.reading(), max_size=2).map(tuple)
        since = st.none() | at
        return {
            "step": self.step(),
            "readings": st.builds(ReadingsDraft, key, at, readings, text),
            "void": st.builds(Void, key, at, _some(["weighed", "weighed/2"], ["never"]), text),
            "setting": self.setting(),
            "hold": st.builds(Hold, key, at, hold, text, lots, since, text),
            "lift": st.builds(Lift, key, at, hold, text, lots, text),
            "release": st.builds(
                Release, key, at, _some(["L1"], ["L2", "BN-1", "B-1", "L-9"]), self.evidence, text
            ),
            "concession": st.builds(Concession, key, at, causes, text, st.just(()), text),
            "decision": st.builds(Decision, key, at, text, text, _bodies(), text),
            "correct": self.correction(),
            "reverse": st.builds(Reversal, key, self.steps, text, at, text),
        }

    def step(self) -> st.SearchStrategy[StepDraft]:
        """A step of any kind, planned or happened; many add up."""
        lines = st.one_of(self.pair(), self.pair(), st.lists(self.line(), max_size=3).map(tuple))
        return st.builds(
            StepDraft,
            self.keys,
            _some(["expand", "split", "fill", "bundle", "ship", "move"], [*RANK, "melt"]),
            _some([ms(NOW_H)], [None, ms(40), -1, ms(NOW_H + 9)]),
            lines,
            _some([()], [(Loss("dust", KG),), (Loss("x" * 61, 0),)]),
            _some([0], [KG, -KG]),
            st.lists(self.lot(), max_size=2).map(tuple),
            _some([{}], [{"B-1": (Label("S", "4711"),)}, {"B-9": ()}]),
            product=_some(["", "FB6"], ["FB9"]),
            by=self.texts,
            facts=_some([{}], [{"shots": "9"}, {"nul": "\0"}]),
            planned=st.booleans(),
        )

    def pair(self) -> st.SearchStrategy[tuple[Line, Line]]:
        """One lot into another, all of it."""

        def paired(source: str, into: str, mg: int, pieces: int) -> tuple[Line, Line]:
            counted = Evidence.COUNTED if pieces else Evidence.WEIGHED
            return Line(source, -1, mg, pieces, counted), Line(into, 1, mg, pieces, counted)

        return st.builds(paired, self.lots, self.lots | self.new, self.mg, self.pieces)

    def line(self) -> st.SearchStrategy[Line]:
        """One line of its own."""
        keyed = _some(["", "5 kg"], ["5.0"])
        return st.builds(Line, self.lots | self.new, st.sampled_from([-1, 0, 1]), self.mg,
                         self.pieces, keyed=keyed)  # fmt: skip

    def lot(self) -> st.SearchStrategy[NewLot]:
        """A new lot, or one that is there."""
        kinds = _some([Material.BEAD, Material.BLOCK], ["gold"])
        grades = _some([(), ("F1",)], [("F1|F2",)])
        units = _some([0, 3 * KG], [1])
        return st.builds(NewLot, self.new, kinds, self.texts, grades=grades, unit_mg=units)

    def reading(self) -> st.SearchStrategy[Reading]:
        """A mass, a count or a cup, with and without what it needs."""
        mass, count = ("block_mass_24h", "3.1", "kg"), ("checked", "20", "pcs")
        measured = _some(
            [mass, count],
            [("charm", *mass[1:]), ("cup_weight", *mass[1:]), ("block_mass_24h", "-1", "kg"),
             (*mass[:2], ""), (*mass[:2], "pcs"), ("checked", "2.5", "pcs")],
        )  # fmt: skip
        said = st.builds(
            Reading,
            st.just(""), st.just(""), st.just(""),
            lot=_some(["L1"], ["", "B-9"]),
            step=_some([""], ["never", "x" * 201]),
            specimen=_some(["D1"], [""]),
            replicate=_some([1], [0]),
            uncertainty=_some([""], ["0.01", "-1", "some"]),
            facts=_some([{"state": "24h", "age_h": "26"}], [{}, {"age_h": "-1"}, {"nul": "\0"}]),
            parents=_some([()], [(0,), (7,)]),
        )  # fmt: skip

        def reading(one: Reading, what: tuple[str, str, str]) -> Reading:
            return replace(one, characteristic=what[0], value=what[1], unit=what[2])

        return st.builds(reading, said, measured)

    def setting(self) -> st.SearchStrategy[SettingDraft]:
        """A setting that can be read, or cannot."""
        return st.builds(
            SettingDraft,
            self.keys,
            self.times,
            _some(["place", "product", "ageing", "approved"], ["tolerance", "role", "x" * 41]),
            _some(["S1", "N-1", "F1", "FB6"], ["L1", "n 1", "x" * 81]),
            _bodies(),
            st.none() | self.times,
            self.texts,
        )

    def correction(self) -> st.SearchStrategy[Correction]:
        """A correction of a step: of one that is there, most often, as it might be restated."""
        known = st.sampled_from(list(self.yard.steps.values()))
        restated = st.one_of(known, known, self.step())

        def correct(key: str, step: StepDraft, other: str, reason: str, at: int) -> Correction:
            return Correction(key, other or step.key, step, reason, at)

        others = _some([""], ["never", "undone", *self.yard.steps])
        return st.builds(correct, self.keys, restated, others, self.texts, self.times)


def _some(right: Sequence[object], wrong: Sequence[object]) -> st.SearchStrategy:
    """Mostly one of the right ones."""
    weight = 1 + 15 * len(wrong) // len(right)
    return st.sampled_from([*(list(right) * weight), *wrong])


def _bodies() -> st.SearchStrategy[dict[str, object]]:
    return _some(
        [{"content": True}, FORM, {"min_h": "8", "max_h": "96"}, {"grades": ["F1", "T6"]}],
        [{}, {"min_h": "eight"}, {"accepts": "F1"}, {"role": "owner"}, {"x": 1.5}, {"x": "\0"}],
    )
