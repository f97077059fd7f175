"""What the readings of some lots say, instruments and ages looked at: for sheets about products.

Read :func:`evidence_of`. What decides on a lot is its assessment; this is the same evidence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant import calibrations
from beadwright.plant.bases import basis_of
from beadwright.plant.limits import rulebook
from beadwright.plant.lot_tests import Lot
from beadwright.plant.release import assess
from beadwright.plant.weighings import Evidence, evidence
from beadwright.quality import readings

__all__ = ["Stand", "block_lots", "evidence_of", "lots_read", "newest_with", "stands_of"]


@dataclass(frozen=True, slots=True)
class Stand:
    """How a lot stands: whether it may leave, and in one sentence why not."""

    released: bool
    """Whether a release stands; where the plant has no rule of release, whether it may ship."""
    why_not: str


def lots_read(
    plant_no: int, codes: Sequence[str], in_force: Settings, at_ms: int
) -> dict[str, Lot]:
    """Give lots with what was read of them, taken up to a time."""
    views = lots.get_many(plant_no, codes)
    makings, taken = lots.makings(plant_no, codes), readings.of_lots(plant_no, codes)
    rules, fit = rulebook(plant_no, in_force), calibrations.load(plant_no, in_force)
    bases, aside = [], []
    for code in codes:
        kept, unfit = fit.parted([one for one in taken.get(code, ()) if one.at_ms <= at_ms])
        aside.append(unfit)
        bases.append(basis_of(rules, (code, views[code].product), makings.get(code, []), kept))
    found = {}
    for basis, here, unfit in zip(bases, evidence(bases), aside, strict=True):
        here.aside = unfit
        steps = makings.get(basis.lot, [])
        found[basis.lot] = Lot.of((basis, here), views[basis.lot].product, steps)
    return found


def evidence_of(
    plant_no: int, codes: Sequence[str], in_force: Settings, at_ms: int
) -> dict[str, Evidence]:
    """Give what the readings of lots say, taken up to a time."""
    found = lots_read(plant_no, codes, in_force, at_ms)
    return {code: lot.here for code, lot in found.items()}


def newest_with(
    plant_no: int, product: str, characteristic: str, at_ms: int, most: int
) -> tuple[str, ...]:
    """Give the lots of a product with readings of a characteristic, the newest first."""
    taken = readings.of_characteristics(plant_no, [characteristic])
    views = lots.get_many(plant_no, taken)
    found = [
        (views[code].first or 0, code)
        for code, some in taken.items()
        if code in views and views[code].product == product and some[0].at_ms <= at_ms
    ]
    return tuple(code for _, code in sorted(found, reverse=True)[:most])


def stands_of(plant_no: int, codes: Sequence[str], at_ms: int) -> dict[str, Stand]:
    """Say of block lots how they stand; one that no mould run made is not released."""
    if not codes:
        return {}
    found = {}
    for one in assess(plant_no, codes, at_ms=at_ms, way_back=False).lots:
        why = "" if one.may_leave else one.reasons[0].sentence
        if not one.may_leave and one.answer == "may_ship":
            why = "nobody has released it yet"
        found[one.lot] = Stand(one.may_leave, why)
    unmade = Stand(released=False, why_not="no mould run made it")
    return {code: found.get(code, unmade) for code in codes}


def block_lots(plant_no: int, named: Sequence[str], product: str) -> tuple[LotView, ...]:
    """Give the lots that were named.

    Raises
    ------
    Misuse
        If one is not in the record, or not of the product.
    """
    codes = tuple(dict.fromkeys(one.strip().upper() for one in named))
    views = lots.get_many(plant_no, codes)
    for code in codes:
        if code not in views:
            message = f"lot {code} is not in the record: check the code"
            raise Misuse(message)
        if views[code].product != product:
            of = views[code].product or "no product"
            message = f"lot {code} is of {of}, not of {product}"
            raise Misuse(message)
    return tuple(views[code] for code in codes)
