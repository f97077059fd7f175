"""Where a lot's material is now: the closing account, which leaves nothing unnamed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from beadwright.ledger.forward import Forward, How, forward
from beadwright.ledger.trace import asked
from beadwright.ledger.undisturbed import undisturbed
from beadwright.ledger.walk import LotFacts, Reads, chosen

__all__ = ["OUTSIDE", "Account", "account"]

OUTSIDE = "outside:"
"""Places beyond the gate begin so; what follows is the receiver."""

_SCRAP = frozenset({"scrap", "regrind", "densified"})


@dataclass(frozen=True, slots=True)
class Account:
    """Mass of one lot by where it is now, in mg; estimates where it was mixed with others."""

    lot: str
    made: float
    """All that came into the lot, less what left it and came back."""
    in_stock: float
    shipped: float
    scrapped: float
    sampled: float
    losses: Mapping[str, float]
    unaccounted: float
    """Remainders and differences of stock, less what was drawn beyond the books."""
    residue: float = 0.0
    """The most that may lie in places that were emptied and not swept: the books have it elsewhere.
    """

    @property
    def total(self) -> float:
        """Sum of everything but ``made``, to which it must come, and but ``residue``."""
        named = self.in_stock + self.shipped + self.scrapped + self.sampled + self.unaccounted
        return named + sum(self.losses.values())


def account(plant: int, code: str, reads: Reads | None = None) -> Account:
    """Account for everything that ever came into a lot; ``reads`` is what its trace has read."""
    lot, made = asked(plant, code)
    with undisturbed():
        return _of(plant, lot, made, forward(plant, lot, How(0.0, books=True), reads))


def _of(plant: int, lot: LotFacts, made: int, walk: Forward) -> Account:
    where = {"in_stock": 0.0, "shipped": 0.0, "scrapped": 0.0, "sampled": 0.0}
    for facts, mg in _here(walk):
        if facts.place.startswith(OUTSIDE):
            where["shipped"] += mg
        elif facts.kind in _SCRAP:
            where["scrapped"] += mg
        elif facts.what == "sample":
            where["sampled"] += mg
        else:
            where["in_stock"] += mg
    losses = _losses(plant, walk)
    rest = walk.unnamed + _remainders(plant, walk)
    came = made - walk.returned
    left = sum(walk.left.values())
    return Account(lot.code, came, **where, losses=losses, unaccounted=rest, residue=left)


def _here(walk: Forward) -> Iterator[tuple[LotFacts, float]]:
    """Give what is in each lot now, and note which part of each settled step was of ours."""
    yield walk.walk.lots[walk.lot.no], float(walk.lot.mg)
    for no, content in walk.reach.items():
        facts = walk.walk.lots[no]
        if no in walk.inside:
            yield facts, content.mg
        elif (held := walk.settled.held.get(no)) is not None:
            yield facts, held.share * facts.mg
    found = walk.settled.work_out(0.0)
    walk.fractions.update(zip(found.steps.tolist(), found.fractions.tolist(), strict=True))
    rows = found.fillings
    mg = (found.share * rows.stock).tolist()
    said = zip(rows.lot.tolist(), *rows.texts, rows.stock.tolist(), strict=True)
    for facts, ours in zip(map(LotFacts._make, said), mg, strict=True):
        if facts.mg:
            yield facts, ours


def _losses(plant: int, walk: Forward) -> dict[str, float]:
    found: dict[str, float] = {}
    what = "step, name, mg FROM ledger_loss"
    for step, name, mg in chosen(plant, what, "step", walk.fractions):
        found[name] = found.get(name, 0.0) + mg * walk.fractions[step]
    return {name: mg for name, mg in sorted(found.items()) if mg}


def _remainders(plant: int, walk: Forward) -> float:
    what = "no, remainder_mg FROM ledger_step"
    rows = chosen(plant, what, "no", walk.fractions, "remainder_mg <> 0")
    return math.fsum(mg * walk.fractions[no] for no, mg in rows)
