"""The hash of the evidence that an answer rests on: what a release approves.

Read :func:`digest`. Where the pieces are, and when it was asked, are no part of it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.ledger.releases import Approval
from beadwright.plant.bounds import OWN, LimitInForce
from beadwright.plant.calibrations import Aside
from beadwright.plant.decision_rule import DecisionRule
from beadwright.plant.first_pieces import as_evidence
from beadwright.plant.pieces import Basis
from beadwright.plant.proofs import PlannedTest, Proof
from beadwright.plant.tested import Judgement
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import LimitResult

__all__ = ["VERSION", "Grounds", "digest", "hashes_of", "written"]

VERSION = 2
"""Of what the hash is made from. 1: as it was before the rules of age, and of each limit by which
method and whose word, were part of it. A release over an earlier one stands: see
``LotAssessment.earlier``. A part that is not there leaves the hash as it was before its time."""

_encode = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
).encode
"""The bytes of ``ledger.chain.canonical``, without asking again whether the record can hold what
came out of it; measures that are calculated go in as text."""


@dataclass(frozen=True, slots=True)
class Grounds:
    """What one lot's answer rests on, and the answer."""

    basis: Basis
    told: Judgement
    aside: Sequence[Aside]
    above: Sequence[Upstream]
    answer: str


def digest(of: Grounds, version: int = VERSION) -> str:
    """Hash all that an answer rests on, as a version of the hash has it."""
    return hashlib.sha256(written(of, version).encode()).hexdigest()


def written(of: Grounds, version: int = VERSION) -> str:
    """Write all that an answer rests on, as a version of the hash has it: what is hashed."""
    basis, product = of.basis, of.basis.product
    body: dict[str, object] = {
        "version": version,
        "lot": basis.lot,
        "answer": of.answer,
        "product": []
        if product is None
        else [
            product.name, product.ties, repr(product.foam_volume_m3), repr(product.foam_mass_kg),
            [[state, repr(share)] for state, share in sorted(product.water.items())],
        ],
        "ties": [list(carton) for carton in basis.ties.cartons] if basis.ties else [],
        "readings": [
            [r.seq, r.line, r.characteristic, r.value, r.unit, r.specimen, r.replicate]
            for r in sorted(basis.readings, key=lambda r: (r.seq, r.line))
        ],
        "limits": [_limit(one, version) for one in of.told.limits],
        "causes": [[one.cause, one.step, one.closed] for one in of.above],
    }  # fmt: skip
    if version > 1:
        body["ages"] = [repr(basis.day_old_h), [list(one) for one in basis.ageing]]
    if of.told.tests:
        body["tests"] = [_test(one, version) for one in of.told.tests]
    if of.aside:
        body["aside"] = [
            [one.instrument, one.words, [list(each) for each in one.ids]] for one in of.aside
        ]
    if basis.first:
        body["first_pieces"] = as_evidence(basis.first)
    return _encode(body)


def hashes_of(of: Grounds, given: Iterable[Approval]) -> tuple[str, ...]:
    """Give the hash and, where an approval is over another, what earlier versions make of it."""
    now = digest(of)
    if all(one.evidence == now for one in given):
        return (now,)
    return (now, *(digest(of, version) for version in range(1, VERSION)))


def _limit(result: LimitResult, version: int) -> list[object]:
    limit = result.limit
    said = [
        limit.name, limit.characteristic, limit.bound, limit.statistic, result.bound,
        limit.specimens, limit.source, result.finding, limit.verified_by, limit.verified_on,
    ]  # fmt: skip
    if version > 1:
        said += [_stated(limit), limit.evidence, list(limit.methods)]
    rule = limit.rule
    return [*said, _rule(rule), result.guard] if rule.stated else said


def _stated(limit: LimitInForce) -> str:
    """Say where a limit is written, in the words that signatures were given over."""
    if limit.verified is not None:
        return limit.source
    if not limit.source or limit.source.startswith(OWN):
        return limit.source or OWN
    return f"{OWN}, by its word: {limit.source}"


def _rule(rule: DecisionRule) -> list[str]:
    return [rule.acceptance, str(rule.k)]


def _test(test: PlannedTest, version: int) -> list[object]:
    until = "" if test.until is None else test.until.isoformat()
    proof = [] if test.proof is None else _proof(test.proof, version)
    return [
        test.plan, test.characteristic, test.evidence, test.every, test.state, until, proof
    ]  # fmt: skip


def _proof(proof: Proof, version: int) -> list[object]:
    days = (proof.sampled, proof.tested, proof.issued, proof.expires)
    return [
        proof.report, proof.lot, proof.laboratory, proof.method, proof.specimens, proof.result,
        ["" if day is None else day.isoformat() for day in days], proof.file,
        [list(one) for one in proof.entries], [_limit(one, version) for one in proof.results],
    ]  # fmt: skip
