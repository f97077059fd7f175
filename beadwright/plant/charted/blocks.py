"""What was measured and counted of block lots, as series by product: each lot a point.

Read :func:`of_blocks`. Figures are the evidence that a release is decided on: readings of an
instrument that was not fit are none, and a piece that may lack ties says nothing of its foam.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from beadwright.ledger import lots
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.charted.series import MOST, Point, Watched, key_of, newest
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.pieces import Value
from beadwright.plant.weighings import Evidence
from beadwright.plant.words import in_runs
from beadwright.quality.characteristics import (
    CHARACTERISTICS,
    DEFECTS,
    DERIVED,
    STATES,
    Scale,
    kind_of,
)

__all__ = ["Made", "lots_of", "of_blocks"]

_MEASURED = {Scale.RATIO, Scale.CHANGE, Scale.INTERVAL}
_SAID_BY_DENSITY = frozenset({*STATES.values(), *DERIVED})
"""Masses of blocks: what they say of the foam, density says net of ties and water."""

_STATES = {"press": "at the press", "24h": "a day old", "dry": "dry", "specimen": "", "": ""}


@dataclass(frozen=True, slots=True)
class Made:
    """The newest block lots of a product, oldest first."""

    product: str
    lots: tuple[LotView, ...]


@dataclass(slots=True)
class _Gathered:
    points: list[Point] = field(default_factory=list)
    doubted: list[str] = field(default_factory=list)
    """Pieces that may lack ties."""


def lots_of(plant_no: int, at_ms: int) -> tuple[Made, ...]:
    """Give the newest block lots that mould runs made until a time, by product."""
    found: dict[str, list[LotView]] = {}
    every = (view for kind in MOULDED for view in lots.of_kind(plant_no, kind, "mould run"))
    for view in every:
        if view.first is not None and view.first <= at_ms:
            found.setdefault(view.product, []).append(view)
    return tuple(
        Made(product, tuple(sorted(some, key=lambda one: (one.first or 0, one.no))[-MOST:]))
        for product, some in sorted(found.items())
    )


def of_blocks(
    plant_no: int,
    in_force: Settings,
    made: Iterable[Made],
    presses: Mapping[str, str],
    at_ms: int,
) -> Iterator[Watched]:
    """Give the series of block lots; ``presses`` says by lot where it was moulded."""
    every = tuple(made)
    codes = [view.code for one in every for view in one.lots]
    found = evidence_of(plant_no, codes, in_force, at_ms)
    for one in every:
        read = [(view, found[view.code]) for view in one.lots]
        yield from _measured(one.product, read)
        yield from _counted(one.product, read, presses)


def _measured(product: str, read: Iterable[tuple[LotView, Evidence]]) -> Iterator[Watched]:
    groups: dict[tuple[str, str], _Gathered] = {}
    unfit: dict[str, list[str]] = {}
    for view, evidence in read:
        for aside in evidence.aside:
            for name in aside.characteristics:
                unfit.setdefault(name, []).append(view.code)
        for name, values in evidence.values.items():
            if not _is_measured(name):
                continue
            by_state: dict[str, list[Value]] = {}
            for value in values:
                by_state.setdefault(value.state, []).append(value)
            for state, some in by_state.items():
                _add(groups.setdefault((name, state), _Gathered()), view, some, evidence)
    for (name, state), here in sorted(groups.items()):
        if here.points:
            yield _series(product, (name, state), here, unfit)


def _is_measured(name: str) -> bool:
    known = CHARACTERISTICS.get(name)
    return known is not None and known.scale in _MEASURED and name not in _SAID_BY_DENSITY


def _add(here: _Gathered, view: LotView, some: Iterable[Value], evidence: Evidence) -> None:
    kept = []
    for value in some:
        if value.characteristic == "density" and evidence.set_aside.intersection(value.ids):
            here.doubted.append(f"{view.code} {value.piece}".strip())
        else:
            kept.append(value.si)
    if kept:
        here.points.append(Point(view.first or 0, view.code, tuple(kept)))


def _series(
    product: str, of: tuple[str, str], here: _Gathered, unfit: Mapping[str, list[str]]
) -> Watched:
    name, state = of
    words = CHARACTERISTICS[name].quantity
    if name == "density" and state != "specimen":
        words = "dry foam density net of ties and water"
    title = ", ".join(part for part in (words, _STATES.get(state, state), product) if part)
    key = key_of(name if state in {"", "specimen"} and name != "density" else
                 f"{name}_{state or 'said'}", product)  # fmt: skip
    points = newest(here.points)
    absent = _absent((name, state), here, unfit)
    kind = kind_of(name) or ""
    return Watched(
        key, title[:1].upper() + title[1:], name, product, "", kind, "measured", "lots", points,
        absent,
    )  # fmt: skip


def _absent(
    of: tuple[str, str], here: _Gathered, unfit: Mapping[str, list[str]]
) -> tuple[str, ...]:
    name, state = of
    said = []
    if here.doubted:
        said.append(f"Not counted, because they may lack ties: {', '.join(here.doubted)}.")
    read_as = STATES.get(state, name) if name == "density" else name
    if read_as in unfit:
        codes = in_runs(list(dict.fromkeys(unfit[read_as])))
        said.append(f"Readings set aside, because the instrument was not fit: of {codes}.")
    return tuple(said)


def _counted(
    product: str, read: Iterable[tuple[LotView, Evidence]], presses: Mapping[str, str]
) -> Iterator[Watched]:
    """Give defective pieces of those looked at, by kind; presses apart."""
    found: dict[tuple[str, str], list[Point]] = {}
    for view, evidence in read:
        checked = evidence.defects.checked
        if not checked:
            continue
        number = dict(evidence.defects.defective)
        for kind in DEFECTS:
            if f"defective_{kind}" in evidence.values:
                point = Point(view.first or 0, view.code, (float(number[kind]),), checked)
                found.setdefault((kind, presses.get(view.code, "")), []).append(point)
    for (kind, press), points in sorted(found.items()):
        at = f" at {press}" if press else ""
        yield Watched(
            key_of(f"share_defective_{kind}", product, press),
            f"Share defective, {kind}, {product}{at}", f"share_defective_{kind}", product, press,
            "fraction", "defectives", "lots", newest(points),
        )  # fmt: skip
