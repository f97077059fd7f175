"""Readings that would answer a limit and do not count: of how many pieces, and why.

Read :func:`kept_out`. Whoever asks why a lot waits must hear that it was measured, and what is
wrong with that; not that nobody measured it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.plant.weighings import Evidence
from beadwright.quality.characteristics import CHARACTERISTICS, DEFECTS, STATES, Level

__all__ = ["KeptOut", "kept_out"]

_NET = frozenset({"density", "foam_mass", "block_mass"})
"""What blocks are weighed for, net of water."""

_MASSES = frozenset(STATES.values())
_LATE = frozenset({"24h", "dry"})
"""States of which a weighing decides; wet from the press a block is only screened."""

_TIES = "ties seem to be missing, and are to be counted first"
_EARLY = "taken before the lot was moulded (correct the row's time, age or state)"


@dataclass(frozen=True, slots=True)
class KeptOut:
    """Pieces that were measured for a limit, and why they do not count."""

    code: str
    """Code of the reason: ``out_of_calibration``, ``tie_missing``, ``weighed_too_soon``."""
    pieces: int
    verb: str
    """What was done with them."""
    why: str
    read: frozenset[str]
    """Characteristics that the limit is judged by."""
    source: str = ""
    """Where why is written: an instrument, where one was not fit."""
    lot: str = ""
    """The lot that they are of, where it is another."""

    @property
    def words(self) -> str:
        """Say it in words."""
        of = f" of lot {self.lot}" if self.lot else ""
        none = "none counts" if self.pieces > 1 else "and does not count"
        return f"{self.pieces} {self.verb}{of}, {none}: {self.why}"

    @property
    def of_many(self) -> str:
        """Say it of several lots, without the figures of one."""
        return f"{self.verb}, and none counts: {self.why}"


def kept_out(name: str, here: Evidence) -> KeptOut | None:
    """Say which readings would answer limits on a characteristic and do not count.

    Where several things keep some out, the first found gives the code, and each is said.
    """
    wanted = _read_for(name)
    found = [*_unfit(wanted, here), *_in_doubt(name, here), *_early(wanted, here)]
    if not found:
        return None
    whys = dict.fromkeys(why for _, _, why, _ in found)
    sources = dict.fromkeys(source for *_, source in found if source)
    pieces = sum(number for _, number, *_ in found)
    said = (" and ".join(whys), wanted, "; ".join(sources))
    return KeptOut(found[0][0], pieces, _verb(name), *said)


def _read_for(name: str) -> frozenset[str]:
    """Give what is read so that a limit on a characteristic can be judged."""
    if name in _NET:
        cut = ("density", "specimen_mass") if name == "density" else ()
        return frozenset({*(STATES[state] for state in _LATE), *cut})
    if name == "share_defective":
        return frozenset({"checked", *(f"defective_{kind}" for kind in DEFECTS)})
    counted = name.removeprefix("share_")
    return frozenset({counted, "checked"} if counted.startswith("defective_") else {counted})


def _verb(name: str) -> str:
    if name in _NET | _MASSES:
        return "weighed"
    known = CHARACTERISTICS.get(name.removeprefix("share_"))
    looked = name == "share_defective" or (known is not None and known.level is Level.LOT)
    return "looked over" if looked else "measured"


_Found = tuple[str, int, str, str]
"""Code of the reason, number of pieces, why, where that is written."""


def _unfit(wanted: frozenset[str], here: Evidence) -> Iterator[_Found]:
    """Find what an unfit instrument read; cut pieces are others than blocks."""
    for aside in here.aside:
        most: dict[bool, int] = {}
        for name, number in aside.pieces:
            if name in wanted:
                cut = CHARACTERISTICS[name].level is Level.SPECIMEN
                most[cut] = max(number, most.get(cut, 0))
        if most:
            yield aside.code, sum(most.values()), aside.said, aside.source


def _in_doubt(name: str, here: Evidence) -> Iterator[_Found]:
    if name not in _NET | _MASSES:
        return
    some = {
        one.ids
        for one in here.values.get(name, ())
        if here.set_aside & set(one.ids) and (one.state in _LATE or name not in _NET)
    }
    if some:
        yield "tie_missing", len(some), _TIES, ""


def _early(wanted: frozenset[str], here: Evidence) -> Iterator[_Found]:
    early = [one.reading for one in here.young if one.age_h < 0]
    pieces = {one.specimen or (one.seq, one.line) for one in early if one.characteristic in wanted}
    if pieces:
        yield "weighed_too_soon", len(pieces), _EARLY, ""
