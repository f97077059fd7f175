"""Tests by reference: what a report, or the readings of another lot, say for a lot.

Read :func:`referenced`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from beadwright.plant.assessment import LotAssessment
from beadwright.plant.proofs import PlannedTest, Proof
from beadwright.reports.words import KINDS, asked_of, in_words, status_of

__all__ = ["TestLimit", "TestLine", "referenced", "unanswered"]


@dataclass(frozen=True, slots=True)
class TestLimit:
    """A limit that the result had to meet."""

    limit: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class TestLine:
    """One planned test and the result that answers for the lot; every text as the page shows it."""

    kind: str
    characteristic: str
    every: str
    source: str
    """Report and laboratory, or whose readings; empty where there is no result."""
    method: str
    specimens: int
    """0 where the report does not say."""
    result: str
    dates: tuple[tuple[str, str], ...]
    """Sampled, tested, issued, expires, covers until: those that are known."""
    finding: str
    sentence: str
    limits: tuple[TestLimit, ...]


def referenced(told: LotAssessment) -> tuple[TestLine, ...]:
    """Give every test that the plan, or a limit, asks of a lot besides its own readings."""
    return tuple(_line(one) for one in told.tests)


def unanswered(told: LotAssessment) -> tuple[str, ...]:
    """Name limits that neither the lot's readings nor a test named here answer for."""
    answered = {limit.name for one in told.tests for limit in one.limits}
    return tuple(name for name in told.elsewhere if name not in answered)


def _line(one: PlannedTest) -> TestLine:
    proof = one.proof
    return TestLine(
        kind=KINDS[one.evidence],
        characteristic=in_words(one.characteristic),
        every=one.every,
        source="" if proof is None else proof.source,
        method="" if proof is None else proof.method,
        specimens=0 if proof is None else proof.specimens,
        result="" if proof is None else proof.result,
        dates=() if proof is None else tuple(_dates(proof, one.until)),
        finding={"covers": "covers the lot"}.get(one.state, one.state),
        sentence=one.sentence,
        limits=tuple(
            TestLimit(asked_of(limit), limit.source or "no source stated", status_of(limit))
            for limit in one.limits
        ),
    )


def _dates(proof: Proof, until: date | None) -> list[tuple[str, str]]:
    known = (
        ("sampled", proof.sampled),
        ("tested", proof.tested),
        ("issued", proof.issued),
        ("expires", proof.expires),
        ("covers lots made until", until),
    )
    return [(name, day.isoformat()) for name, day in known if day is not None]
