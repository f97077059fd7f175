"""What was measured of a lot, characteristic by characteristic, with the limits that judge it.

Read :func:`measured`. The figures are those that an assessment rests on, and are never pooled over
states of blocks or places of cups.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.ledger import lots, settings
from beadwright.plant import calibrations
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.bases import basis_of
from beadwright.plant.limits import rulebook
from beadwright.plant.pieces import Value
from beadwright.plant.verdicts import STATE_WORDS, LimitResult
from beadwright.plant.weighings import evidence
from beadwright.quality import readings
from beadwright.quality.characteristics import CHARACTERISTICS, STATES, Scale, kind_of
from beadwright.quality.readings import Cup, Filling
from beadwright.units import Kind

__all__ = ["Measured", "Pieces", "cups", "measured"]

_ORDER = ("dry", "24h", "press", "specimen", "")
_WEIGHED = frozenset(STATES.values())
"""Masses of wet and dry blocks: density and foam mass, net of water, tell the same and are judged.
"""

_CUPS = {"hot": "hot, at the pre-expander", "dried": "dried", "hopper": "at the press hopper"}


@dataclass(frozen=True, slots=True)
class Pieces:
    """Values that may be pooled: of one state of blocks, or of cups at one place."""

    state: str
    words: str
    values: tuple[Value, ...]
    judged: bool
    """Whether a limit is judged by them."""

    @property
    def mean_si(self) -> float:
        """Mean of the values."""
        return math.fsum(one.si for one in self.values) / len(self.values)


@dataclass(frozen=True, slots=True)
class Measured:
    """One characteristic of a lot: its values, state by state, and its limits."""

    characteristic: str
    kind: Kind
    words: str
    pieces: tuple[Pieces, ...]
    limits: tuple[LimitResult, ...] = ()


def measured(plant_no: int, lot: LotAssessment) -> tuple[Measured, ...]:
    """Give what was measured of a block lot; what a limit judges stands first."""
    values = _values(plant_no, lot)
    by_name: dict[str, list[LimitResult]] = {}
    for result in (*lot.limits, *(r for t in lot.tests if t.proof for r in t.proof.results)):
        by_name.setdefault(result.limit.characteristic, []).append(result)
    names = [
        *(name for name in by_name if name in values),
        *(n for n in values if n not in by_name),
    ]
    found = []
    for name in names:
        kind = kind_of(name)
        if kind is not None and (name in by_name or _tells(name)):
            limits = tuple(by_name.get(name, ()))
            pieces = _pieces(values[name], limits)
            found.append(Measured(name, kind, name.replace("_", " "), pieces, limits))
    return tuple(found)


def _tells(name: str) -> bool:
    """Whether a characteristic without a limit is worth a picture of its own."""
    known = CHARACTERISTICS.get(name)
    measured_ = known is not None and known.scale in {Scale.RATIO, Scale.CHANGE}
    return measured_ and name not in _WEIGHED and not name.startswith("specimen_")


def _values(plant_no: int, lot: LotAssessment) -> Mapping[str, Sequence[Value]]:
    """Gather the readings of a lot by piece, as an assessment does."""
    in_force = settings.load(plant_no)
    makings = lots.makings(plant_no, [lot.lot]).get(lot.lot, [])
    taken = readings.of_lots(plant_no, [lot.lot]).get(lot.lot, ())
    kept, _ = calibrations.load(plant_no, in_force).parted(taken)
    basis = basis_of(rulebook(plant_no, in_force), (lot.lot, lot.product), makings, kept)
    return evidence([basis])[0].values


def _pieces(values: Iterable[Value], limits: Iterable[LimitResult]) -> tuple[Pieces, ...]:
    judged = {one for result in limits for one in result.readings}
    by_state: dict[str, list[Value]] = {}
    for value in values:
        by_state.setdefault(value.state, []).append(value)
    return tuple(
        Pieces(
            state,
            STATE_WORDS.get(state, state) or "as read",
            tuple(by_state[state]),
            any(judged.intersection(one.ids) for one in by_state[state]),
        )
        for state in sorted(by_state, key=lambda s: _ORDER.index(s) if s in _ORDER else 9)
    )


def cups(plant_no: int, silo: str, at_ms: int) -> tuple[Filling, tuple[Measured, ...]] | None:
    """Give the cups of what a silo was last filled with, by the place they were taken at.

    ``at_ms`` is a time while it held that. None where no bead came into it since it was empty.
    """
    filling = readings.filling(plant_no, silo, at_ms)
    if filling is None:
        return None
    by_place = {"hot": filling.hot, "dried": filling.dried, "hopper": filling.hopper}
    pieces = tuple(
        Pieces(place, words, tuple(_of_cup(one) for one in by_place[place]), judged=True)
        for place, words in _CUPS.items()
        if by_place[place]
    )
    if not pieces:
        return filling, ()
    return filling, (Measured("cup_density", "density", "cup density", pieces),)


def _of_cup(cup: Cup) -> Value:
    one = cup.reading
    ids = ((one.seq, one.line),)
    return Value("cup_density", cup.density_kg_m3, None, "", one.specimen or one.step, ids)
