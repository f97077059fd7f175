"""A generated plant: what a person might say next, given what was said before.

Read :class:`History` first; what may be said next is in ``tests.ledger.moves``. The plant is small
on purpose: few silos, bins and times, so that steps meet in one lot and one minute.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from beadwright.ledger.draft import (
    Correction,
    Draft,
    Evidence,
    Line,
    Loss,
    Material,
    NewLot,
    Reversal,
    SettingDraft,
    StepDraft,
)
from tests.strategies import Choice

__all__ = [
    "FACTS",
    "HOUR",
    "KG",
    "LATER",
    "NOW",
    "PRODUCTS",
    "SETTINGS",
    "SILOS",
    "T0",
    "History",
    "restated",
]

T0 = 1_788_238_800_000
HOUR = 3_600_000
NOW = T0 + 60 * 24 * HOUR
KG = 1_000_000

SILOS = ("S1", "S2", "S3")
PRODUCTS = ("FB6", "FB6", "FB6", "PB1", "FB9", "")
GRADES = {Material.BEAD: (("F1",), ("F1",), ("F2",), ("PK",)), Material.TIE: (("T1",), ("T2",))}

_SET: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("plant", "P", {"name": "small", "zone": "UTC"}),
    ("product", "FB6", {"family": "form", "ties": 6}),
    ("product", "PB1", {"family": "packaging"}),
    ("grade", "F1", {"of": "bead", "flame_retardant": "yes"}),
    ("grade", "F2", {"of": "bead", "flame_retardant": "yes"}),
    ("grade", "T1", {"of": "tie"}),
    ("approved", "FB6", {"revision": "R1", "grades": ["F1", "T1"]}),
    ("ageing", "F1", {"min_h": "2", "max_h": "20"}),
    ("ageing", "*", {"min_h": "4", "max_h": "30"}),
    ("release", "rule", {"persons": 1}),
    ("place", "S1", {"content": True, "accepts": ["F1"]}),
    ("place", "S2", {"content": True}),
    ("place", "S3", {"content": True, "accepts": ["F1", "F2"]}),
)

SETTINGS: tuple[SettingDraft, ...] = tuple(
    SettingDraft(f"setup/{i}", T0 - HOUR, topic, name, body)
    for i, (topic, name, body) in enumerate(_SET)
)
"""How the plant is set up before anything happens."""

LATER: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("approved", "FB6", {"revision": "R2", "grades": ["F1", "F2", "T1", "T2"]}),
    ("approved", "FB6", {"revision": "R3", "grades": ["F2"]}),
    (
        "approved",
        "FB6",
        {"revision": "R4", "grades": ["F1", "F2", "T1", "PK"], "flame_retardants": ["yes"]},
    ),
    ("grade", "F2", {"of": "bead", "flame_retardant": "no"}),
    ("grade", "PK", {"of": "bead", "flame_retardant": "yes"}),
    ("product", "FB9", {"family": "form", "ties": 5}),
    ("ageing", "F1", {"min_h": "1", "max_h": "6"}),
    ("ageing", "F2", {"min_h": "8", "max_h": "9"}),
    ("tolerance", "mould", {"shortage": "0.5", "remainder": "0.5"}),
    ("tolerance", "weigh", {"count": "0", "remainder_floor": "5 kg"}),
    ("place", "S2", {"content": True, "accepts": ["F1", "T1"]}),
    ("release", "rule", {"persons": 1}),
    ("release", "rule", {"persons": 2}),
    ("age_gate", "wrap", {"min_h": "1"}),
    ("age_gate", "wrap", {"min_h": "30"}),
    ("age_gate", "closed_trailer", {"min_h": "2.5"}),
    ("age_gate", "hot_wire", {"min_h": "3"}),
)
"""Settings that come later, by topic, name and body."""

FACTS: Mapping[str, Mapping[str, str]] = {
    "ship": {"trailer": "closed"},
    "strip": {"cut": "hot wire"},
    "sample": {"cut": "hot wire"},
}
"""What is said of some steps of a kind, by kind."""


@dataclass
class History:
    """What was said so far, and the choices from which the next move is made."""

    pick: Choice
    stock: Callable[[str], int]
    """Milligrams that the books say a lot holds: a draw may take exactly that."""
    lots: dict[str, NewLot] = field(
        default_factory=lambda: {s: NewLot(s, Material.PREFOAM, "content") for s in SILOS}
    )
    steps: dict[str, StepDraft] = field(default_factory=dict)
    """Newest versions of the steps that were not reversed."""
    said: list[Draft] = field(default_factory=list)
    holds: dict[str, tuple[str, ...]] = field(default_factory=dict)
    causes: list[str] = field(default_factory=list)
    count: int = 0

    def keep(self, draft: Draft) -> None:
        """Remember a draft that the record has taken."""
        self.said.append(draft)
        step = draft.restated if isinstance(draft, Correction) else draft
        if isinstance(step, StepDraft):
            self.steps[step.key] = step
            for new in step.new_lots:
                self.lots[new.code] = new
        elif isinstance(draft, Reversal):
            del self.steps[draft.step]

    # -- parts of a draft --------------------------------------------------------------------

    def key(self, kind: str) -> str:
        """A client key that was not used."""
        self.count += 1
        return f"{kind}/{self.count}"

    def time(self) -> int:
        """The half hour that comes next, or one long past."""
        if self.pick.chance(3):
            return T0 + self.pick.whole(0, self.count) * HOUR // 2
        return T0 + self.count * HOUR // 2

    def any(self, *kinds: Material, what: str = "") -> str | None:
        """A lot of one of these kinds, a late one first."""
        codes = [
            code
            for code, lot in self.lots.items()
            if lot.kind in kinds and (lot.what == "content") == (what == "content")
        ]
        return self.pick.of(codes[::-1]) if codes else None

    def new(self, kind: Material, what: str, unit: int = 0, product: str = "") -> NewLot:
        """A lot that is not there yet."""
        self.count += 1
        grades = self.pick.of(GRADES[kind]) if kind in GRADES else ()
        return NewLot(f"{kind.name[:2]}-{self.count}", kind, what, product, grades, unit_mg=unit)

    def into(self, kind: Material, what: str, unit: int = 0, product: str = "") -> NewLot:
        """A new lot, or more of one that is there."""
        old = self.any(kind)
        if old is not None and self.pick.chance(3):
            return self.lots[old]
        return self.new(kind, what, unit, product)

    def draw(self, code: str) -> Line:
        """A line that takes from a lot: some, all that is there by the books, or too much."""
        lot = self.lots[code]
        if lot.unit_mg:
            pieces = self.pick.whole(1, 60)
            return Line(code, -1, pieces * lot.unit_mg, pieces, Evidence.COUNTED)
        mg = self.stock(code) if self.pick.chance(4) else self.pick.whole(1, 300) * KG + 1
        return Line(code, -1, mg, keyed="weighed in kg")

    def step(
        self, kind: str, lines: Sequence[Line], new: Sequence[NewLot] = (), **more: object
    ) -> StepDraft:
        """A step; what does not add up is its remainder, or in part a named loss."""
        rest = 0 if kind in {"receipt", "return"} else -sum(line.sign * line.mg for line in lines)
        losses: tuple[Loss, ...] = ()
        if rest > 0 and self.pick.chance(2):
            losses = (Loss("pentane", rest - rest // 3),)
            rest //= 3
        planned = self.pick.chance(8)
        return StepDraft(
            self.key(kind),
            kind,
            None if planned else self.time(),
            tuple(lines),
            losses,
            rest,
            tuple(lot for lot in new if lot.code not in self.lots),
            planned=planned,
            **more,  # type: ignore[arg-type]
        )

    def kept(self, mg: int) -> int:
        """What of an input comes out: nearly all, all, or a little more than there was."""
        return mg * self.pick.of((98, 100, 90, 101)) // 100


def restated(draft: StepDraft, **changes: object) -> StepDraft:
    """A step said again with changes; what does not add up any more is its remainder."""
    step = replace(draft, **changes)  # type: ignore[arg-type]
    if step.kind in {"receipt", "return"}:
        return step
    rest = -sum(line.sign * line.mg for line in step.lines) - sum(one.mg for one in step.losses)
    return replace(step, remainder_mg=rest)
