"""After the press: pieces looked at a day later, bundles, orders and lorries.

Read :meth:`Yard.closed` first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from beadwright.demo.description import PRODUCTS, RECEIVERS, TIES
from beadwright.demo.sheets import Bundling, Inspection, Shipment
from beadwright.demo.simulated.press import Lot
from beadwright.demo.simulated.weighing import LB
from beadwright.demo.simulated.works import DAY, Works

__all__ = ["Yard"]

_LOOKED_AT = 26 * 60
_BUNDLED = 90


@dataclass
class Yard:
    """Inspection, store and dock; orders say what is moulded next."""

    works: Works
    backlog: dict[str, int] = field(default_factory=dict)
    """Pieces ordered and not moulded yet, by product."""
    store: dict[str, list[tuple[str, int]]] = field(default_factory=dict)
    """By product, bundles with their pieces, the oldest first."""
    _count: int = 0
    _orders: list[tuple[str, int, str]] = field(default_factory=list)
    _lorries: int = 0
    _swapped: bool = False

    def __post_init__(self) -> None:
        """Take its own chance, and begin."""
        self._chance = self.works.chance("yard")
        self._which = self.works.chance("yard cavities")
        self.works.agenda.at(7 * 60, self._order)
        self.works.agenda.at(15 * 60, self._load)

    def wanted(self, may: tuple[str, ...]) -> str:
        """Of what a press may mould, the product with most on order."""
        return max(may, key=lambda name: (self.backlog.get(name, 0), name))

    def closed(self, lot: Lot) -> None:
        """Take a closed lot: it is looked at a day later."""
        self.backlog[lot.product.name] = self.backlog.get(lot.product.name, 0) - lot.good
        self.works.agenda.at(lot.ended + _LOOKED_AT, lambda now: self._look(lot, now))

    def _look(self, lot: Lot, now: int) -> None:
        """Weigh and gauge three, look at the others, turn some down."""
        works, good = self.works, lot.good
        for number in range(1, min(3, good) + 1):
            works.write("inspections", self._weighed(lot, number, now + number))
        rejected = int(self._chance.binomial(good, works.parameters.number("yard", "rejected")))
        checked = min(good, 32)
        ties = self._bad_ties(lot.code, checked)
        surface = min(rejected, checked - ties)
        rejected = min(max(rejected, surface + ties), good)
        bin_ = f"BIN-QC-{now // DAY + 1:03d}" if rejected else ""
        if rejected:
            works.floor.turned_down(lot.code, rejected, bin_)
        row = Inspection(at=now + 5, by="TC", lot=lot.code, state="24h", checked=checked)
        row = replace(row, bad_ties=ties, bad_fusion=0, bad_dimension=0)
        row = replace(row, bad_surface=surface, rejected=rejected, scrap_bin=bin_)
        for each in self._by_cavity(row, lot.product.name):
            works.write("inspections", each)
        if good > rejected:
            works.agenda.at(now + _BUNDLED, lambda at: self._bundle(lot, at))

    def _weighed(self, lot: Lot, number: int, now: int) -> Inspection:
        """One piece, a day old."""
        works, many = self.works, self._cavities(lot.product.name)
        lb = (self._piece_kg(lot) + 0.0105 * lot.foam_lb * LB) / LB
        lb *= 1 + float(self._chance.normal(0, 0.003))
        off = [float(self._chance.normal(0, 0.02)) for _ in lot.product.size_in]
        worn = works.wrong("worn_mould", lot.ended, lot.product.mould)
        if worn is not None:
            off[0] += worn.size * (lot.ended - worn.since) / DAY
            what = f"pieces of {lot.product.mould} grow longer, {worn.size:g} in a day"
            works.happened("worn_mould", lot.ended, lot.product.mould, what)
        length, width, height = (
            round(size + by, 2) for size, by in zip(lot.product.size_in, off, strict=True)
        )
        return Inspection(
            at=now,
            by="TC",
            lot=lot.code,
            specimen=f"D{number}",
            age=26.0,
            state="24h",
            mass=round(lb, 2 if lot.product.ties else 3),
            length=length,
            width=width,
            height=height,
            instrument="BAL-Q1",
            cavity=1 + (number - 1) % many if many > 1 else None,
        )

    def _by_cavity(self, row: Inspection, product: str) -> Iterator[Inspection]:
        """What was looked over, a row for each cavity of the mould; the first turns down."""
        many = self._cavities(product)
        left = np.array([row.bad_ties or 0, row.bad_surface or 0, 0])
        left[2] = (row.checked or 0) - left.sum()
        for cavity in range(1, many + 1):
            size = int(left.sum()) // (many - cavity + 1)
            ties, surface, _ = took = self._which.multivariate_hypergeometric(left, size)
            left = left - took
            seen = replace(row, checked=size, bad_ties=int(ties), bad_surface=int(surface))
            if many > 1:
                seen = replace(seen, cavity=cavity)
            if cavity > 1:
                seen = replace(seen, rejected=0, scrap_bin="")
            yield seen

    def _cavities(self, product: str) -> int:
        return int(self.works.parameters.table("press", "cavities")[product])

    def _bad_ties(self, lot: str, checked: int) -> int:
        """Pieces with a tie askew, or lacking, of those looked at."""
        share = self.works.askew.get(lot, 0.0) + self.works.lacking.get(lot, 0.0)
        return int(self._chance.binomial(checked, share)) if share else 0

    def _piece_kg(self, lot: Lot) -> float:
        """What one piece truly weighs: with all its ties, or one short."""
        share = self.works.lacking.get(lot.code, 0.0)
        if not share:
            return lot.piece_kg
        tie = TIES[lot.product.tie].unit_lb * LB
        short = float(self._chance.random()) < share
        return lot.piece_kg + tie * share - tie * short

    def _bundle(self, lot: Lot, now: int) -> None:
        """Bundle what is left of a lot; the last bundle may be small."""
        floor = self.works.floor
        while floor.pieces[lot.code] > 0:
            pieces = min(lot.product.bundle, floor.pieces[lot.code])
            self._count += 1
            code = f"BN-{self._count:06d}"
            floor.bundled(code, lot.code, pieces)
            self._swap(code, pieces, now)
            self.works.write(
                "bundles", Bundling(at=now, by="KR", bundle=code, lot=lot.code, pieces=pieces)
            )
            self.store.setdefault(lot.product.name, []).append((code, pieces))
            now += 1

    def _swap(self, code: str, pieces: int, now: int) -> None:
        """Let two bundles bear each other's label, once."""
        wrong = self.works.wrong("swapped_bundles", now, "YARD")
        if wrong is None or self._swapped:
            return
        bundles = self.works.floor.bundles
        for product, waiting in sorted(self.store.items()):
            for other, count in waiting:
                if count == pieces and set(bundles[other]) != set(bundles[code]):
                    bundles[code], bundles[other] = bundles[other], bundles[code]
                    self._swapped = True
                    what = f"{code} and {other} ({product}) bear each other's label"
                    self.works.happened("swapped_bundles", now, "YARD", what)
                    return

    def _order(self, now: int) -> None:
        """Orders of a day."""
        of = self.works.parameters
        names = sorted({name for may in of.table("press", "presses").values() for name in may})
        for _ in range(int(self._chance.poisson(of.number("yard", "orders_a_day")))):
            product = str(self._chance.choice(names))
            pieces = PRODUCTS[product].bundle * max(
                1, round(of.number("yard", "order_pieces") / PRODUCTS[product].bundle)
            )
            self.backlog[product] = self.backlog.get(product, 0) + pieces
            self._orders.append((product, pieces, str(self._chance.choice(RECEIVERS))))
        self.works.agenda.at(now + DAY, self._order)

    def _load(self, now: int) -> None:
        """Send what is in the store, order by order, the oldest bundles first."""
        waiting = []
        for product, pieces, receiver in self._orders:
            there = self.store.get(product, [])
            if sum(count for _, count in there) < pieces:
                waiting.append((product, pieces, receiver))
                continue
            self._lorries += 1
            left = pieces
            while left > 0:
                code, count = there.pop(0)
                left -= count
                self.works.write(
                    "shipments",
                    Shipment(
                        at=now,
                        by="DS",
                        shipment=f"SH-{self._lorries:05d}",
                        receiver=receiver,
                        what=code,
                        pieces=count,
                    ),
                )
        self._orders = waiting
        self.works.agenda.at(now + DAY, self._load)
