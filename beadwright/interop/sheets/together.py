"""Rows that cannot both be: one shipment to two receivers, one code on two bundles.

Read :func:`check_together`. The second row would be lost in the first, and a recall would go to
the wrong site; so both are named, and nothing is posted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import StepDraft

__all__ = ["check_together"]

_APART_MS = 12 * 3_600_000
"""Loading and bundling end within a shift, over midnight too; common practice, no source."""


class _Part(NamedTuple):
    """What one row, or one step of the record, puts under a code."""

    key: str
    at: int
    about: str
    """Receiver of a shipment, lot of a bundle."""
    pieces: int
    where: str
    row: Row | None


def check_together(rows: Iterable[Row], register: Register) -> None:
    """Note rows, as corrected, that contradict others of the same code."""
    groups: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in rows:
        if not row.bad and row.kind in _CODE:
            groups[row.kind, row.text(_CODE[row.kind])].append(row)
    for (kind, code), members in groups.items():
        first, *others = _parts(kind, code, members, register)
        total = first.pieces
        for part in others:
            total += part.pieces
            if part.row is None:
                continue
            if kind == "shipments":
                _check_shipment(first, part, register)
            else:
                _check_bundle(first, (part, total), register)


_CODE = {"shipments": "shipment", "bundles": "bundle"}
_ABOUT = {"shipments": "receiver", "bundles": "lot"}


def _parts(kind: str, code: str, rows: Sequence[Row], register: Register) -> list[_Part]:
    """Give the parts of a code, what is in the record first."""
    about = _ABOUT[kind]
    parts = [
        _Part(row.key, row.number_of("at"), row.text(about), row.number_of("pieces"), row.where(),
              row)
        for row in rows
    ]  # fmt: skip
    known = register.known.lot(code)
    keys = {row.key for row in rows}
    if known is not None and known.born not in keys:
        step = register.known.step(known.born)
        if step is not None and step.key.startswith(f"{kind}/"):
            parts.insert(0, _of_record(step, about))
    return parts


def _of_record(step: StepDraft, about: str) -> _Part:
    pieces = sum(line.pieces for line in step.lines if line.sign > 0)
    at = step.happened_at or 0
    return _Part(step.key, at, step.facts.get(about, ""), pieces, f"the record ({step.key})", None)


def _note(
    pair: tuple[_Part, _Part], register: Register, at: tuple[str, str], what: str, remedy: str
) -> None:
    """Note that the later of two rows does not fit; ``at`` is its field, and the code of the fault.

    Not where both are in the record: there a correction decides, and no file.
    """
    row = pair[1].row
    if row is None or all(register.known.posted(one.key) is not None for one in pair):
        return
    register.fault(row, *at, what=what, remedy=remedy)


def _check_shipment(first: _Part, part: _Part, register: Register) -> None:
    row = part.row
    if row is None:
        return
    code = row.text("shipment")
    if part.about != first.about:
        name = "receiver"
        what = f"shipment {code} goes to {part.about} here, and to {first.about} in {first.where}"
    elif abs(part.at - first.at) > _APART_MS:
        name = "at"
        what = (
            f"shipment {code} leaves at {row.shown('at')} here, and at {row.clock(first.at)} in"
            f" {first.where}"
        )
    else:
        return
    remedy = "Give each shipment a number of its own, or correct one of the rows."
    _note((first, part), register, (name, "shipment_differs"), what, remedy)


def _check_bundle(first: _Part, counted: tuple[_Part, int], register: Register) -> None:
    part, total = counted
    row = part.row
    if row is None or part.about == first.about or _other_product(first, part, register):
        return
    size = _size(row, register)
    apart = abs(part.at - first.at) > _APART_MS
    if not apart and not (size and total > size):
        return  # the rest of one lot and the first of the next, in one bundle
    why = f"{total} pieces, where a bundle holds {size}" if not apart else "on another day"
    what = (
        f"bundle {row.text('bundle')} is of lot {part.about} here, and of {first.about} in"
        f" {first.where}, {why}"
    )
    remedy = "Give each bundle a code of its own, or correct one of the rows."
    _note((first, part), register, ("bundle", "bundle_repeated"), what, remedy)


def _other_product(first: _Part, part: _Part, register: Register) -> bool:
    """Whether the two are of unlike products; noted, as a bundle bears the label of one."""
    row, one, other = part.row, register.lot(first.about), register.lot(part.about)
    if row is None or one is None or other is None or one.product in {"", other.product}:
        return False
    what = (
        f"bundle {row.text('bundle')} is of {one.product} (lot {first.about} in {first.where});"
        f" lot {part.about} is of {other.product}"
    )
    remedy = "Give the pieces of each product a bundle of their own, or correct the lot."
    _note((first, part), register, ("lot", "bundle_of_other_product"), what, remedy)
    return True


def _size(row: Row, register: Register) -> int:
    """Pieces that a bundle of this product holds; 0 where nobody set it."""
    lot = register.lot(row.text("lot"))
    found = None if lot is None else register.setting("product", lot.product, row.number_of("at"))
    size = 0 if found is None else found.body.get("bundle", 0)
    return size if isinstance(size, int) else 0
