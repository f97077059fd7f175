"""What was entered since a head of the record, where that was new steps and readings and no more.

Read :func:`since`, then :class:`KeptAnswer`. Whoever keeps an answer asks here what an entry may
have changed of it. A step that comes after everything that touched its lots, and that nothing is
wrong with, changes these lots alone: no state, finding or mark of any other. Of all else nothing
is said: then everything is to be asked anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from threading import Lock
from typing import Any, Generic, TypeVar
from weakref import WeakSet

from beadwright.ledger import store
from beadwright.ledger.draft import Material
from beadwright.ledger.fold import State, moulded, reaching
from beadwright.ledger.projection import first_k

__all__ = ["KeptAnswer", "News", "Tip", "forget", "reached", "since"]

_MOST = 40
"""Entries that are looked at one by one; after more, everything is asked anew."""

_KINDS = frozenset({"step", "readings"})
"""Kinds of entry whose reach is known; no other is looked at."""

_RUN, _PLACE = "mould run", "content"


@dataclass(frozen=True, slots=True)
class Tip:
    """An entry of a plant's record by its number and hash."""

    plant_no: int
    seq: int
    hash: str


@dataclass(frozen=True, slots=True)
class News:
    """What new steps touched, and which entries hold new readings."""

    lots: frozenset[str] = frozenset()
    """Every lot that the steps touch."""
    runs: frozenset[str] = frozenset()
    """Lots of mould runs among them, and those whose blocks the others hold."""
    added: frozenset[str] = frozenset()
    """Lots of mould runs, known before, that more came into."""
    kinds: frozenset[str] = frozenset()
    """Kinds of the steps."""
    left: frozenset[str] = frozenset()
    """Places from which lots known before were moved."""
    readings: tuple[int, ...] = ()
    """Entries of readings."""

    @property
    def none(self) -> bool:
        """Whether nothing was entered."""
        return not self.kinds and not self.readings


@dataclass(frozen=True, slots=True)
class _Touch:
    step: int
    lot: int
    sign: int
    k: int
    grades: str
    causes: str
    place: str
    code: str
    kind: str
    what: str
    born: int
    marks: str
    """What the lot is marked with now."""


def reached(plant_no: int) -> Tip | None:
    """Give the last entry of a plant's record; None where it has none."""
    row = store.one("SELECT seq, hash FROM ledger_head WHERE no=%s", [plant_no])
    return None if row is None or not row[0] else Tip(plant_no, *row)


def since(before: Tip, now: Tip) -> News | None:
    """Give what was entered after one head of a record until another; None where it is not known.

    It is not where the first is no entry of the record, where there was more than steps and
    readings, where a step comes before what touched its lots already, happened in one millisecond
    with it, or does not conform, and where a lot known before carries other grades or causes since.
    """
    if before == now:
        return News()
    return _since(before, now) if 0 < now.seq - before.seq <= _MOST else None


_T = TypeVar("_T")
_every: WeakSet[KeptAnswer[Any]] = WeakSet()


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class KeptAnswer(Generic[_T]):
    """The last answer to a question about each plant; who asks while it is found waits for it.

    Not to be asked within an append: what is not written yet may be taken back.
    """

    of: dict[tuple[int, str], tuple[Tip, _T]] = field(default_factory=dict)
    """By the number of the plant and what is asked of, with the head that it was found at."""
    _lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        """Be known to :func:`forget`."""
        _every.add(self)

    def answer(
        self,
        plant_no: int,
        anew: Callable[[], _T],
        renew: Callable[[_T, News], _T | None],
        about: str = "",
    ) -> _T:
        """Give the answer: kept, renewed by what came since, or found anew where that gives None.

        ``renew`` is asked with no news, too: an answer may hang on more than the record.
        """
        with self._lock:
            # The head first: what is read after it is never older, and what came meanwhile is news.
            tip = reached(plant_no)
            if tip is None:
                return anew()
            before = self.of.get((plant_no, about))
            news = None if before is None else since(before[0], tip)
            found = None if before is None or news is None else renew(before[1], news)
            found = anew() if found is None else found
            self.of[plant_no, about] = (tip, found)
            return found


def forget() -> None:
    """Drop everything kept: in tests a store may be another one now."""
    _since.cache_clear()
    for kept in _every:
        kept.of.clear()


@lru_cache(maxsize=8)
def _since(before: Tip, now: Tip) -> News | None:
    kinds = _entered(before, now)
    if kinds is None:
        return None
    steps = {seq for seq, kind in kinds.items() if kind == "step"}
    readings = tuple(sorted(kinds.keys() - steps))
    if not steps:
        return News(readings=readings)
    plant_no = before.plant_no
    said = _steps(plant_no, steps)
    touches = _touches(plant_no, steps)
    prior = store.states_prior(plant_no, steps)
    if (
        len(said) != len(steps)
        or _nonconforming(plant_no, steps)
        or any(_is_late(plant_no, steps, touches))
        or any(_remarked(prior, steps, said, touches))
    ):
        return None
    runs = {one.code for one in touches if one.what == _RUN}
    runs |= {lot for one in touches for lot in moulded(one.marks)}
    known = {one.code for one in touches if one.sign > 0 and one.born not in steps}
    return News(
        frozenset(one.code for one in touches),
        frozenset(runs),
        frozenset(known & runs),
        frozenset(said.values()),
        frozenset(_left(prior, steps, touches)),
        readings,
    )


def _entered(before: Tip, now: Tip) -> dict[int, str] | None:
    """Give the kinds of the entries between two of a record, by number, where all are known."""
    sql = (
        "SELECT e.seq, e.kind, e.hash FROM ledger_plant p CROSS JOIN ledger_entry e"
        " WHERE p.no=%s AND e.plant=p.code AND e.seq >= %s AND e.seq <= %s ORDER BY e.seq"
    )
    rows = store.select(sql, [before.plant_no, before.seq, now.seq])
    ends = [(seq, own) for seq, _, own in rows[:1] + rows[-1:]]
    if ends != [(before.seq, before.hash), (now.seq, now.hash)]:
        return None
    found = {seq: kind for seq, kind, _ in rows[1:]}
    return found if _KINDS.issuperset(found.values()) else None


def _steps(plant_no: int, steps: Iterable[int]) -> dict[int, str]:
    """Give the kinds of steps that stand as they were entered."""
    numbers = sorted(steps)
    marks = ",".join(["%s"] * len(numbers))
    sql = (
        f"SELECT no, kind FROM ledger_step WHERE p=%s AND no IN ({marks})"
        " AND seq=no AND NOT reversed"
    )
    return dict(store.select(sql, [plant_no, *numbers]))


def _touches(plant_no: int, steps: Iterable[int]) -> list[_Touch]:
    numbers = sorted(steps)
    marks = ",".join(["%s"] * len(numbers))
    sql = (
        "SELECT t.step, t.lot, t.sign, t.k, t.grades, t.causes, t.place, l.code, l.kind, l.what,"
        " l.seq, l.causes FROM ledger_touch t CROSS JOIN ledger_lot l"
        f" WHERE t.p=%s AND t.step IN ({marks}) AND l.p=t.p AND l.no=t.lot"
        " ORDER BY t.k, t.tie, t.line"
    )
    return [_Touch(*row) for row in store.select(sql, [plant_no, *numbers])]


def _nonconforming(plant_no: int, steps: Iterable[int]) -> bool:
    numbers = sorted(steps)
    marks = ",".join(["%s"] * len(numbers))
    sql = f"SELECT 1 FROM ledger_finding WHERE p=%s AND step IN ({marks}) LIMIT 1"
    return store.one(sql, [plant_no, *numbers]) is not None


def _is_late(plant_no: int, steps: Iterable[int], touches: Sequence[_Touch]) -> Iterable[bool]:
    """Whether something else touched a lot later than a new step, or in the same millisecond."""
    numbers = sorted(steps)
    marks = ",".join(["%s"] * len(numbers))
    sql = (
        f"SELECT 1 FROM ledger_touch WHERE p=%s AND lot=%s AND k >= %s AND step NOT IN ({marks})"
        " LIMIT 1"
    )
    first: dict[int, int] = {}
    for one in touches:
        first.setdefault(one.lot, first_k(one.k))
    for lot, k in first.items():
        yield store.one(sql, [plant_no, lot, k, *numbers]) is not None


def _left(
    prior: Mapping[tuple[int, int], State], steps: set[int], touches: Sequence[_Touch]
) -> Iterable[str]:
    for one in touches:
        was = prior[one.step, one.lot].place
        if one.born not in steps and one.place != was:
            yield was


def _remarked(
    prior: Mapping[tuple[int, int], State],
    steps: set[int],
    said: Mapping[int, str],
    touches: Sequence[_Touch],
) -> Iterable[bool]:
    """Whether a lot known before carries other grades or causes after a new step.

    What a place holds may: what was drawn of it before was drawn before.
    """
    for one in touches:
        if one.what == _PLACE or one.born in steps:
            continue
        if said.get(one.step) == "swept_empty":
            yield True
            continue
        was = prior[one.step, one.lot]
        is_block = one.kind == Material.BLOCK
        causes = (reaching(one.causes), reaching(was.causes)) if is_block else ("", "")
        yield one.grades != was.grades or causes[0] != causes[1]
