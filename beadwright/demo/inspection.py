"""What the inspectors find: wet pieces at the press, dry ones a day later, and pieces turned down.

Read :func:`inspect` first. Every figure is a true piece of foam, the ties in it and the water on
it, seen through a balance and a rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.demo.clock import DAY, END, HOUR, SECOND, next_open, working_day
from beadwright.demo.description import LB, PRODUCTS, Product
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Inspection

__all__ = ["inspect", "of_lots"]

_TURNED_DOWN = 0.012  # share of the pieces
_PIECE = 0.004  # piece to piece, of the foam
_BALANCE = 0.002  # kg
_CREW = ("TC", "HE")
_AFTER = 25 * HOUR


@dataclass(frozen=True)
class _Piece:
    foam_kg: float
    ties_kg: float


def of_lots(made: Sequence[Made]) -> dict[str, list[Made]]:
    """Stretches by lot, in the order in which they were moulded."""
    lots: dict[str, list[Made]] = {}
    for one in made:
        lots.setdefault(one.row.lot, []).append(one)
    return lots


def inspect(made: Sequence[Made], noise: Noise) -> list[Inspection]:
    """The inspection sheet of all lots."""
    rows: list[Inspection] = []
    for lot, stretches in of_lots(made).items():
        product = PRODUCTS[stretches[0].row.product]
        if product.is_form:
            rows += _at_the_press(lot, stretches, noise)
        later = _a_day_later(lot, stretches, product, noise)
        if later[-1].at <= END:  # (whoever looks at a lot looks at all its pieces)
            rows += later
    return rows


def _piece(stretches: Sequence[Made], noise: Noise) -> _Piece:
    one = noise.pick(stretches)
    product = PRODUCTS[one.row.product]
    foam = one.foam_kg * (1 + noise.normal(_PIECE))
    ties = product.ties * one.carton.true_kg if one.carton else 0.0
    return _Piece(foam, ties * (1 + noise.normal(0.001)))


def _pounds(piece: _Piece, water: float, noise: Noise) -> float:
    kg = piece.foam_kg * (1 + water) + piece.ties_kg + noise.normal(_BALANCE)
    return round(kg / LB, 2 if piece.ties_kg else 3)


def _at_the_press(lot: str, stretches: Sequence[Made], noise: Noise) -> list[Inspection]:
    """Three pieces, wet and warm, over the run."""
    first, last = stretches[0].row, stretches[-1].row
    rows: list[Inspection] = []
    for number in (1, 2, 3):
        moulded = first.at + round((last.ended - first.at) * (number - 0.5) / 3)
        age = noise.whole(4, 16)
        water = max(0.022, min(0.058, 0.04 + noise.normal(0.007)))
        rows.append(
            Inspection(
                at=moulded + age,
                by=first.by,
                lot=lot,
                specimen=f"W{number}",
                age=round(age / HOUR, 2),
                state="press",
                mass=_pounds(_piece(stretches, noise), water, noise),
                instrument=f"BAL-{first.press}",
            )
        )
    return rows


def _a_day_later(
    lot: str, stretches: Sequence[Made], product: Product, noise: Noise
) -> list[Inspection]:
    """Three to five pieces weighed and gauged, then the lot looked over."""
    last = stretches[-1].row
    good = sum(one.row.good for one in stretches)
    at = next_open(last.ended + _AFTER + noise.whole(0, 180))
    by = _CREW[at % DAY >= SECOND]
    lean = tuple(noise.normal(0.012) for _ in range(3))
    rows: list[Inspection] = []
    for number in range(1, min(good, noise.whole(3, 5)) + 1):
        age = (at - last.ended) / HOUR
        water = 0.0105 - 0.00009 * (age - 24) + noise.normal(0.001)
        sizes = _sizes(product, lean, noise)
        rows.append(
            Inspection(
                at=at,
                by=by,
                lot=lot,
                specimen=f"D{number}",
                age=round(age, 1),
                state="24h",
                mass=_pounds(_piece(stretches, noise), water, noise),
                length=sizes[0],
                width=sizes[1],
                height=sizes[2],
                instrument="BAL-Q1",
            )
        )
        at += noise.whole(2, 4)
    rows.append(_looked_over(lot, (at, by), good, noise))
    return rows


def _sizes(product: Product, lean: tuple[float, ...], noise: Noise) -> list[float]:
    return [
        round(size + off + noise.normal(0.018), 2)
        for size, off in zip(product.size_in, lean, strict=True)
    ]


def _looked_over(lot: str, when: tuple[int, str], good: int, noise: Noise) -> Inspection:
    """Count what is wrong; what is beyond use goes to the bin."""
    at, by = when
    checked = min(good, noise.whole(28, 50))
    bad = [sum(noise.chance(0.006) for _ in range(checked)) for _ in range(4)]
    rejected = min(good // 4, sum(noise.chance(_TURNED_DOWN) for _ in range(good)))
    rejected = max(rejected, min(sum(bad), good // 4))
    return Inspection(
        at=at,
        by=by,
        lot=lot,
        state="24h",
        checked=checked,
        bad_ties=bad[0],
        bad_fusion=bad[1],
        bad_dimension=bad[2],
        bad_surface=bad[3],
        rejected=rejected,
        scrap_bin=f"BIN-QC-{working_day(at) // 2 + 1:02d}" if rejected else "",
    )
