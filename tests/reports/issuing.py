"""A tiny plant with a released lot, its certificate, and files that pretend to be one."""

import hashlib
from dataclasses import dataclass, field

from beadwright.ledger.draft import Decision
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import Plant, open_plant
from beadwright.reports.checking import Checked, check
from beadwright.reports.issuing import Paper, issue
from tests.plant.asking import good_yard, the_lot
from tests.plant.yard import Yard, ms

__all__ = ["AUDITOR", "ENGINEER", "Office"]

ENGINEER = Who("install", Role.ENGINEER)
AUDITOR = Who("visitor", Role.AUDITOR)


@dataclass
class Office:
    """Issues and checks papers of a yard."""

    yard: Yard = field(default_factory=lambda: good_yard("L1"))
    releases: int = 0

    @property
    def plant(self) -> Plant:
        """The plant as the record has it now."""
        return open_plant("P1")

    def release(self, lot: str = "L1") -> None:
        """Release a lot over what is known of it now."""
        self.releases += 1  # each later than the one before: of one time, their hashes would decide
        evidence = the_lot(self.yard, lot).evidence
        self.yard.release(lot, evidence, at=79 + self.releases / 60)

    def issue(self, lot: str = "L1", who: Who = ENGINEER) -> Paper:
        """Issue a certificate."""
        return issue(self.plant, lot, who, by="P-13")

    def released(self, lot: str = "L1") -> Paper:
        """Release a lot and issue its certificate."""
        self.release(lot)
        return self.issue(lot)

    def check(self, pdf: bytes) -> Checked:
        """Check a file, as an auditor may."""
        return check(self.plant, pdf, AUDITOR)

    def enter(self, number: str, text: str, pdf: bytes, lot: str = "L1") -> None:
        """Enter a certificate as somebody might who has the door and no scruple."""
        own = hashlib.sha256(pdf).hexdigest()
        made = self.yard.door
        body = {"lot": lot, "content": text, "sha256": own, "set_by": "another hand"}
        made.post(Decision(f"forged/{number}", ms(90), "certificate", number, body), ENGINEER)
