"""An assessment as a shell asks for it: lots by code or label, the plant and its head with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.cli.printed import write_json
from beadwright.cli.session import Session
from beadwright.cli.show_rests import with_rests
from beadwright.ledger import lots
from beadwright.plant.assessment import Assessment
from beadwright.plant.conformity import with_chances
from beadwright.plant.lot_named import one_lot
from beadwright.plant.opening import Plant
from beadwright.plant.release import as_json
from beadwright.plant.release import assess as plant_assess

__all__ = ["Assessed", "assessed", "json_of", "write"]


@dataclass(frozen=True, slots=True)
class Assessed:
    """What was assessed, and of which plant; of a store without one, nothing."""

    plant: Plant | None = None
    assessment: Assessment | None = None

    @property
    def all_may_leave(self) -> bool:
        """Whether every lot assessed may leave, and everything asked about; of all, what is held.

        Where a rule of release is in force, a lot may leave once it is released. Of no lot at all
        nothing may: whoever loads by the exit status has named the wrong store.
        """
        if self.assessment is None or not self.assessment.lots:
            return False
        lots_ = all(one.may_leave for one in self.assessment.lots)
        lots_ = lots_ and (bool(self.assessment.asked) or not self.assessment.held)
        return lots_ and all(one.may_leave for one in self.assessment.asked)


def assessed(session: Session, asked: Sequence[str]) -> Assessed:
    """Assess the lots that the texts name, or all."""
    session.read()
    if not asked and not session.plant_code and not lots.plants():
        return Assessed()
    plant = session.plant()
    codes = [one_lot(plant, text).code for text in asked] if asked else None
    return Assessed(plant, plant_assess(plant.no, codes))


def json_of(found: Assessed) -> dict[str, object]:
    """Give an assessment as JSON, with the head of the record it was read from."""
    if found.plant is None or found.assessment is None:
        names = ("may_ship", "may_not_ship", "not_enough_evidence", "may_leave", "look_back_first")
        counts = dict.fromkeys(names, 0)
        return {
            "plant": "", "zone": "", "at": None, "head": "", "counts": counts, "asked": [],
            "held": [], "lots": [],
        }  # fmt: skip
    seq, own = found.plant.head
    told = as_json(found.assessment)
    if found.assessment.asked:
        with_rests(found.plant, found.assessment.lots, told["lots"])
        with_chances(found.assessment.lots, told["lots"])
    return {**told, "head": f"{seq}:{own}"}


def write(found: Assessed) -> None:
    """Write an assessment as JSON."""
    write_json(json_of(found))
