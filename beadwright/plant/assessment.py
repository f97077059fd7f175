"""What an assessment says: frozen answers, and nothing that computes them.

Read :class:`LotAssessment` first; :mod:`beadwright.plant.release` makes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.releases import Approval
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.calibrations import Aside
from beadwright.plant.decision_rule import said_of
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.pieces import Defects
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.provenance import Provenance
from beadwright.plant.restatements import Restatement
from beadwright.plant.tested import Judgement
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import LimitResult
from beadwright.plant.weighings import TieQuestion
from beadwright.plant.whereabouts import Whereabouts

__all__ = [
    "FOUND_WRONG",
    "REASONS",
    "Answer",
    "Asked",
    "Assessment",
    "Holder",
    "LotAssessment",
    "Reason",
    "Weight",
]

Answer = Literal["may_ship", "may_not_ship", "not_enough_evidence"]
Weight = Literal["stops", "asks", "notes"]

FOUND_WRONG = "found_wrong_since"
"""Code of what an instrument read that was found wrong since."""

REASONS: Mapping[str, tuple[Weight, str]] = {
    "on_hold": ("stops", "a person's hold on the lot or on what it was made of"),
    "limit_not_met": ("stops", "a limit that the readings do not meet"),
    "guard_not_met": (
        "stops",
        "readings inside a limit by less than the guard band of the plant's decision rule",
    ),
    "plan_not_accepted": (
        "stops",
        "an inspection plan by which the lot was not accepted, where release waits for it",
    ),
    "test_failed": ("stops", "a planned test that failed, and that the lot falls under"),
    "release_suspended": ("stops", "a release whose grounds have changed"),
    "already_shipped": ("notes", "pieces that may not ship and are with a receiver"),
    "nothing_made": ("asks", "a lot that no step has brought pieces into"),
    "unknown_product": ("asks", "a product that was not set up"),
    "no_limit": ("asks", "a product without a limit that asks for a lot test"),
    "limit_unusable": ("asks", "a limit that cannot be read, or not judged from a lot's readings"),
    "not_measured": ("asks", "a lot test that nothing was read for"),
    "only_wet": (
        "asks",
        "blocks weighed wet from the press only, which screens and decides nothing",
    ),
    "weighed_too_soon": (
        "asks",
        "blocks said to be a day old or dry that, by the record, were not yet",
    ),
    "too_few_readings": ("asks", "fewer pieces measured than the limit asks for"),
    "uncertainty_unknown": (
        "asks",
        "readings of unknown uncertainty, where the plant's decision rule has a guard band",
    ),
    "no_periodic_test": ("asks", "a periodic test that the plan asks for and no result answers"),
    "no_type_test": ("asks", "a type test that the plan asks for and that no report shows"),
    "test_lapsed": ("asks", "a planned test that covered only what was made before"),
    "out_of_calibration": ("asks", "readings of an instrument that was not fit when it took them"),
    "no_instrument": (
        "asks",
        "readings that name no instrument, or one not listed, where the plant asks for it",
    ),
    "no_first_piece": ("asks", "a run after a change, of which no first piece was approved"),
    "before_first_piece": ("asks", "pieces counted good before the first piece was approved"),
    "plan_not_inspected": (
        "asks",
        "fewer pieces looked over than the inspection plan asks, where release waits for it",
    ),
    "plan_not_measured": (
        "asks",
        "fewer pieces measured than the variables plan asks, where release waits for it",
    ),
    "tie_missing": ("asks", "pieces whose shortfall fits whole ties: to be counted first"),
    "conceded": ("notes", "a nonconformity that a concession has closed"),
    "readings_restated": (
        "notes",
        "readings that a correction restated, took out or added, and who did",
    ),
    "calibrated_late": (
        "notes",
        "readings that count by a calibration which was entered after them",
    ),
    FOUND_WRONG: (
        "notes",
        "readings by an instrument that a later calibration found wrong: look back on it first",
    ),
    "instrument_unproven": (
        "notes",
        "readings that count though they name no instrument, or one that is not listed",
    ),
    "method_departed": (
        "notes",
        "readings of a test that was otherwise than its method asks, and in what",
    ),
    "entered_late": (
        "notes",
        "readings or a report that were entered long after they were taken or sampled",
    ),
    "set_afterwards": (
        "notes",
        "settings that were entered after the lot, for the day it was made, and by whom",
    ),
    "rule_loosened": (
        "notes",
        "a rule of release or decision that was loosened for a day before it was entered",
    ),
    "set_up_by_other": (
        "notes",
        "two who released, of whom one has the role by the other alone",
    ),
    "columns_disagree": ("notes", "another printed column, or other readings, that say otherwise"),
    "unverified_limit": ("notes", "a printed limit that nobody has signed against the paid text"),
    "superseded_edition": ("notes", "a printed limit of an edition that another has superseded"),
    "all_measured": ("notes", "a lot of fewer pieces than a limit asks for, each of them measured"),
    "defects": ("notes", "pieces found defective"),
    "plan_inspected": ("notes", "what an inspection plan of the product says of the lot"),
    "tests_cover": ("notes", "planned tests that cover the lot, and which of them ends first"),
    "holder_held": (
        "notes",
        "a bundle or shipment with pieces of it that is held for its own sake",
    ),
    "open_beside": ("notes", "an open nonconformity of its pieces that holds nothing of the lot"),
    "first_piece": ("notes", "a first piece that was approved after a change"),
    "limits_met": ("notes", "limits that are met, and the narrowest of them"),
    "step_corrected": (
        "notes",
        "a step that made the lot, or what it was made of, that was corrected, and by whom",
    ),
}
"""Codes of reasons, worst first, besides those of nonconformities (see ``plant.codes``).

``stops``: the lot may not ship. ``asks``: there is not enough evidence. ``notes``: to be known.
"""


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: a code, a plain sentence, where it comes from, how much it weighs."""

    code: str
    sentence: str
    source: str
    weight: Weight
    about: str = ""
    """The instrument that it is about, where it is about one."""
    us: str = ""
    """The sentence in US customary units, where its figures are no limit's and no mass's."""


@dataclass(frozen=True, slots=True)
class LotAssessment:
    """One block lot: whether it may ship, and everything that the answer rests on."""

    lot: str
    product: str
    title: str
    made_at_ms: int | None
    """When its last mould run began; None where nothing was made."""
    answer: Answer
    reasons: tuple[Reason, ...]
    """Worst first; never empty."""
    limits: tuple[LimitResult, ...]
    elsewhere: tuple[str, ...]
    """Limits that rest on other evidence than readings of the lot, by name."""
    tests: tuple[PlannedTest, ...]
    """What the plan, or a limit, asks besides, each with the result that answers for the lot."""
    aside: tuple[Aside, ...]
    """Readings of the lot that are no evidence: their instrument was not fit."""
    upstream: tuple[Upstream, ...]
    ties: tuple[TieQuestion, ...]
    defects: Defects
    whereabouts: Whereabouts
    approvals: tuple[Approval, ...]
    """Over the newest evidence that enough people approved, else over that approved last."""
    persons: int
    """How many people must approve, by the plant's rule when it was asked."""
    ruled: bool
    """Whether the plant had a rule of release when it was asked: without one, no lot waits."""
    given: tuple[Approval, ...]
    """Every approval, over whatever evidence, the oldest first."""
    evidence: str
    """SHA-256 over all that the answer rests on: what a release approves."""
    came: Provenance
    """What is to be known of the readings that it rests on: entered late, by what calibration."""
    restated: tuple[Restatement, ...] = ()
    """Readings that it rests on, or would, and that a correction restated, took out or added."""
    earlier: tuple[str, ...] = ()
    """Hashes of this same evidence as earlier versions of the tool made them, where an approval
    may be over one."""
    measured: tuple[LotMeasured, ...] = ()
    """What it came to by each variables plan of its product."""
    written: str = ""
    """The text that ``evidence`` is the hash of; empty where all lots were assessed at once."""

    @property
    def approval(self) -> Approval | None:
        """The newest approval."""
        return self.approvals[-1] if self.approvals else None

    @property
    def decision_rule(self) -> str:
        """By which decision rule it is held against its limits; empty where there are none."""
        return said_of((one.characteristic, one.rule) for one in self.judged_by)

    @property
    def judged_by(self) -> tuple[LimitInForce, ...]:
        """Every limit that its own readings, or tests that answer for it, are held against."""
        return Judgement(self.limits, (), self.tests).judged_by

    @property
    def doubts(self) -> tuple[Reason, ...]:
        """Readings by an instrument found wrong since: who releases looks back on it first."""
        return tuple(one for one in self.reasons if one.code == FOUND_WRONG)

    @property
    def in_doubt(self) -> bool:
        """Whether pieces in the plant wait for a release, and somebody looks back before it."""
        waits = self.answer == "may_ship" and not self.may_leave
        return waits and bool(self.doubts) and bool(self.whereabouts.in_stock)

    def same(self, evidence: str) -> bool:
        """Whether a hash is of the evidence there is now, by whichever version of the tool."""
        return evidence == self.evidence or evidence in self.earlier

    @property
    def approved(self) -> bool:
        """Whether enough people have approved it, whatever has become of the grounds since."""
        return len(self.approvals) >= self.persons

    @property
    def suspended(self) -> bool:
        """Whether a release stands on grounds that have changed for the worse."""
        return self.approved and self.answer != "may_ship"

    @property
    def released(self) -> bool:
        """Whether a release stands."""
        return self.approved and self.answer == "may_ship"

    @property
    def may_leave(self) -> bool:
        """Whether it may ship and, where a rule of release is in force, a release stands."""
        return self.released or (self.answer == "may_ship" and not self.ruled)

    @property
    def to_sign(self) -> int:
        """How many more people must approve the evidence there is now; 0 where it is released."""
        signed = {one.by for one in self.given if one.evidence == self.evidence}
        return 0 if self.released else max(0, self.persons - len(signed))


@dataclass(frozen=True, slots=True)
class Asked:
    """A lot that was asked about: the block lots it holds pieces of, and the answer for it."""

    code: str
    what: str
    lots: tuple[str, ...]
    answer: Answer
    upstream: tuple[Upstream, ...] = ()
    """What reaches it besides what reaches its block lots: a hold on the bundle itself."""
    may_leave: bool = False
    """Whether its answer is that it may ship, and all its block lots may leave."""


@dataclass(frozen=True, slots=True)
class Holder(Asked):
    """A bundle, a shipment or part of a lot that is held for its own sake, and where it stands."""

    place: str = ""
    pieces: int = 0

    @property
    def receiver(self) -> str:
        """Who has it; empty while it is in the plant."""
        return self.place.removeprefix(OUTSIDE) if self.place.startswith(OUTSIDE) else ""


@dataclass(frozen=True, slots=True)
class Assessment:
    """The assessment of a plant's block lots, or of those asked about."""

    plant: str
    zone: str
    at_ms: int
    lots: tuple[LotAssessment, ...]
    """In the order in which they came into the record."""
    asked: tuple[Asked, ...] = ()
    held: tuple[Holder, ...] = ()
    """Bundles and shipments, with pieces of these lots, that something of their own holds."""

    def count(self, answer: Answer) -> int:
        """Number of block lots with an answer."""
        return sum(lot.answer == answer for lot in self.lots)

    @property
    def may_leave(self) -> int:
        """Number of block lots that may leave: those that may ship and wait for no release."""
        return sum(lot.may_leave for lot in self.lots)

    @property
    def doubted(self) -> int:
        """Number of block lots that wait for a release and are looked back on before it."""
        return sum(lot.in_doubt for lot in self.lots)
