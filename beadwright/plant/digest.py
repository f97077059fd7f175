"""The hash of the evidence that an answer rests on: what a release approves.

Read :func:`digest`. Where the pieces are, and when it was asked, are no part of it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence

from beadwright.plant.calibrations import Aside
from beadwright.plant.first_pieces import as_evidence
from beadwright.plant.pieces import Basis
from beadwright.plant.proofs import PlannedTest, Proof
from beadwright.plant.tested import Judgement
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import LimitResult

__all__ = ["digest"]

_VERSION = 1
"""Of what the hash is made from; a part that is not there leaves it as it was before its time."""

_encode = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
).encode
"""The bytes of ``ledger.chain.canonical``, without asking again whether the record can hold what
came out of it; measures that are calculated go in as text."""


def digest(
    basis: Basis,
    told: Judgement,
    aside: Sequence[Aside],
    above: Iterable[Upstream],
    answer: str,
) -> str:
    """Hash all that an answer rests on."""
    product = basis.product
    body: dict[str, object] = {
        "version": _VERSION,
        "lot": basis.lot,
        "answer": answer,
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
        "limits": [_limit(one) for one in told.limits],
        "causes": [[one.cause, one.step, one.closed] for one in above],
    }  # fmt: skip
    if told.tests:
        body["tests"] = [_test(one) for one in told.tests]
    if aside:
        body["aside"] = [
            [one.instrument, one.words, [list(each) for each in one.ids]] for one in aside
        ]
    if basis.first:
        body["first_pieces"] = as_evidence(basis.first)
    return hashlib.sha256(_encode(body).encode()).hexdigest()


def _limit(result: LimitResult) -> list[object]:
    limit = result.limit
    return [
        limit.name, limit.characteristic, limit.bound, limit.statistic, result.bound,
        limit.specimens, limit.source, result.finding, limit.verified_by, limit.verified_on,
    ]  # fmt: skip


def _test(test: PlannedTest) -> list[object]:
    until = "" if test.until is None else test.until.isoformat()
    proof = [] if test.proof is None else _proof(test.proof)
    return [
        test.plan, test.characteristic, test.evidence, test.every, test.state, until, proof
    ]  # fmt: skip


def _proof(proof: Proof) -> list[object]:
    days = (proof.sampled, proof.tested, proof.issued, proof.expires)
    return [
        proof.report, proof.lot, proof.laboratory, proof.method, proof.specimens, proof.result,
        ["" if day is None else day.isoformat() for day in days], proof.file,
        [list(one) for one in proof.entries], [_limit(one) for one in proof.results],
    ]  # fmt: skip
