"""What a scanned text may mean: our own code, or a label of somebody else's on several lots.

Read :func:`scanned`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger import holds, lots, matching

__all__ = ["Match", "scanned"]


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

    @property
    def is_open(self) -> bool:
        """Whether there is anything of it."""
        return self.mg > 0 or self.pieces > 0


def scanned(plant: str, text: str) -> tuple[Match, ...]:
    """Give what a scanned text may mean; more than one means: ask.

    Our own code, in capitals or small letters, is that lot and no other. A label fits every lot
    that bears it: those with something in them where there are any, else all of them.
    """
    text = text.strip()
    no = lots.plant_number(plant)
    own = lots.get(no, text) or lots.get(no, text.upper())
    if own is not None:
        return (_match(no, own, by_label=False),)
    labelled = lots.find(no, text) if text else ()
    found = tuple(_match(no, view, by_label=True) for view in labelled)
    return tuple(one for one in found if one.is_open) or found


def _match(no: int, view: lots.LotView, *, by_label: bool) -> Match:
    return Match(
        view.code, view.kind, view.what, view.product, view.mg, view.pieces, by_label, view.place,
        holds.open_causes(no, "|".join(view.causes)), matching.labels_of(no, view.code),
    )  # fmt: skip
