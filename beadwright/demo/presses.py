"""A press: shots, scrap, ties and lots, whatever the foam comes from.

Read :meth:`Press.stretch` first: it moulds for as long as foam, ties, the lot and the shift allow,
and leaves one row of the sheet and, beside it, what was true (:class:`Made`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum

from beadwright.demo.clock import DAY, DAYS, SECOND, day_start, shift, working_day
from beadwright.demo.description import LB, PRODUCTS, Product
from beadwright.demo.goods import Carton, Cartons
from beadwright.demo.noise import Noise
from beadwright.demo.sheets import Moulding

__all__ = ["KEYED", "Ended", "Filling", "Made", "Press", "Source", "campaign"]

KEYED = 0.003
"""By which share the foam of one block, as a press keys it in, is off: one deviation."""

_SCRAP = 0.018  # of the shots
_SLOWEST = 1.06  # of the rated time a shot may take
_FEWEST = 6  # pieces that a stretch is worth starting for
_NOT_A_LOT = 22
_LOT = {"FP1": "L1", "FP2": "L2", "PP1": "K1"}
_NO_CHANGE = 9  # the last shift of a week changes no mould: its silos must run empty


class Ended(Enum):
    """Why a press came back."""

    MADE = "made"
    NO_FOAM = "no foam"
    NO_TIME = "no time"


@dataclass
class Filling:
    """One filling of a silo: what it is for, how it turned out, and what was drawn of it."""

    no: int
    press: str
    grade: str
    mass_kg: float
    density: float
    """Of the target; 1.01 is one per cent heavy."""
    gap: float
    """Share of the mass that the books say is left when the silo runs empty."""
    special: str = ""
    start: int = 0
    """First draw."""
    end: int = 0
    """When it ran empty."""
    taken_kg: float = 0.0
    silo: str = ""
    expander: str = ""
    fill_start: int = 0
    fill_end: int = 0

    @property
    def code(self) -> str:
        """What rows call it before it has a silo."""
        return f"#{self.no}"

    @property
    def left_kg(self) -> float:
        """What can still be drawn, by the books' own units."""
        return self.mass_kg * (1 - self.gap) - self.taken_kg


@dataclass(frozen=True)
class Source:
    """Where a stretch's foam comes from: its code in the sheet, how dense, how much."""

    code: str
    density: float
    available_kg: float


@dataclass(frozen=True)
class Made:
    """A row of the sheet and what was true of it: foam in one piece, what one tie weighed."""

    row: Moulding
    foam_kg: float
    carton: Carton | None
    filling: int = 0

    @property
    def density_kg_m3(self) -> float:
        """Of the foam, dry."""
        return self.foam_kg / PRODUCTS[self.row.product].volume_l * 1000


def campaign(noise: Noise, usual: str, guests: dict[str, tuple[int, ...]]) -> list[str]:
    """What a press moulds in each shift of the three weeks; guests stay for so many shifts."""
    slots = [usual] * (2 * DAYS)
    for name, stays in guests.items():
        for stay in stays:
            free = [
                i
                for i in range(2, len(slots) - stay)
                if all(slot == usual for slot in slots[i - 1 : i + stay + 1])
                and _NO_CHANGE not in (i % 10, (i + stay) % 10)
            ]
            start = noise.pick(free)
            slots[start : start + stay] = [name] * stay
    return slots


@dataclass
class Press:
    """A press with its clock, its carton and its open lot."""

    name: str
    noise: Noise
    cartons: Cartons
    slots: list[str]
    crew: tuple[str, str]
    bin_days: int = 2
    clock: int = 0
    product: Product | None = None
    lot: str = ""
    lot_left: int = 0
    lot_made: int = 0
    lots: int = 0
    made: list[Made] = field(default_factory=list)
    _carton: Carton | None = None

    def set_up(self) -> None:
        """Hang the mould that the plan asks for; between lots only."""
        name = self.slots[2 * working_day(self.clock) + shift(self.clock)]
        product = PRODUCTS[name]
        if self.product == product:
            return
        if self.product is not None:
            self.clock += self.noise.whole(70, 120)
        self.product = product
        self._carton = None

    def new_lot(self, pieces: int = 0) -> None:
        """Open the next lot; a number that nothing was moulded under is taken again."""
        if not self.lots or (self.made and self.made[-1].row.lot == self.lot):
            self.lots += 1
        self.lot = f"{_LOT[self.name]}-{self.lots:03d}"
        small = 1 if self.making.is_form else 4
        self.lot_left = pieces or small * self.noise.whole(115, 175)
        self.lot_made = 0

    def open_lot(self, left_kg: float) -> None:
        """Open the next lot, or go on with the last one of the day for the few pieces left."""
        few = int(left_kg / self.making.foam_kg)
        last = self.made[-1].row if self.made else None
        same = last is not None and last.lot == self.lot and last.product == self.making.name
        if same and few < _NOT_A_LOT and last and last.at // DAY == self.clock // DAY:
            self.lot_left = few
        else:
            self.new_lot()

    def close_lot(self) -> None:
        """The next stretch belongs to another lot."""
        self.lot_left = 0

    @property
    def making(self) -> Product:
        """The product of the open lot."""
        if self.product is None:
            message = "no lot is open"
            raise ValueError(message)
        return self.product

    def need_kg(self, until: int) -> float:
        """Foam that the press will use by then at its usual pace."""
        product = self.making
        return 0.9 * max(0, until - self.clock) / 60 * product.hourly * product.foam_kg

    def stretch(self, source: Source, until: int) -> Ended:
        """Mould as far as it goes, and say what ended it; nothing where it is not worth a start."""
        product = self.making
        foam_kg = product.foam_kg * source.density
        digits = 2 if product.is_form else 3
        typed = round(foam_kg / LB * (1 + self.noise.normal(KEYED, 2.5)), digits)
        by_time = int((until - self.clock) * product.hourly / 60 / _SLOWEST)
        by_foam = int(source.available_kg / (typed * LB))
        if by_foam < 1:
            return Ended.NO_FOAM
        if by_time < _FEWEST:
            return Ended.NO_TIME
        carton = self._take_carton()
        most = min(by_time, by_foam)
        # Nobody opens a lot for a few pieces more: the running one takes them.
        shots = most if most - self.lot_left < _NOT_A_LOT else min(most, self.lot_left)
        if carton is not None:
            shots = min(shots, (carton.left - 3) // product.ties)
        row = self._row(source.code, shots, typed, carton)
        self.made.append(Made(row, foam_kg, carton))
        self.lot_left -= row.good
        self.lot_made += row.good
        self.clock = row.ended + self.noise.whole(1, 3)
        if self.noise.chance(0.3):
            self.clock += self.noise.whole(6, 24)
        return Ended.MADE

    def _take_carton(self) -> Carton | None:
        product = self.making
        if not product.ties:
            return None
        if self._carton is None or self._carton.left < 8 * product.ties:
            self._carton = self.cartons.new(product.tie, self.clock)
        return self._carton

    def _row(self, code: str, shots: int, typed: float, carton: Carton | None) -> Moulding:
        product = self.making
        scrap = sum(self.noise.chance(_SCRAP) for _ in range(shots))
        took = shots * 60 / product.hourly * self.noise.between(1.0, _SLOWEST)
        ties: int | None = None
        if carton is not None:
            ties = shots * product.ties + self.noise.pick((0, 0, 0, 0, 1, 2))
            carton.left -= ties
        # Broken ties go to the bin too.
        binned = scrap > 0 or (ties or 0) > shots * product.ties
        number = working_day(self.clock) // self.bin_days + 1
        return Moulding(
            at=self.clock,
            by=self.crew[shift(self.clock)],
            run=f"R-{self.lot}",
            ended=self.clock + max(1, int(took)),
            press=self.name,
            mould=product.mould,
            product=product.name,
            source=code,
            ties=carton.code if carton else "",
            lot=self.lot,
            shots=shots,
            good=shots - scrap,
            scrap=scrap,
            foam_per_block=typed,
            ties_used=ties,
            scrap_bin=f"BIN-{self.name}-{number:02d}" if binned else "",
            cause=self.noise.pick(product.causes(shots)) if scrap else "",
        )

    def draw(self, filling: Filling) -> None:
        """Book the last stretch to the filling it was drawn from."""
        row = self.made[-1].row
        filling.taken_kg += row.shots * row.foam_per_block * LB
        self.made[-1] = replace(self.made[-1], filling=filling.no)

    def end_of_shift(self) -> int:
        """When the running shift ends."""
        midnight = self.clock // DAY * DAY
        return midnight + (SECOND if shift(self.clock) == 0 else 22 * 60)

    def start_of_day(self, working: int) -> None:
        """Come in, heat up the mould."""
        self.clock = max(self.clock, day_start(working) + 6 * 60 + self.noise.whole(8, 20))
