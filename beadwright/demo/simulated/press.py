"""A press: moulds with cavities, ties by carton, lots of blocks, and scrap into a bin.

Read :meth:`Press.work` first: each call is one stretch, one row of the sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from beadwright.demo.contents import Mix, weight
from beadwright.demo.description import BULK_KG_M3, PRODUCTS, Product
from beadwright.demo.floor import Ties
from beadwright.demo.sheets import Inspection, Moulding
from beadwright.demo.simulated.feed import Feed
from beadwright.demo.simulated.goods import Carton, Store
from beadwright.demo.simulated.weighing import LB, Scales
from beadwright.demo.simulated.works import DAY, Works

__all__ = ["Lot", "Press"]

_FEWEST = 12
_SUNDAY = 6
_SECOND_SHIFT = 14 * 60


@dataclass
class Lot:
    """A lot of blocks: foam of one (lb), when it was closed, and what one truly weighs (kg)."""

    code: str
    product: Product
    foam_lb: float
    piece_kg: float = 0.0
    good: int = 0
    ended: int = 0


@dataclass
class Press:
    """One press with its feed; ``wanted`` says what to mould next, ``done`` takes a closed lot."""

    works: Works
    store: Store
    scales: Scales
    feed: Feed
    name: str
    wanted: Callable[[tuple[str, ...]], str]
    done: Callable[[Lot], None]
    lot: Lot | None = None
    _carton: dict[str, Carton] = field(default_factory=dict)
    _lots: int = 0
    _product: str = ""
    _hung: str = ""
    """What a mould was changed for, until its first lot is opened."""

    def __post_init__(self) -> None:
        """Take its own chance, and begin."""
        self._chance = self.works.chance(self.name)
        self._which = self.works.chance(f"{self.name} cavities")
        opens = self.works.parameters.whole("press", "open_at")
        self._number = int(self.name[-1])
        self.works.agenda.at(opens + 1 + 2 * self._number, self.work)

    def work(self, now: int) -> None:
        """Mould one stretch if there are beads for it, and come back."""
        of = self.works.parameters
        opens, closes = of.whole("press", "open_at"), of.whole("press", "close_at")
        if not opens <= now % DAY < closes - 40 or now // DAY % 7 == _SUNDAY:
            self._close(now)
            next_day = (now // DAY + (now % DAY >= opens)) * DAY
            self.works.agenda.at(next_day + opens + 1 + 2 * self._number, self.work)
            return
        self.feed.sweeping = self.works.sweeps(now)
        self.feed.hurried = self.works.wrong("short_ageing", now, self.name) is not None
        if self.feed.hurried:
            what = f"{self.name} drew from the silo that was filled last"
            self.works.happened("short_ageing", now, self.name, what)
        ended = self._stretch(now)
        self.works.agenda.at(_odd(ended + int(self._chance.integers(2, 8))), self.work)

    def _stretch(self, now: int) -> int:
        """Mould as long as it goes; give when it ended."""
        lot = self.lot or self._new()
        if lot is None:
            return now + self.works.parameters.whole("press", "change")
        product, of = lot.product, self.works.parameters
        pieces = int(of.whole("press", "stretch") / 60 * product.hourly * self._cavities(product))
        pieces = min(pieces, of.whole("press", "lot_pieces") * self._cavities(product) - lot.good)
        pieces -= pieces % self._cavities(product)
        each = lot.foam_lb * LB
        place, start = self.feed.source(now, pieces * each)
        if not place:
            pieces = _FEWEST
            place, start = self.feed.source(now, pieces * each)
        if not place or pieces < self._cavities(product):
            self._close(now)
            return now + 20
        beads = self.feed.draw(place, pieces * each)
        ended = start + max(2, round(pieces / self._cavities(product) * 60 / product.hourly))
        self._moulded(lot, place, (start, ended), pieces, beads)
        if lot.good >= of.whole("press", "lot_pieces") * self._cavities(product) - _FEWEST:
            self._close(ended)
        return ended

    def _moulded(
        self, lot: Lot, place: str, hours: tuple[int, int], pieces: int, beads: Mix
    ) -> None:
        """Put blocks into their lot and scrap into its bin; write the row."""
        works, product = self.works, lot.product
        of = works.parameters
        scrap = int(self._chance.binomial(pieces, of.number("press", "scrap")))
        carton = self._ties(product, pieces, hours[0])
        shots = pieces // self._cavities(product)
        broken = int(self._chance.binomial(shots, of.number("ties", "short"))) if carton else 0
        ties = None
        if carton is not None:
            put_in = pieces * product.ties - self._forgotten(lot, pieces, hours[0])
            carton.left -= put_in + broken
            ties = Ties(carton.code, carton.unit_kg, put_in, broken)
        bin_ = f"BIN-{self.name}-{hours[0] // DAY + 1:03d}" if scrap or broken else ""
        piece = works.floor.moulded((lot.code, bin_), (pieces, scrap), beads, ties)
        lot.piece_kg = weight(piece)
        if pieces > scrap:
            lot.good, lot.ended = lot.good + pieces - scrap, hours[1]
        row = self._row(lot, (place, carton.code if carton else "", bin_), hours, (pieces, scrap))
        if carton is not None:
            row = replace(row, ties_used=pieces * product.ties + broken)
        works.write("mould_runs", row)
        self._wet(lot, hours[1])

    def _forgotten(self, lot: Lot, pieces: int, now: int) -> int:
        """Ties that were not put in, one a piece; and those put in askew."""
        works = self.works
        askew = works.wrong("misaligned_ties", now, self.name)
        if askew is not None:
            works.askew[lot.code] = askew.size
            what = f"{100 * askew.size:g} % of the pieces have a tie askew"
            works.happened("misaligned_ties", now, self.name, what)
        short = works.wrong("missing_ties", now, self.name)
        if short is None:
            return 0
        works.lacking[lot.code] = short.size
        what = f"{100 * short.size:g} % of the pieces lack a tie, and nobody wrote it"
        works.happened("missing_ties", now, self.name, what)
        return int(self._chance.binomial(pieces, short.size))

    def _row(
        self, lot: Lot, names: tuple[str, str, str], hours: tuple[int, int], count: tuple[int, int]
    ) -> Moulding:
        """What is written of a stretch: place, carton and bin; from and to; pieces and scrap."""
        pieces, scrap = count
        return Moulding(
            at=hours[0],
            by="KR" if hours[0] % DAY < _SECOND_SHIFT else "DS",
            run=f"R-{lot.code}",
            ended=hours[1],
            press=self.name,
            mould=lot.product.mould,
            product=lot.product.name,
            source=names[0],
            ties=names[1],
            lot=lot.code,
            shots=pieces // self._cavities(lot.product),
            good=pieces - scrap,
            scrap=scrap,
            foam_per_block=self.scales.keyed(lot.foam_lb),
            ties_used=None,
            scrap_bin=names[2],
            cause=str(self._chance.choice(lot.product.causes(pieces))) if scrap else "",
            cavity=self._scrapped_of(lot.product, scrap),
        )

    def _scrapped_of(self, product: Product, scrap: int) -> int | None:
        """The cavity that all scrap of a stretch came out of; None where it was of several."""
        many = self._cavities(product)
        if many == 1 or not scrap:
            return None
        first, *others = (int(each) for each in self._which.integers(1, many + 1, scrap))
        return first if all(each == first for each in others) else None

    def _wet(self, lot: Lot, now: int) -> None:
        """A wet piece on the balance beside the press."""
        if not lot.product.is_form or not lot.good or self._chance.random() > 0.5:  # noqa: PLR2004
            return
        water = self.works.parameters.number("press", "wet") * (1 + self._chance.normal(0, 0.15))
        lb = (lot.piece_kg + lot.foam_lb * LB * water) / LB * (1 + self._chance.normal(0, 0.002))
        self.works.write(
            "inspections",
            Inspection(
                at=now + 6,
                by="TC",
                lot=lot.code,
                specimen=f"{lot.code}-W{now}",
                age=0.1,
                state="press",
                mass=round(float(lb), 2),
                instrument="BAL-P1",
            ),
        )

    def _cavities(self, product: Product) -> int:
        return int(self.works.parameters.table("press", "cavities")[product.name])

    def _ties(self, product: Product, pieces: int, now: int) -> Carton | None:
        if not product.ties:
            return None
        carton = self._carton.get(product.tie)
        if carton is None or carton.left < pieces * product.ties + 5:
            carton = self._carton[product.tie] = self.store.carton(product.tie, now)
        return carton

    def _new(self) -> Lot | None:
        """Open a lot of what is wanted; none yet where the mould is being changed."""
        of = self.works.parameters
        may = tuple(of.table("press", "presses")[self.name])
        name = self._hung or self.wanted(may)
        changed, self._hung = name != (self._product or name), ""
        self._product = name
        if changed:
            self._hung = name
            return None
        product = PRODUCTS[name]
        silo = self.feed.silo(1.0)
        heavy = self.feed.expander.density.get(silo, BULK_KG_M3) / BULK_KG_M3
        heavy *= 1 + float(self._chance.normal(0, of.number("press", "foam_spread")))
        self._lots += 1
        code = f"{self.name}-{self._lots:05d}"
        self.lot = Lot(code, product, round(product.foam_kg * heavy / LB, 3))
        return self.lot

    def _close(self, now: int) -> None:
        """The open lot is done."""
        if self.lot is not None and self.lot.good:
            self.lot.ended = max(self.lot.ended, now if self.lot.ended == 0 else self.lot.ended)
            self.done(self.lot)
        self.lot = None


def _odd(minute: int) -> int:
    return minute | 1
