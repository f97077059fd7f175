"""What fits a field of a form: the lots it may name, and what was scanned into it.

Read :func:`offers`, then :func:`taken`, which :func:`beadwright.interop.keyed.reading.read` asks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from beadwright.interop.keyed.cells import Noting, Texts
from beadwright.interop.keyed.scan import Match, scanned
from beadwright.interop.sheets.cells import Row, Sort
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.ledger import holds, lots, settings
from beadwright.ledger.checks import codes_of
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.present import Present, recent
from beadwright.plant.moment import moment
from beadwright.plant.opening import open_plant
from beadwright.plant.runs import open_runs

__all__ = ["MOST", "Offer", "Which", "offers", "taken"]

MOST = 50
"""Lots that a field offers: more is no list that anybody reads."""

_LOOKED_AT = 4 * MOST


@dataclass(frozen=True, slots=True)
class _Fit:
    """Which lots a field may name."""

    kinds: tuple[str, ...] = ()
    whats: tuple[str, ...] = ()
    held: bool = False
    """Whether also those that are held: to be looked at, not to be used."""


_BAG = _Fit(("bead",), ("bag",))
_PLACE = _Fit(("prefoam",), ("content",))
_FOAM = _Fit(("prefoam", "regrind"))
_CARTON = _Fit(("tie",), ("carton",))
_BIN = _Fit(("scrap",), ("bin",), held=True)
_RUN_OF_BLOCKS = _Fit(MOULDED, ("mould run",), held=True)

_FITS: Mapping[tuple[str, str], _Fit] = {
    ("expansion_runs", "bag"): _BAG,
    ("expansion_runs", "silo"): _PLACE,
    ("expansion_open", "silo"): _PLACE,
    ("bag_opened", "bag"): _BAG,
    ("silo_filled", "silo"): _PLACE,
    ("bag_off", "bag"): _Fit(_BAG.kinds, _BAG.whats, held=True),
    **{
        (kind, "silo"): _Fit(_PLACE.kinds, _PLACE.whats, held=True)
        for kind in ("silo_temperatures", "mesh_samples")
    },
    ("cups", "silo"): _Fit(_PLACE.kinds, _PLACE.whats, held=True),
    ("silo_moves", "from"): _Fit(("prefoam", "regrind", "bead"), held=True),
    ("silo_moves", "to"): _PLACE,
    ("silo_moves", "bin"): _BIN,
    **{
        (kind, field): fit
        for kind in ("mould_runs", "mould_open", "mould_sources")
        for field, fit in (("from", _FOAM), ("ties", _CARTON), ("scrap_bin", _BIN))
    },
    ("first_pieces", "lot"): _RUN_OF_BLOCKS,
    ("inspections", "lot"): _RUN_OF_BLOCKS,
    ("inspections", "scrap_bin"): _BIN,
    ("specimens", "lot"): _RUN_OF_BLOCKS,
    ("results", "lot"): _RUN_OF_BLOCKS,
    ("results", "sample"): _Fit(MOULDED, ("sample",), held=True),
    ("samples", "lot"): _RUN_OF_BLOCKS,
    ("bundles", "lot"): _Fit(MOULDED, ("mould run",)),
    ("shipments", "what"): _Fit(MOULDED, ("bundle", "mould run")),
    ("reclaim", "from"): _Fit(("scrap", "regrind", *MOULDED, "densified"), held=True),
    ("stocktakes", "lot"): _Fit(held=True),
}
"""Fields that name a lot which is there; a field that gives a new lot its code is none of them."""

_INTO: Mapping[tuple[str, str], str] = {("bundles", "lot"): "bundle"}
"""Fields whose lots must be of the product of what they go into, with the field that names it."""

_OF_TOPIC: Mapping[str, tuple[str, str]] = {
    "product": ("product", ""),
    "press": ("place", "press"),
    "expander": ("place", "expander"),
    "instrument": ("instrument", ""),
    "scale": ("instrument", ""),
}
"""Fields that name what is set up, by topic and, of places, by their kind."""

_GRADE_OF = {
    **dict.fromkeys(("bead_receipts", "expansion_open", "mesh_samples"), "bead"),
    "tie_receipts": "tie",
}
_BEADS, _BLOCK_RUNS = (True,), (False,)
_RUNS: Mapping[str, tuple[bool, ...]] = {
    **dict.fromkeys(("cups", "bag_opened", "bag_off", "silo_filled", "expansion_close"), _BEADS),
    **dict.fromkeys(("mould_runs", "mould_sources", "mould_close", "first_pieces"), _BLOCK_RUNS),
    "downtime": (*_BEADS, *_BLOCK_RUNS),
}
"""Forms that name a run that is open: of beads, of blocks."""

_AS_BEFORE = frozenset({"supplier", "mould", "receiver", "laboratory"})
"""Fields of words that were keyed before."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that a field may hold: a lot, or a name that is set up or was keyed before."""

    value: str
    name: str = ""
    """Of a lot its product or grade; of what is set up its title."""
    mg: int = 0
    pieces: int = 0
    place: str = ""
    first: int | None = None
    """Since when the oldest of a lot is there."""


@dataclass(frozen=True, slots=True)
class Which:
    """A scan that fits several lots, or one by a part only: a person says which."""

    field: str
    text: str
    matches: tuple[Match, ...]


def offers(
    plant: str, kind: SheetKind, rows: Iterator[Row], texts: Mapping[str, str]
) -> Mapping[str, tuple[Offer, ...]]:
    """Give what fits each field of a form, newest first; ``rows`` are the newest of the kind.

    ``texts`` is what stands in it: into a bundle that is there go lots of its product only.
    """
    opened = open_plant(plant)
    now, in_force = moment(opened), settings.load(opened.no)
    found: dict[str, Iterable[Offer]] = {}
    for name in kind.fields:
        if (kind.name, name) in _FITS:
            product = _product_of(opened.no, texts.get(_INTO.get((kind.name, name), ""), ""))
            found[name] = _of_lots(opened.no, opened.head, _FITS[kind.name, name], product)
        elif name in _OF_TOPIC:
            topic, sort = _OF_TOPIC[name]
            found[name] = _named(in_force.all(topic, now), "kind", sort)
        elif name == "grade":
            found[name] = _named(in_force.all(name, now), "of", _GRADE_OF.get(kind.name, ""))
        elif name == "run" and kind.name in _RUNS:
            runs = open_runs(opened.no, now)
            its = [one for one in runs if one.of_beads in _RUNS[kind.name]]
            found[name] = (Offer(one.code, one.place) for one in reversed(its))
        elif name in _AS_BEFORE:
            words = dict.fromkeys(row.text(name) for row in rows if row.text(name))
            found[name] = map(Offer, [*words][:MOST])
    return {name: some for name, each in found.items() if (some := tuple(each))}


def _named(
    bodies: Iterable[tuple[str, Mapping[str, object]]], of: str, sort: str
) -> Iterator[Offer]:
    for name, body in bodies:
        if not sort or body.get(of) == sort:
            yield Offer(name, str(body.get("title", "")))


def _product_of(no: int, code: str) -> str:
    lot = lots.get(no, code.strip().upper()) if code.strip() else None
    return "" if lot is None else lot.product


def _of_lots(no: int, head: tuple[int, str], fit: _Fit, product: str) -> Sequence[Offer]:
    """Lots that fit, no more than anybody reads; what is used up is none of them."""
    there = recent(no, fit.kinds, fit.whats, _LOOKED_AT)
    there = [one for one in there if product in {"", one.product}]
    closed: frozenset[str] = frozenset()
    if not fit.held:
        closed = _closed(no, head, frozenset(cause for one in there for cause in one.causes))
    free = (one for one in there if fit.held or not set(one.causes) - closed)
    return [_offer(one) for one in free][:MOST]


@lru_cache(maxsize=32)
def _closed(no: int, head: tuple[int, str], causes: frozenset[str]) -> frozenset[str]:
    """Causes that hold nothing any more, asked once for each state of the record."""
    del head  # stands for all that is read
    return frozenset(holds.closed_causes(no, causes))


def _offer(one: Present) -> Offer:
    name = one.product or " + ".join(one.grades)
    return Offer(one.code, name, one.mg, one.pieces, one.place, one.first)


def taken(kind: SheetKind, said: Texts, row: Row, register: Noting) -> Mapping[str, str | Which]:
    """Give what was meant where a field holds no code of our own: a code, or what to ask.

    A field that gives a new lot its code, and a text that nothing bears, are left as they are.
    """
    found: dict[str, str | Which] = {}
    for name, spec in kind.fields.items():
        text = said.of(name)
        fit = _FITS.get((kind.name, name))
        if fit is None or not text or spec.sort is not Sort.CODE or _is_ours(text, register):
            continue
        matches = _fitting(scanned(register.plant, text), fit)
        again = [one.code for one in matches if one.code in _posted(row, register)]
        if again:
            found[name] = again[0]  # sent again: it is what it was, though it may be used up
        elif len(matches) == 1 and not matches[0].part:
            found[name] = matches[0].code
        elif matches:
            found[name] = Which(name, text, matches)
    return found


def _posted(row: Row, register: Noting) -> set[str]:
    """Lots that the record names under the form's key."""
    known = register.known
    drafts = (known.posted(row.key), known.posted(row.readings_key))
    return {code for draft in drafts if draft is not None for code in codes_of(draft)}


def _is_ours(text: str, register: Noting) -> bool:
    code = text.upper()
    known = lots.get(lots.plant_number(register.plant), code) is not None
    return known or bool(register.versions("place", code))


def _fitting(matches: tuple[Match, ...], fit: _Fit) -> tuple[Match, ...]:
    """Of several, those of the kind that is asked for, where there are any."""
    fits = tuple(
        one
        for one in matches
        if (not fit.kinds or one.kind in fit.kinds) and (not fit.whats or one.what in fit.whats)
    )
    return fits or matches
