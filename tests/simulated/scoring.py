"""What the tool says of a simulated plant, held against what is true of it.

Read :func:`score` first.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from beadwright.ledger.account import account
from beadwright.ledger.lots import plant_number
from beadwright.ledger.trace import trace
from tests.simulated.clerk import BEAD_KG, events, followed, masses

__all__ = ["Score", "affected", "read_truth", "score"]


@dataclass
class Score:
    """What was asked, and what was wrong with the answers."""

    sources: int = 0
    affected: int = 0
    """Lots and bundles that truly hold some of a source, down to one bead."""
    missed: list[tuple[str, str, float]] = field(default_factory=list)
    """Source, lot, and how many kilograms of the one are in the other."""
    ratios: list[float] = field(default_factory=list)
    """Mass of the scope over that of the clerk, by source."""
    shares: int = 0
    outside: list[tuple[str, str, float]] = field(default_factory=list)
    """Lot, source, and by how much the true share lies outside the bounds."""
    open_kg: float = 0.0
    """The largest difference of a closing account, which names everything."""
    unaccounted: list[float] = field(default_factory=list)
    """Share of a source that its account does not name by a place, by source."""

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


def score(folder: Path, sources: Sequence[str], lots: Sequence[str]) -> Score:
    """Ask where some sources went, and what some lots are made of; compare with the truth."""
    truth, told = read_truth(folder), events(folder)
    plant, came, found = plant_number(truth["plant"]), masses(told), Score()
    for source in sources:
        scope = {one.lot.code for one in trace(plant, source, "forward").lots}
        true = affected(truth, source)
        found.sources += 1
        found.affected += len(true)
        found.missed += [(source, lot, kg) for lot, kg in true.items() if lot not in scope]
        least = followed(told, source)
        found.ratios.append(_goods(scope, truth, came) / max(1e-9, _goods(least, truth, came)))
        closing = account(plant, source)
        found.open_kg = max(found.open_kg, abs(closing.total - closing.made) / 1e6)
        found.unaccounted.append(abs(closing.unaccounted) / closing.made)
    for lot in lots:
        _shares(found, plant, lot, truth)
    return found


def _goods(scope: set[str], truth: Mapping[str, Any], came: Mapping[str, float]) -> float:
    """Mass of the lots and bundles of a scope, by the sheets."""
    return sum(came[lot] for lot in scope if lot in truth["lots"] or lot in truth["bundles"])


def _shares(found: Score, plant: int, lot: str, truth: Mapping[str, Any]) -> None:
    """Hold the true shares of a lot against the bounds of its trace back."""
    told = {one.lot.code: one for one in trace(plant, lot, "back").lots}
    for source, share in truth["lots"][lot].items():
        found.shares += 1
        one = told.get(source)
        off = share if one is None else max(one.least - share, share - one.most)
        if off > 1e-8:  # the answer sheet is written to nine digits
            found.outside.append((lot, source, off))
