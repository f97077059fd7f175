"""Pieces looked over at a station: bad ones that stay in the lot, and more than can have been.

Read :func:`pieces_seen`. A sheet is not asked so: what it tells of is long stacked or scrapped.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.interop.keyed.cells import Noting
from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.ledger import lots
from beadwright.plant.words import number

__all__ = ["pieces_seen"]

_BAD = ("bad_ties", "bad_fusion", "bad_dimension", "bad_surface")
_SLIPPED = 10
"""Times as many as were made: a digit too many. Fewer may be, for counts come late."""


def pieces_seen(row: Row, register: Noting) -> Iterator[Questioned]:
    """Ask about bad pieces of which none is rejected; refuse ten times as many as were made."""
    code, checked = row.text("lot"), row.number_of("checked")
    if row.kind != "inspections" or "checked" not in row.cells:
        return
    no = lots.plant_number(register.plant)
    made = sum(one.pieces for one in lots.makings(no, [code]).get(code, ()))
    if made and checked >= _SLIPPED * made:
        what = f"{checked} are looked at of {made} made of {code}"
        remedy = "Key how many pieces were looked at."
        register.fault(row, "checked", "more_than_made", what=what, remedy=remedy)
        return
    bad = min(checked, sum(row.number_of(name) for name in _BAD))
    view = lots.get(no, code)
    if bad and not row.number_of("rejected") and view is not None and view.pieces:
        why = (
            f"{number(bad, 'bad piece')} of {checked}, and none is rejected: by the books"
            f" {'it stays' if bad == 1 else 'they stay'} in {code} and may be bundled. Say how many"
            " are rejected, and into which scrap bin."
        )
        where = row.address("rejected")
        yield Questioned(row, "rejected", Question("bad_not_rejected", where, "none rejected", why))
