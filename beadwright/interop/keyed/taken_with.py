"""A result or a weighing that does not say with what: asked about where it would then not count.

Read :func:`taken_with`. A sheet is not asked so: of old papers nobody can say it any more.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.ledger import lots
from beadwright.plant.with_what import asks_instrument
from beadwright.quality.characteristics import CHARACTERISTICS

__all__ = ["taken_with"]

_SIZED = {"mass": "block_mass_24h", "length": "length", "width": "width", "height": "height"}
_SPECIMEN = {name: f"specimen_{name}" for name in (*_SIZED, "diameter")}
_FIELDS = {
    "results": {name: name for name in CHARACTERISTICS},
    "inspections": _SIZED,
    "specimens": _SPECIMEN,
}
"""Fields that an instrument may fill, and what is read with it, by kind of form."""
_WET = "press"


def taken_with(row: Row, plant: str, at_field: str) -> Iterator[Questioned]:
    """Ask with what a row was taken, where readings that do not say so are no evidence."""
    if row.text("state") == _WET:  # it screens, and is no evidence whatever it was taken with
        return
    read = [one for name, one in _FIELDS.get(row.kind, {}).items() if name in row.cells]
    if not read:
        return
    named = row.text("instrument")
    no = lots.plant_number(plant)
    why = asks_instrument(no, read, named, row.number_of(at_field))
    if why:
        value = named or "no instrument"
        where = row.address("instrument")
        yield Questioned(row, "instrument", Question("no_instrument", where, value, why))
