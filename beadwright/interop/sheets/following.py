"""What a correction takes with it: steps in the record whose masses rest on what it restates.

A bundle weighs what its blocks do, and these what their foam and ties do; it is of their product.
Where a piece of a lot weighs otherwise, or is of another product, than the record has it, each step
that took such pieces is restated too, and so on to what was made of them. Read :func:`followers`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.corrections import Restated, with_lots_of
from beadwright.interop.sheets.history import row_of
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Correction, StepDraft

__all__ = ["followers"]


def followers(restated: Iterable[Restated], register: Register) -> Iterator[tuple[Row, Correction]]:
    """Give each correction that follows, with the row of the sheet that it follows.

    The register learns on the way what lots weigh a piece by now. A correction that is in the
    record already was followed in the transaction that recorded it.
    """
    fresh = {each.after.key: each for each in restated if not each.before.settled}
    queue = deque(
        (each.correction, lot.code)
        for each in fresh.values()
        for lot in each.kind.outputs(each.after, register)
        if lot.unit_mg
    )
    seen = set(fresh)
    while queue:
        correction, code = queue.popleft()
        for step in register.known.users(code):
            row = None if step.key in seen else _row(step)
            seen.add(step.key)
            after = None if row is None else _after(step, row, register)
            if row is not None and after is not None:
                reason = f"follows {correction.key}: {correction.text('reason')}"
                key, at = _key(correction, step, register), correction.number_of("at")
                yield correction, Correction(key, step.key, after, reason, at, correction.by)
                queue += ((correction, lot) for lot in _weigh_anew(after, row, register))


def _row(step: StepDraft) -> Row | None:
    """The row that a step came of; None where it came of no sheet."""
    kind = KINDS.get(step.key.partition("/")[0])
    if kind is None:
        return None
    row = row_of(kind, step.key, step)
    whole = all(name in row.cells for name, spec in kind.fields.items() if spec.required)
    return row if whole else None


def _after(old: StepDraft, row: Row, register: Register) -> StepDraft | None:
    """The step by what its lots weigh now; None where that is as it was."""
    noted = len(register.faults)
    new = KINDS[row.kind].build(row, register).step
    del register.faults[noted:]
    if new is None or row.bad:
        return None
    new = with_lots_of(old, new)
    if _weightless(new) != _weightless(old):
        return None  # it rests on more than masses: a person's to correct
    return None if _by_code(new) == _by_code(old) else new


def _weightless(step: StepDraft) -> StepDraft:
    lines = tuple(replace(line, mg=0) for line in step.lines)
    lots = tuple(replace(lot, unit_mg=0, product="") for lot in step.new_lots)
    return _by_code(replace(step, lines=lines, remainder_mg=0, new_lots=lots, product=""))


def _by_code(step: StepDraft) -> StepDraft:
    return replace(step, new_lots=tuple(sorted(step.new_lots, key=lambda lot: lot.code)))


def _weigh_anew(step: StepDraft, row: Row, register: Register) -> list[str]:
    """Codes of the lots that a step brought, and whose pieces are known otherwise by now."""
    changed = []
    for lot in step.new_lots:
        held = register.known.lot(lot.code)
        was = None if held is None or held.born != row.key else (held.unit_mg, held.product)
        if was is not None and was != (lot.unit_mg, lot.product):
            register.declare(row, [lot], (row.number_of(KINDS[row.kind].at), 0, 0))
            register.renew(row, [lot])
            changed.append(lot.code)
    return changed


def _key(correction: Row, step: StepDraft, register: Register) -> str:
    """A key of its own, with a number behind it where an earlier correction has it."""
    key = f"{correction.key}/{step.key}"
    keys = (key if number == 1 else f"{key}/{number}" for number in count(1))
    return next(one for one in keys if register.known.posted(one) is None)
