"""What a scanned text may mean: our own code, or a label of somebody else's on several lots.

Read :func:`scanned`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.interop.keyed.labels import MEANT, data_of, tidy
from beadwright.ledger import holds, lots, matching

__all__ = ["Match", "scanned"]

_LEAST_PART = 3
"""Signs of a code or label that tell it from others: fewer are typed by chance."""
_MOST = 20


@dataclass(frozen=True, slots=True)
class Match:
    """A lot or place that a scanned text may mean."""

    code: str
    kind: str
    what: str
    """bag, carton, mould run, bundle … ; empty of a place."""
    product: str
    mg: int
    pieces: int
    """0 where it is accounted by mass."""
    by_label: bool
    """Found by somebody else's label, and not by our own code."""
    place: str
    """Where it stands; empty where nobody said."""
    causes: tuple[str, ...]
    """Causes of holds that hold it now."""
    labels: tuple[tuple[str, str], ...]
    """Every foreign label it bears: who issued it, and what it says."""
    grades: tuple[str, ...] = ()
    first: int | None = None
    """Since when the oldest of it is there."""
    part: bool = False
    """Found by a part of its code or label only: to be asked about, even if it is the one match."""

    @property
    def is_open(self) -> bool:
        """Whether there is anything of it."""
        return self.mg > 0 or self.pieces > 0


def scanned(plant: str, text: str) -> tuple[Match, ...]:
    """Give what a scanned text may mean; more than one, or one by a part only, means: ask.

    Our own code, in capitals or small letters, is that lot and no other. A label fits every lot
    that bears it: those with something in them where there are any, else all of them. Where
    nothing bears the text itself, it is looked for without what a scanner or a label puts before
    it; and where nothing is found so either, as a part of codes and labels of lots that hold
    something.
    """
    text, no = tidy(text), lots.plant_number(plant)
    if not text:
        return ()
    own = lots.get(no, text) or lots.get(no, text.upper())
    if own is not None:
        return (_match(no, own, by_label=False),)
    for meant in MEANT:
        found = {one.code: one for said in meant(text) for one in _whole(no, said)}
        if found:
            whole = tuple(found.values())
            return tuple(one for one in whole if one.is_open) or whole
    return _parts(no, text)


def _whole(no: int, said: str) -> Iterable[Match]:
    """Lots of which a text is the code or a whole label."""
    for view in lots.find(no, said):
        yield _match(no, view, by_label=view.code != said.upper())


def _parts(no: int, text: str) -> tuple[Match, ...]:
    """Lots that hold something, of which the text is a part of the code or of a label."""
    part = data_of(text)
    if len(part) < _LEAST_PART:
        return ()
    codes = [one.code for one in matching.codes(no, part.upper(), _MOST)]
    labelled = [one.lot.code for one in matching.labels(no, part, _MOST)]
    named = tuple(dict.fromkeys([*codes, *labelled]))
    views = lots.get_many(no, named)
    found = (_match(no, views[code], by_label=code not in codes, part=True) for code in named)
    return tuple(one for one in found if one.is_open)[:_MOST]


def _match(no: int, view: lots.LotView, *, by_label: bool, part: bool = False) -> Match:
    return Match(
        view.code, view.kind, view.what, view.product, view.mg, view.pieces, by_label, view.place,
        holds.open_causes(no, "|".join(view.causes)), matching.labels_of(no, view.code),
        view.grades, view.first, part,
    )  # fmt: skip
