"""A piece of which the same was read before: asked about at a form, for it stays one piece.

Read :func:`read_again`. A sheet is not asked so: it may list replicates as its own rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from beadwright.interop.keyed.cells import Noting
from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.interop.sheets.kinds import KINDS
from beadwright.ledger import lots
from beadwright.ledger.changes import used_keys
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.plant.pieces import state_of
from beadwright.quality import readings
from beadwright.quality.characteristics import CHARACTERISTICS, STATES, Level
from beadwright.quality.readings import ReadingView

__all__ = ["read_again"]

_FIELD = "specimen"
_KINDS = frozenset({"inspections", "results"})
_VERSIONS = 40
"""As often as anybody corrects one entry."""
_MASSES = {characteristic: state for state, characteristic in STATES.items()}


def read_again(row: Row, register: Noting) -> Iterator[Questioned]:
    """Ask about a piece of which the record holds the same characteristic in the same state."""
    code, name = row.text("lot"), row.text(_FIELD)
    if row.kind not in _KINDS or row.bad or not code or not name:
        return
    own = {_what(one) for one in _told(row, register) if one.replicate == 1}
    no = lots.plant_number(register.plant)
    for one in _others(no, row, readings.of_lots(no, [code]).get(code, ())):
        if one.specimen == name and (one.characteristic, state_of(one)) in own:
            what = one.characteristic.replace("_", " ")
            why = (
                f"{name} of {code} has this already: {what} {one.keyed} (entry {one.seq}). Read"
                f" again it stays one piece, and both stand. Is it {name} again?"
            )
            yield Questioned(
                row, _FIELD, Question("piece_read_again", row.address(_FIELD), name, why)
            )
            return


def _told(row: Row, register: Noting) -> Iterator[Reading]:
    trial = replace(row)  # what is wrong with it is said when it is built for good
    for draft in KINDS[row.kind].build(trial, Noting(register.plant)):
        if isinstance(draft, ReadingsDraft):
            yield from draft.readings


def _others(no: int, row: Row, said: Iterable[ReadingView]) -> Iterator[ReadingView]:
    """Leave out what the same form said before, as it was posted and as it was corrected."""
    key = row.readings_key
    keys = [key, *(f"{key}/{number}" for number in range(2, _VERSIONS))]
    own = {seq for seq, _ in used_keys(no, keys).values()}
    return (one for one in said if one.seq not in own)


def _what(one: Reading) -> tuple[str, str]:
    """Give what is read, and in which state of the block, as :func:`state_of` has it."""
    known = CHARACTERISTICS.get(one.characteristic)
    if known is not None and known.level is Level.SPECIMEN:
        return one.characteristic, "specimen"
    return one.characteristic, _MASSES.get(one.characteristic) or one.facts.get("state", "")
