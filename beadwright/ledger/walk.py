"""Rows that a trace walks over, read ahead in batches: steps with all their lines, lots in order.

Genealogy is walked step to step: from a line that brings material into a lot to the later lines
that draw on it, up to the lot's next swept empty. Blocks and what is packed of them are touched a
few times and read many at once; silos, bins and cartons are read in windows.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from beadwright.ledger import store

__all__ = ["QUIET", "Line", "Lines", "LotFacts", "Mark", "StepFacts", "Walk"]

QUIET = frozenset({"block", "packaging"})
"""Kinds of lots that only a few steps ever touch."""

_WINDOW = 256


class LotFacts(NamedTuple):
    """What a trace says of a lot."""

    no: int
    code: str
    kind: str
    what: str
    product: str
    place: str


class StepFacts(NamedTuple):
    """What a trace says of a step."""

    no: int
    k: int
    tie: int
    key: str
    kind: str
    at_ms: int
    product: str
    place: str


Line = tuple[int, int, int, int, int]
"""Lot, direction, mass moved, the lot's stock after it, what the books were off by.

A bare tuple: a trace reads tens of thousands of them.
"""

Lines = list[Line]
Mark = tuple[int, int, int]


class Walk:
    """Rows of one plant, read on demand and kept while a trace runs."""

    def __init__(self, plant: int, *, forward: bool) -> None:
        """Walk towards what was made of a lot, or back to what it was made of."""
        self._plant = plant
        self._forward = forward
        self.lots: dict[int, LotFacts] = {}
        self.steps: dict[int, StepFacts] = {}
        self.lines: dict[int, Lines] = {}
        self._coming: dict[int, list[Mark]] = {}
        self._whole: dict[int, bool] = {}
        self._width: dict[int, int] = {}

    def next(self, lot: int, order: tuple[int, int]) -> Mark | None:
        """Give the next step that touches a lot, past a place in the order; its lines are read."""
        coming = self._coming.get(lot)
        while True:
            if coming is None or (not coming and not self._whole[lot]):
                self._read(lot, order)
                coming = self._coming[lot]
            while coming and not self._past(coming[-1], order):
                coming.pop()
            if coming or self._whole[lot]:
                break
        return coming[-1] if coming else None

    def _past(self, mark: Mark, order: tuple[int, int]) -> bool:
        return mark[:2] > order if self._forward else mark[:2] < order

    def _read(self, lot: int, order: tuple[int, int]) -> None:
        facts = self.lots.get(lot)
        if facts is not None and facts.kind in QUIET:
            self._read_quiet([lot], order)
            return
        width = self._width[lot] = 4 * self._width.get(lot, _WINDOW // 4)
        sign, way = (">", "") if self._forward else ("<", " DESC")
        # What others brought into a busy lot changes only its stock, which every line carries.
        drawn = " AND sign <= 0" if self._forward else ""
        rows = store.select(
            f"SELECT lot, k, tie, step FROM ledger_touch WHERE p=%s AND lot=%s{drawn}"
            f" AND (k, tie) {sign} (%s, %s) ORDER BY k{way}, tie{way} LIMIT %s",
            [self._plant, lot, *order, width],
        )
        self._whole[lot] = len(rows) < width
        self._coming[lot] = []
        self._keep(rows, order)

    def _read_quiet(self, lots: list[int], order: tuple[int, int]) -> None:
        rows: list[store.Row] = []
        sign, way = (">", "") if self._forward else ("<", " DESC")
        for batch in store.parts(lots):
            marks = ",".join(["%s"] * len(batch))
            rows += store.select(
                f"SELECT lot, k, tie, step FROM ledger_touch WHERE p=%s AND lot IN ({marks})"
                f" AND (k, tie) {sign} (%s, %s) ORDER BY lot, k{way}, tie{way}",
                [self._plant, *batch, *order],
            )
        for lot in lots:
            self._coming[lot] = []
            self._whole[lot] = True
        self._keep(rows, order)

    def _keep(self, rows: Iterable[store.Row], order: tuple[int, int]) -> None:
        """Keep marks nearest last, read their steps, and the quiet lots those lead to."""
        steps: set[int] = set()
        for lot, k, tie, step in reversed(list(rows)):
            coming = self._coming[lot]
            if not coming or coming[-1][2] != step:
                coming.append((k, tie, step))
            steps.add(step)
        fresh = steps - self.lines.keys()
        if not fresh:
            return
        lead = self._read_steps(fresh)
        quiet = [lot for lot in lead if lot not in self._coming and self.lots[lot].kind in QUIET]
        if quiet:
            self._read_quiet(quiet, order)

    def _read_steps(self, numbers: set[int]) -> set[int]:
        towards = 1 if self._forward else -1
        lead: set[int] = set()
        for batch in store.parts(numbers):
            marks = ",".join(["%s"] * len(batch))
            for no in batch:
                self.lines[no] = []
            touched: set[int] = set()
            for row in store.select(
                "SELECT t.step, t.lot, t.sign, t.moved_mg, t.mg, t.differ_mg FROM ledger_touch t"
                f" WHERE t.p=%s AND t.step IN ({marks}) ORDER BY t.step, t.line",
                [self._plant, *batch],
            ):
                self.lines[row[0]].append(row[1:])
                touched.add(row[1])
                if row[2] == towards:
                    lead.add(row[1])
            for row in store.select(
                "SELECT no, k, tie, key, kind, at_ms, product, place FROM ledger_step"
                f" WHERE p=%s AND no IN ({marks})",
                [self._plant, *batch],
            ):
                self.steps[row[0]] = StepFacts._make(row)
            self.know(touched)
        return lead

    def know(self, lots: Iterable[int]) -> None:
        """Read what is said of lots."""
        for batch in store.parts(set(lots) - self.lots.keys()):
            marks = ",".join(["%s"] * len(batch))
            for row in store.select(
                "SELECT no, code, kind, what, product, place FROM ledger_lot"
                f" WHERE p=%s AND no IN ({marks})",
                [self._plant, *batch],
            ):
                self.lots[row[0]] = LotFacts._make(row)
