"""Scrap of each press as series, in all and by cause: each lot a point.

Read :func:`of_presses`. A count says one cause of what it scrapped, as whoever counted named it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from beadwright.ledger.pressed import PressStep, press_steps
from beadwright.plant.charted.series import MOST, Point, Watched, key_of, newest
from beadwright.plant.machines import places_of

__all__ = ["of_presses", "pressed", "where_moulded"]

_UNSAID = "no cause said"


@dataclass(slots=True)
class _Lot:
    at_ms: int
    blocks: int = 0
    scrap: dict[str, int] = field(default_factory=dict)


def pressed(plant_no: int, at_ms: int, since_ms: int) -> tuple[PressStep, ...]:
    """Give what was moulded at every press until a time."""
    steps = press_steps(plant_no, places_of(plant_no, "press", at_ms), since_ms)
    return tuple(one for one in steps if one.kind in {"mould", "produce"} and one.at_ms <= at_ms)


def where_moulded(steps: Iterable[PressStep]) -> dict[str, str]:
    """Give the press of each lot: of several, the first."""
    found: dict[str, str] = {}
    for one in steps:
        for lot in one.lots:
            found.setdefault(lot, one.place)
    return found


def of_presses(steps: Sequence[PressStep]) -> Iterator[Watched]:
    """Give the series of scrap."""
    presses: dict[str, dict[str, _Lot]] = {}
    for one in steps:
        for lot in one.lots:
            _count(presses.setdefault(one.place, {}).setdefault(lot, _Lot(one.at_ms)), one)
            break  # one step counts into one lot
    for press, some in sorted(presses.items()):
        every = {code: lot for code, lot in some.items() if lot.blocks}
        recent = dict(sorted(every.items(), key=lambda pair: pair[1].at_ms)[-MOST:])
        causes = sorted({cause for lot in recent.values() for cause in lot.scrap})
        for cause in ("", *causes):
            points = newest(
                Point(
                    lot.at_ms, code,
                    (float(lot.scrap.get(cause, 0) if cause else sum(lot.scrap.values())),),
                    lot.blocks,
                )
                for code, lot in recent.items()
            )  # fmt: skip
            if points:
                yield Watched(
                    key_of("scrap", press, cause), f"Scrap at {press}{cause and f': {cause}'}",
                    "scrap", "", press, "fraction", "defectives", "lots", points,
                )  # fmt: skip


def _count(lot: _Lot, step: PressStep) -> None:
    good, scrap = (_whole(step.facts.get(name, "")) for name in ("good", "scrap"))
    lot.at_ms = min(lot.at_ms, step.at_ms)
    lot.blocks += good + scrap
    if scrap:
        cause = step.facts.get("cause", "") or _UNSAID
        lot.scrap[cause] = lot.scrap.get(cause, 0) + scrap


def _whole(text: str) -> int:
    return int(text) if text.isdecimal() else 0
