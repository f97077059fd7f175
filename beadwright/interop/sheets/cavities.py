"""Cavities that a mould does not have: no block can have come out of them.

Read :func:`check_cavities`. Scrap at a press says its mould; a block that is looked at is of the
moulds that its lot was made in. Of a mould that nobody set up it is not known how many it has.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.made_by import made_by
from beadwright.interop.sheets.register import Register
from beadwright.plant.words import number

__all__ = ["check_cavities"]


def check_cavities(rows: Sequence[Row], register: Register, restated: Collection[str] = ()) -> None:
    """Note rows, as corrected, of a cavity that their mould does not have."""
    told = [row for row in rows if not row.bad and "cavity" in row.cells]
    looked_at = [row for row in told if row.kind == "inspections"]
    made = made_by(rows, looked_at, register, restated) if looked_at else {}
    for row in told:
        if row.kind == "mould_runs":
            moulds = {(row.text("mould"), row.number_of("started"))}
        else:
            runs = made.get(row.text("lot"), {}).values()
            moulds = {(one.mould, one.started) for one in runs}
        _check(row, dict(_cavities(moulds, register)), register)


def _cavities(
    moulds: Iterable[tuple[str, int]], register: Register
) -> Iterator[tuple[str, int | None]]:
    """Give how many cavities each mould had at a time; None where nobody set it up."""
    for mould, at_ms in sorted(moulds):
        found = register.setting("mould", mould, at_ms)
        many = None if found is None else found.body.get("cavities", 1)
        yield mould, many if isinstance(many, int) else None


def _check(row: Row, cavities: dict[str, int | None], register: Register) -> None:
    known = {mould: many for mould, many in cavities.items() if many is not None}
    if not known or len(known) < len(cavities) or row.number_of("cavity") <= max(known.values()):
        return
    of = ", ".join(f"{mould} has {number(many, 'cavity')}" for mould, many in known.items())
    what = f"cavity {row.number_of('cavity')}, and {of}"
    remedy = "Correct the cavity, or the mould's cavities in its settings."
    register.fault(row, "cavity", "cavity_beyond_mould", what=what, remedy=remedy)
