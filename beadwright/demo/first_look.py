"""First pieces: looked at and signed when a press has begun, or something at it was changed.

Read :func:`first_pieces` first. The sheet is kept from the third Monday on.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.demo.clock import DAY, SECOND, day_start
from beadwright.demo.presses import Made
from beadwright.demo.sheets import FirstPiece, Moulding, Row, SiloMove

__all__ = ["KEPT_SINCE", "first_pieces"]

KEPT_SINCE = day_start(10)
_LEADS = ("NF", "PQ")
_LOOK = 9  # minutes that it takes


def first_pieces(made: Sequence[Made], moves: Sequence[Row]) -> list[FirstPiece]:
    """Sign at the start of a day, and wherever product, silo, part or swept hopper changed."""
    swept = [
        (move.source, move.at)
        for move in moves
        if isinstance(move, SiloMove) and move.what == "swept_empty"
    ]
    rows: list[FirstPiece] = []
    for press in ("FP1", "FP2"):
        runs = sorted((one for one in made if one.row.press == press), key=lambda one: one.row.at)
        last: Made | None = None
        for one in runs:
            row = one.row
            if row.at >= KEPT_SINCE and row.good and (last is None or _is_new(last, one, swept)):
                rows.append(_signed(row))
            last = one
    return rows


def _is_new(last: Made, one: Made, swept: Sequence[tuple[str, int]]) -> bool:
    before, row = last.row, one.row
    return (
        before.at // DAY != row.at // DAY
        or (before.product, before.source) != (row.product, row.source)
        or (
            (last.carton is not None and one.carton is not None)
            and last.carton.grade != one.carton.grade
        )
        or any(place == row.source and before.at < at <= row.at for place, at in swept)
    )


def _signed(row: Moulding) -> FirstPiece:
    at = row.at + min(_LOOK, (row.ended - row.at) // 2)
    return FirstPiece(
        at=at, by=_LEADS[at % DAY >= SECOND], press=row.press, run=row.run, lot=row.lot
    )
