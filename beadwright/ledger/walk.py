"""Rows that a trace walks over, read ahead in batches: steps in the order of the walk.

Read :meth:`Walk.go` first. Genealogy is walked step to step: from a line that brings material into
a lot to the later lines that draw on it, up to the lot's next swept empty. Blocks and what is
packed of them are touched a few times and read many at once; silos, bins and cartons are read in
windows.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterable
from functools import partial
from typing import Any, NamedTuple, TypeVar

from django.db import connection

from beadwright.ledger import store
from beadwright.ledger.draft import MOULDED

__all__ = ["Line", "LotFacts", "Mark", "Order", "Reads", "StepFacts", "Walk", "chosen"]

_WINDOW = 256
_T = TypeVar("_T")


class LotFacts(NamedTuple):
    """What a trace says of a lot."""

    no: int
    code: str
    kind: str
    what: str
    product: str
    place: str
    mg: int
    """Stock by the books, after all steps."""


class StepFacts(NamedTuple):
    """What a trace says of a step."""

    no: int
    key: str
    kind: str
    at_ms: int
    product: str
    place: str


Line = tuple[int, int, int, int, int, int, int, int]
"""Step, its line, lot, direction, mass moved, the lot's stock after it, what the books were off by,
and pieces moved.

A bare row: a trace reads tens of thousands of them.
"""

Order = tuple[int, int]
"""Where a step stands in the walk. It counts down: a step that is farther on has a smaller one."""

Mark = tuple[int, int, int]
"""The same, and the step's number; or a lot's, negative, where its steps are read no farther."""

_LINE = "step, line, lot, sign, moved_mg, mg, differ_mg, moved_pieces"

_START: Order = (2**62, 2**62)
_END: Order = (-(2**62), -(2**62))


class Reads:
    """Rows that walks have read, so that another over the same way reads none of them again."""

    def __init__(self) -> None:
        """Begin with none."""
        self.stepwise = False
        """Whether the walks cross every step, and so read row by row."""
        self._rows: dict[object, Any] = {}

    def once(self, key: object, read: Callable[[], _T]) -> _T:
        """Give the answer to a question, as it was read first."""
        if key not in self._rows:
            self._rows[key] = read()
        found: _T = self._rows[key]
        return found


class Walk:
    """Steps of one plant in the order of the walk, read on demand and kept while a trace runs.

    Steps are queued as they are read, which may be before anything of the lot asked about is in
    the lots they touch, or after it is gone: such a step finds nothing, and changes nothing.
    """

    def __init__(self, plant: int, *, forward: bool, reads: Reads | None = None) -> None:
        """Walk towards what was made of a lot, or back to what it was made of.

        ``reads`` holds what other walks have read, and takes what this one does.
        """
        self._plant = plant
        self._reads = reads
        self._way = 1 if forward else -1
        self.lots: dict[int, LotFacts] = {}
        """Lots that the steps read lead to."""
        self.quiet: set[int] = set()
        self.places: set[int] = set()
        self.steps: dict[int, StepFacts] = {}
        """Steps that state a stock, and those asked about."""
        self.lines: dict[int, list[Line]] = {}
        """Lines of the steps read, in order; of a step that leads on nowhere, only those of lots
        that are followed."""
        self._whole: set[int] = set()
        """Steps of which every line is read."""
        self._read_to: dict[int, Order] = {}
        self._width: dict[int, int] = {}
        self._queue: list[Mark] = []
        """The nearest last."""
        self._own = 0
        """The lot asked about."""

    def go(self, lot: int, there: Container[int], cross: Callable[[int], Iterable[int]]) -> None:
        """Cross every step that touches a lot of the walk, each once and in order.

        ``cross(step)`` gives the lots that have something of the lot asked about from there on;
        ``there`` are those that have some.
        """
        queue, read_to = self._queue, self._read_to
        self._own = lot
        self._follow(lot, _START)
        while queue:
            k, tie, no = queue.pop()
            if no < 0:
                if -no in there or -no == lot:
                    self._follow(-no, (k, tie))
                continue
            for new in cross(no):
                to = read_to.get(new, _START)
                if to is not _END and to >= (k, tie):
                    self._follow(new, (k, tie))

    def _follow(self, lot: int, order: Order) -> None:
        """Queue the steps that touch a lot next, past a place in the order of the walk."""
        if lot in self.quiet:
            self._read_quiet({lot}, order)
        else:
            self._read(lot, order)
        self._queue.sort()

    def _read(self, lot: int, order: Order) -> None:
        """Read a window of a busy lot's steps, and all quiet lots that they lead to.

        Where a step leads on nowhere, what the lot's own lines say of it is enough.
        """
        width = self._width[lot] = 4 * self._width.get(lot, _WINDOW // 4)
        sort = "" if self._way > 0 else " DESC"
        sql = (
            f"SELECT {self._order}, {_LINE} FROM ledger_touch"
            f" WHERE p=%s AND lot=%s{self._drawn} AND {self._past}"
            f" ORDER BY k{sort}, tie{sort}, line{sort} LIMIT %s"
        )
        args = [self._plant, lot, *self._place(order), width]
        rows = self._once((self._way, *args), lambda: store.select(sql, args))
        self._read_to[lot] = _END
        ends = len(rows) < width
        if lot != self._own and (swept := self._swept(rows)):
            rows, ends = rows[:swept], False
        marks = [row[:3] for row in rows if row[5] == -self._way]
        if not ends:
            marks.append(rows[-1][:3])  # its other lines may be beyond the window
            self._read_to[lot] = end = rows[-1][:2]
            self._queue.append((*end, -lot))
        self._read_on(marks, rows if self._way > 0 else rows[::-1], order)

    def _swept(self, rows: list[store.Row]) -> int:
        """Give how many of a lot's lines there are to where it was swept empty; 0 if it was not.

        Beyond it there is nothing of the lot asked about, until something comes in anew.
        """
        self.know_steps({row[2] for row in rows if not row[5]})
        for i, row in enumerate(rows):
            if not row[5] and self.steps[row[2]].kind == "swept_empty":
                return i + 1
        return 0

    def _read_on(self, marks: Iterable[Mark], rows: Iterable[store.Row], order: Order) -> None:
        """Read what steps of a busy lot lead to; ``rows`` are the lot's own lines of them."""
        leads = self._read_lines(marks)
        self._keep_own(rows)
        self._read_quiet(leads, order)

    def _keep_own(self, rows: Iterable[store.Row]) -> None:
        """Keep a lot's own lines of steps that lead on nowhere."""
        stated: set[int] = set()
        for row in rows:
            step = row[2]
            if step not in self._whole:
                if step not in self.lines:
                    self.lines[step] = []
                    self._queue.append(row[:3])
                self.lines[step].append(row[2:])
                if not row[5]:
                    stated.add(step)
        self.know_steps(stated)

    def _read_quiet(self, lots: set[int], order: Order) -> None:
        """Read quiet lots, and all quiet lots that those lead to."""
        while lots := lots - self._read_to.keys():
            self._read_to.update(dict.fromkeys(lots, _END))
            marks = self._chosen(
                f"{self._order}, step FROM ledger_touch", "lot", lots,
                f"{self._past}{self._drawn}", *self._place(order),
            )  # fmt: skip
            lots = self._read_lines(marks)

    def _read_lines(self, marks: Iterable[Mark]) -> set[int]:
        """Read every line of steps; give the quiet lots that they lead to."""
        new = {mark[2]: mark for mark in marks if mark[2] not in self._whole}
        self._whole.update(new)
        self._queue += [mark for step, mark in new.items() if step not in self.lines]
        rows = self._chosen(f"{_LINE} FROM ledger_touch", "step", new)
        rows.sort()
        last = 0
        lines: list[Line] = []
        for row in rows:
            if row[0] != last:
                last = row[0]
                lines = self.lines[last] = []
            lines.append(row)
        leads = {row[2] for row in rows if row[3] == self._way}
        self.know(leads)
        self.know_steps({row[0] for row in rows if not row[3]})
        return leads & self.quiet

    def know(self, lots: Iterable[int]) -> None:
        """Read what is said of lots."""
        what = "no, code, kind, what, product, place, mg FROM ledger_lot"
        rows = self._chosen(what, "no", set(lots) - self.lots.keys())
        self.lots |= {row[0]: LotFacts._make(row) for row in rows}
        self.quiet |= {row[0] for row in rows if row[2] in MOULDED}
        self.places |= {row[0] for row in rows if row[3] == "content"}

    def know_steps(self, steps: Iterable[int]) -> None:
        """Read what is said of steps."""
        what = "no, t.key, kind, at_ms, product, place FROM ledger_step"
        rows = self._chosen(what, "no", set(steps) - self.steps.keys())
        self.steps |= {row[0]: StepFacts._make(row) for row in rows}

    def _chosen(
        self, what: str, column: str, values: Collection[int], *more: int | str, joined: str = ""
    ) -> list[store.Row]:
        if not values:
            return []
        key = ("chosen", what, column, frozenset(values), *more)
        read = partial(chosen, self._plant, what, column, values, *more, joined=joined)
        return self._once(key, read)

    def _once(self, key: object, read: Callable[[], _T]) -> _T:
        return read() if self._reads is None else self._reads.once(key, read)

    @property
    def _order(self) -> str:
        return "-k, -tie" if self._way > 0 else "k, tie"

    @property
    def _drawn(self) -> str:
        # What others brought into a lot changes only its stock, which every line carries.
        return " AND sign <= 0" if self._way > 0 else ""

    @property
    def _past(self) -> str:
        return "(k, tie) > (%s, %s)" if self._way > 0 else "(k, tie) < (%s, %s)"

    def _place(self, order: Order) -> Order:
        return -self._way * order[0], -self._way * order[1]


def chosen(
    plant: int,
    what: str,
    column: str,
    values: Collection[int],
    *more: int | str,
    joined: str = "",
) -> list[store.Row]:
    """Rows of a plant in which a column holds one of many numbers: ``SELECT what t WHERE ...``.

    ``more`` is a condition besides, and its parameters. The numbers are one parameter, since a
    mark for each costs more than finding the rows. ``joined`` is another table, and on what.
    """
    if not values:
        return []
    listed, also = str(list(values)), f" AND {more[0]}" if more else ""
    if connection.vendor == "postgresql":
        # Of a type narrower than the column: then it takes the index, and never reads all rows.
        other = f" JOIN {joined}" if joined else ""
        sql = f"SELECT {what} t{other} WHERE t.p=%s AND t.{column} = ANY(%s::int[]){also}"
        return store.select(sql, [plant, f"{{{listed[1:-1]}}}", *more[1:]])
    table, _, name = what.rpartition(" FROM ")
    other = f" CROSS JOIN {joined}" if joined else ""
    sql = (
        f"SELECT {table} FROM json_each(%s) j CROSS JOIN {name} t ON t.{column}=j.value{other}"
        f" WHERE t.p=%s{also}"
    )
    return store.select(sql, [listed, plant, *more[1:]])
