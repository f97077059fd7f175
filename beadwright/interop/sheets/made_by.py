"""The mould runs that made a lot: of the record, and of the sheets that are read.

Read :func:`made_by`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.known import Made
from beadwright.interop.sheets.register import Register

__all__ = ["made_by"]


def made_by(
    rows: Iterable[Row],
    looked_at: Iterable[Row],
    register: Register,
    restated: Collection[str] = (),
) -> dict[str, dict[str, Made]]:
    """Give the mould runs of the lots looked at: of the record, and of rows it does not hold.

    By lot and client key; ``restated``: keys of rows that are corrected here.
    """
    codes = {row.text("lot") for row in looked_at}
    found = {code: dict(runs) for code, runs in register.known.made(codes).items()}
    for row in rows:
        code = row.text("lot")
        if row.kind == "mould_runs" and code in codes:
            held = found.setdefault(code, {})
            if row.key not in held or row.key in restated:
                started, ended = row.number_of("started"), row.number_of("ended")
                good, mould = row.number_of("good"), row.text("mould")
                held[row.key] = Made(started, max(started, ended), good, mould)
    return found
