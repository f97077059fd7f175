"""What the tool says of a simulated plant, held against what is true of it.

Read :func:`score` first.
"""

from __future__ import annotations

import json
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from beadwright.ledger.trace import trace
from beadwright.plant.mass_off import off_of
from beadwright.plant.opening import Plant, open_plant
from beadwright.plant.recall.scope import InScope, scope
from tests.simulated.clerk import (
    BEAD_KG,
    Event,
    Followed,
    events,
    followed,
    masses,
    most_through,
)

__all__ = ["ROUNDING", "Score", "affected", "read_truth", "score", "shares_of"]

ROUNDING = 4e-6
"""Share that the record's own rounding to half a milligram a tie, of 140 g or more, may hide."""

_CLERK = 1e-5
"""Share of a start by which the clerk's own arithmetic may differ: some 9 g of a bag."""


@dataclass
class Score:
    """What was asked, and what was wrong with the answers."""

    sources: int = 0
    affected: int = 0
    """Lots and bundles that truly hold some of a source, down to one bead."""
    missed: list[tuple[str, str, float]] = field(default_factory=list)
    """Source, lot, and how many kilograms of the one are in the other."""
    hidden: dict[str, set[str]] = field(default_factory=dict)
    """What no record can know of: by bag, what was drawn of a run of it that nobody entered; by
    carton, lots whose blocks lack ties that were written as if they were in."""
    unseen: set[tuple[str, str]] = field(default_factory=set)
    """Bag and lot that are missed for that reason alone."""
    unknown: set[tuple[str, str]] = field(default_factory=set)
    """Bag and lot that are outside their bounds for that reason alone."""
    ratios: list[float] = field(default_factory=list)
    """Mass of the scope over that of the clerk, by source."""
    shares: int = 0
    """True shares held against the bounds of a trace back, and of a recall."""
    outside: list[tuple[str, str, float]] = field(default_factory=list)
    """Lot, source, and by how much the true share lies outside the bounds."""
    widths: list[float] = field(default_factory=list)
    """From the least to the most, of each of those shares."""
    open_kg: float = 0.0
    """The largest difference of a closing account, which names everything."""
    unaccounted: list[float] = field(default_factory=list)
    """Share of a source that its account does not name by a place, by source."""
    beyond: list[float] = field(default_factory=list)
    """Mass that an account leaves so over what explains it, by source: see :func:`score`."""

    @property
    def furthest(self) -> float:
        """By how much a true share lies outside its bounds at most."""
        return max((off for _, _, off in self.outside), default=0.0)


def read_truth(folder: Path) -> Any:
    """Read the answer sheet."""
    return json.loads((folder / "truth.json").read_text(encoding="utf-8"))


def affected(truth: Mapping[str, Any], source: str) -> dict[str, float]:
    """Kilograms of a source in every lot and bundle that truly holds one bead of it or more."""
    found = {}
    for kind in ("lots", "bundles"):
        for lot, mix in truth[kind].items():
            kg = mix.get(source, 0.0) * truth["kg"][lot]
            if kg >= BEAD_KG:
                found[lot] = kg
    return found


def score(folder: Path, sources: Sequence[str], lots: Sequence[str], gain: float = 0.0) -> Score:
    """Recall some sources, and ask what some lots are made of; compare with the truth.

    A place that is swept is off by what its scales were: the one in and the one out each with a
    gain of one deviation ``gain``, times all that went through; three deviations are allowed. And
    the books cannot name what truly stayed in it when it was written down as empty: its last bag
    bears all of that, in silo, line and hopper. The other way, no more may be named than there was
    but for what blocks take when they are counted at the mass of their lot's first, and for what
    was drawn out of a place beyond its books because a run into it was never entered.
    """
    truth, told = read_truth(folder), events(folder)
    plant, came = open_plant(truth["plant"]), masses(told)
    found = Score(hidden=_hidden(truth, told))
    scales_kg = 3 * math.sqrt(2) * gain * most_through(told)
    for source in sources:
        recall = scope(plant.no, [source])
        listed = {one.lot.code: one for one in recall.lots}
        true = affected(truth, source)
        found.sources += 1
        found.affected += len(true)
        for lot in true.keys() - listed.keys():
            if lot in found.hidden.get(source, ()):
                found.unseen.add((source, lot))
            else:
                found.missed.append((source, lot, true[lot]))
        least = followed(told, source)
        goods = _goods(least.reached, truth, came)
        found.ratios.append(_goods(listed, truth, came) / max(1e-9, goods))
        (closing,) = recall.accounts
        found.open_kg = max(found.open_kg, abs(closing.total - closing.made) / 1e6)
        found.unaccounted.append(abs(closing.unaccounted) / closing.made)
        rest_kg = closing.unaccounted / 1e6
        more = least.beyond + _never_entered(least, truth)
        explained = scales_kg + (_stayed(least, truth) if rest_kg > 0 else more)
        explained += _CLERK * closing.made / 1e6
        found.beyond.append(abs(rest_kg) / explained)
        shares_of(found, source, listed, truth)
    for lot in lots:
        _shares(found, plant, lot, truth)
    return found


def _hidden(truth: Mapping[str, Any], told: Iterable[Event]) -> dict[str, set[str]]:
    """Say by bag and carton in which lots, and their bundles, no record can know how much is.

    Of a bag of which a run was never entered: what truly holds some of that run.
    """
    found: dict[str, set[str]] = defaultdict(set)
    for run in truth.get("unentered", ()):
        found[run["bag"]].update(run["lots"])
    lacking: dict[str, set[str]] = defaultdict(set)
    for lot in (lot for one in truth["faults"] for lot in one.get("ties_missing", ())):
        for source in truth["lots"][lot]:
            if source.startswith("T"):
                lacking[source].add(lot)
    for event in told:
        came, went = ({lot for lot, _ in of} for of in (event.came_from, event.went_into))
        for lots in lacking.values():
            if lots & came:
                lots.update(went & truth["bundles"].keys())
    for source, lots in lacking.items():
        found[source].update(lots)
    return found


def _never_entered(one: Followed, truth: Mapping[str, Any]) -> float:
    """What was taken of a source out of places beyond their books, as far as runs were missing."""
    found: dict[str, float] = defaultdict(float)
    for run in truth.get("unentered", ()):
        found[run["silo"]] += float(run["kg"])
    return sum(min(kg, found[place]) for place, kg in one.over.items() if place in found)


def _stayed(one: Followed, truth: Mapping[str, Any]) -> float:
    """What truly stayed where a source was when a place was written down as empty, in kg."""
    return sum(float(truth["left"][place][time]) for place, time in one.emptied)


def _goods(scope: Iterable[str], truth: Mapping[str, Any], came: Mapping[str, float]) -> float:
    """Mass of the lots and bundles of a scope, by the sheets."""
    return sum(came[lot] for lot in scope if lot in truth["lots"] or lot in truth["bundles"])


def shares_of(
    found: Score, source: str, listed: Mapping[str, InScope], truth: Mapping[str, Any]
) -> None:
    """Hold the true shares of a source against the bounds of its recall."""
    for kind in ("lots", "bundles"):
        for lot in truth[kind].keys() & listed.keys():
            one = listed[lot]
            _held(found, (lot, source), truth[kind][lot].get(source, 0.0), (one.least, one.most))


def _shares(found: Score, plant: Plant, lot: str, truth: Mapping[str, Any]) -> None:
    """Hold the true shares of a lot against the bounds of its trace back."""
    told = {one.lot.code: one for one in trace(plant.no, lot, "back", off=off_of(plant.no)).lots}
    for source, share in truth["lots"][lot].items():
        one = told.get(source)
        _held(found, (lot, source), share, (one.least, one.most) if one else (0.0, 0.0))


def _held(found: Score, about: tuple[str, str], share: float, within: tuple[float, float]) -> None:
    least, most = within
    found.shares += 1
    found.widths.append(most - least)
    off = max(least - share, share - most)
    if off <= 1e-8:  # the answer sheet is written to nine digits
        return
    lot, source = about
    if lot in found.hidden.get(source, ()):
        found.unknown.add((source, lot))
    else:
        found.outside.append((lot, source, off))
