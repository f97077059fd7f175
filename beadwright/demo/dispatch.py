"""Bundles and lorries.

Read :class:`Dispatch` first: lots are bundled when a day old and looked over, stay a few days, and
leave for a yard or a site, the oldest first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.demo.clock import DAYS, HOUR, day_start, next_open
from beadwright.demo.description import PRODUCTS, RECEIVERS
from beadwright.demo.noise import Noise
from beadwright.demo.sheets import Bundling, Shipment

__all__ = ["Dispatch", "Ready", "shipped"]

_PACKERS = ("CU", "LN")
_STAY = 22 * HOUR  # in the store at least
_LOAD = (22, 34)  # bundles on a lorry
_LORRIES = (2, 4)


@dataclass(frozen=True)
class Ready:
    """A lot that may be bundled: product, when it was looked over, pieces left."""

    lot: str
    product: str
    at: int
    pieces: int


@dataclass
class _Bundle:
    code: str
    product: str
    at: int
    pieces: int


@dataclass
class Dispatch:
    """The store and the dock."""

    noise: Noise
    apart: frozenset[str]
    """Lots that share a bundle with no other."""
    bundles: list[Bundling] = field(default_factory=list)
    shipments: list[Shipment] = field(default_factory=list)
    _store: list[_Bundle] = field(default_factory=list)
    _loose: dict[str, tuple[str, int]] = field(default_factory=dict)
    _count: int = 0

    def work(self, ready: Sequence[Ready]) -> None:
        """Bundle every lot, then load lorries day by day."""
        for lot in sorted(ready, key=lambda one: (one.at, one.lot)):
            self._bundle(lot)
        number = 0
        for working in range(2, DAYS):
            lorries = [self.noise.whole(450, 900) for _ in range(self.noise.whole(*_LORRIES))]
            for time in sorted(lorries):
                number += self._load(f"SH-{number + 1:03d}", day_start(working) + time)

    def _bundle(self, lot: Ready) -> None:
        size = PRODUCTS[lot.product].bundle
        at = next_open(lot.at + self.noise.whole(40, 200))
        left = lot.pieces
        other = self._loose.get(lot.product)
        if other is not None and lot.lot not in self.apart and left >= size:
            del self._loose[lot.product]
            self._count += 1
            self._put(at, other[0], other[1])
            self._put(at + 1, lot.lot, size - other[1])
            self._stack(lot.product, at + 1, size)
            left -= size - other[1]
        while left >= size:
            at += self.noise.whole(3, 6)
            self._count += 1
            self._put(at, lot.lot, size)
            self._stack(lot.product, at, size)
            left -= size
        if left and lot.lot not in self.apart and self.noise.chance(0.5):
            self._loose[lot.product] = (lot.lot, left)
        elif left and self.noise.chance(0.5):  # loose pieces leave under the lot's own code
            self._store.append(_Bundle(lot.lot, lot.product, at, left))

    def _put(self, at: int, lot: str, pieces: int) -> None:
        self.bundles.append(
            Bundling(
                at=at,
                by=self.noise.pick(_PACKERS),
                bundle=f"BN-{self._count:04d}",
                lot=lot,
                pieces=pieces,
            )
        )

    def _stack(self, product: str, at: int, pieces: int) -> None:
        self._store.append(_Bundle(f"BN-{self._count:04d}", product, at, pieces))

    def _load(self, code: str, at: int) -> int:
        """Load one lorry with the oldest of one product; count it if it left."""
        old = [bundle for bundle in self._store if bundle.at + _STAY < at]
        if not old:
            return 0
        product = self.noise.pick(old[:40]).product
        load = [bundle for bundle in old if bundle.product == product]
        load = load[: self.noise.whole(*_LOAD)]
        receiver = self.noise.pick(RECEIVERS)
        for bundle in load:
            self._store.remove(bundle)
            self.shipments.append(
                Shipment(
                    at=at,
                    by="CU",
                    shipment=code,
                    receiver=receiver,
                    what=bundle.code,
                    pieces=bundle.pieces,
                )
            )
        return 1


def shipped(bundles: Sequence[Bundling], shipments: Sequence[Shipment]) -> Mapping[str, int]:
    """Pieces of each lot that have left."""
    left = {row.what for row in shipments}
    gone: dict[str, int] = {}
    for row in bundles:
        if row.bundle in left:
            gone[row.lot] = gone.get(row.lot, 0) + row.pieces
    bundled = {row.bundle for row in bundles}
    for loose in shipments:
        if loose.what not in bundled:
            gone[loose.what] = gone.get(loose.what, 0) + loose.pieces
    return gone
