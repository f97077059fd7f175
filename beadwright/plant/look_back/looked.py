"""The look back itself: what was read, the lots it bears on, and how they stand without the error.

Read :func:`look_back`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from beadwright.errors import Misuse
from beadwright.ledger import lots, onward, settings
from beadwright.ledger.settings import Settings
from beadwright.ledger.undisturbed import undisturbed
from beadwright.plant import calibrations
from beadwright.plant.as_found import AsFound
from beadwright.plant.look_back.answer import Change, LookBack, LotBack, Standing
from beadwright.plant.look_back.rejudged import rejudged
from beadwright.plant.look_back.span import Span, span_of
from beadwright.plant.plan import LOT, PERIODIC, Planbook, day_at, start_of
from beadwright.plant.tested import SHARED
from beadwright.plant.upstream import zone_of
from beadwright.plant.whereabouts import whereabouts
from beadwright.quality import readings, standing
from beadwright.quality.readings import ReadingView

__all__ = ["look_back"]

_DAY = timedelta(days=1)
_MOULD_RUN = "mould run"
_ORDER: tuple[Standing, ...] = ("worse", "unknown", "better", "same")


@dataclass(slots=True)
class _Seen:
    """Which readings the error was taken from, and of which it says nothing."""

    span: Span
    read: frozenset[str]
    """Characteristics that the instrument read."""
    unanswered: dict[str, set[tuple[int, int]]] = field(default_factory=dict)
    """By lot, entry and number of each; a periodic test asks for its readings again."""
    answered: bool = False
    """Whether the error says something of any reading: then others stand as they were read."""

    _known: dict[str, Callable[[float], float] | None] = field(default_factory=dict)
    """By characteristic, what takes the error from a value."""

    def truth(self, one: ReadingView) -> ReadingView:
        """Give a reading without the error; of another instrument or time, as it is."""
        span = self.span
        if one.instrument != span.instrument or not span.from_ms <= one.at_ms <= span.to_ms:
            return one
        if not calibrations.by_instrument(one):
            return one
        name = one.characteristic
        if name not in self._known:
            self._known[name] = None if span.error is None else span.error.taken_from(name)
        take = self._known[name]
        if take is None or one.si is None:
            self.unanswered.setdefault(one.lot, set()).add((one.seq, one.line))
            return one
        self.answered = True
        return replace(one, si=take(one.si))


@undisturbed()
def look_back(
    plant_no: int,
    instrument: str,
    at_ms: int,
    *,
    done: date | None = None,
    error: AsFound | None = None,
) -> LookBack:
    """Look back on what an instrument read since it was last good.

    From its newest calibration that failed or states an error as found, or the one ``done`` on a
    day, back to the last it passed before. ``error`` stands in for what it states: what if.

    Raises
    ------
    Misuse
        If no such instrument is listed, no such calibration was done, or none found it wrong and
        no error is given.
    """
    in_force = settings.load(plant_no)
    fit, zone = calibrations.load(plant_no, in_force), zone_of(in_force)
    if instrument not in fit.listed:
        there = ", ".join(sorted(fit.listed)) or "none"
        message = f"no instrument {instrument!r} is listed; there are: {there}"
        raise Misuse(message)
    span = span_of(instrument, fit.of(instrument), (zone, at_ms), done=done, error=error)
    counted = readings.read_with(plant_no, instrument, span.from_ms, span.to_ms)
    by_lot: Counter[str] = Counter()
    by_name: Counter[str] = Counter()
    for one in counted:
        by_lot[one.subject] += one.number
        by_name[one.characteristic] += one.number
    seen = _Seen(span, frozenset(by_name))
    views = _block_lots(plant_no, by_lot)
    found = _looked(plant_no, (in_force, zone, at_ms), seen, views, by_lot)
    other = {code: number for code, number in by_lot.items() if code not in views}
    return LookBack(
        lots.plant_code(plant_no), at_ms, span, by_lot.total(),
        sum(len(seen.unanswered.get(code, ())) for code in views),
        tuple(by_name.most_common()), tuple(sorted(other.items())), found,
    )  # fmt: skip


def _block_lots(plant_no: int, codes: Iterable[str]) -> dict[str, lots.LotView]:
    return {
        code: view for code, view in lots.get_many(plant_no, codes).items()
        if view.what == _MOULD_RUN
    }  # fmt: skip


def _looked(
    plant_no: int,
    asked: tuple[Settings, ZoneInfo, int],
    seen: _Seen,
    views: Mapping[str, lots.LotView],
    by_lot: Mapping[str, int],
) -> tuple[LotBack, ...]:
    in_force, zone, _ = asked
    if not views:
        return ()
    every = {**_spoken_for(plant_no, asked, seen, views), **views}
    changes = rejudged(plant_no, in_force, every, seen.truth, zone)
    stands = {code: _standing(seen, code, changes.get(code, ())) for code in every}
    told = [code for code in every if code in views or stands[code] != "same"]
    doubtful = {code: every[code] for code in told if stands[code] in {"worse", "unknown"}}
    makings = lots.makings(plant_no, told)
    where = whereabouts(plant_no, doubtful, {code: makings[code] for code in doubtful})
    given = standing.approvals_given(plant_no, told)
    found = [
        LotBack(
            code, every[code].product, makings[code][-1].at_ms if makings.get(code) else 0,
            by_lot.get(code, 0), stands[code], changes.get(code, ()), given.get(code, ()),
            where.get(code),
        )
        for code in told
    ]  # fmt: skip
    return tuple(sorted(found, key=_rank))


def _standing(seen: _Seen, code: str, changes: Sequence[Change]) -> Standing:
    if any(one.worse for one in changes):
        return "worse"
    if code in seen.unanswered and not seen.answered:
        return "unknown"
    return "better" if changes else "same"


def _rank(one: LotBack) -> tuple[int, bool, int, str]:
    return _ORDER.index(one.standing), not one.approvals, one.made_at_ms, one.lot


def _spoken_for(
    plant_no: int,
    asked: tuple[Settings, ZoneInfo, int],
    seen: _Seen,
    views: Mapping[str, lots.LotView],
) -> dict[str, lots.LotView]:
    """Give lots for which those that were read may speak: of a periodic or shared test."""
    in_force, zone, at_ms = asked
    plan = Planbook(in_force)
    products = {view.product for view in views.values()}
    spans = []
    if plan.characteristics(PERIODIC) & seen.read:
        spans.append((_reach(plan, products, seen.span, zone), at_ms + 1))
    elif plan.made_every(LOT) & SHARED:
        made = (view.first for view in views.values() if view.first is not None)
        days = {day_at(one, zone) for one in made}
        spans += [(start_of(day, zone), start_of(day + _DAY, zone)) for day in sorted(days)]
    others = onward.moulded_between(plant_no, spans)
    found = _block_lots(plant_no, set(others) - views.keys())
    return {code: view for code, view in found.items() if view.product in products}


def _reach(plan: Planbook, products: Iterable[str], span: Span, zone: ZoneInfo) -> int:
    """Give from when lots were made that a test of the span may speak for.

    One that failed speaks for what was made since the one before it.
    """
    if not span.from_ms:
        return 0
    first = day_at(span.from_ms, zone)
    before = [
        row.every.before(first)
        for product in products
        for row in plan.rows(product, span.to_ms)
        if row.every is not None
    ]
    return start_of(min([first, *(day for day in before if day is not None)]), zone)
