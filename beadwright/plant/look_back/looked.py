"""The look back itself: what was read, the lots it bears on, and how they stand without the error.

Read :func:`look_back`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from beadwright.errors import Misuse
from beadwright.ledger import lots, onward, settings
from beadwright.ledger.settings import Settings
from beadwright.ledger.undisturbed import undisturbed
from beadwright.plant import calibrations
from beadwright.plant.as_found import AsFound
from beadwright.plant.calibrations import Calibrations, by_instrument
from beadwright.plant.look_back.answer import Change, LookBack, LotBack, Standing
from beadwright.plant.look_back.rejudged import Asked, rejudged
from beadwright.plant.look_back.span import Span, span_of
from beadwright.plant.plan import LOT, PERIODIC, Planbook, day_at, start_of
from beadwright.plant.shifts import Shifts
from beadwright.plant.tested import SHARED
from beadwright.plant.upstream import zone_of
from beadwright.plant.whereabouts import whereabouts
from beadwright.quality import readings, standing
from beadwright.quality.readings import Read, ReadingView

__all__ = ["look_back"]

_DAY = timedelta(days=1)
_MOULD_RUN = "mould run"
_Asked = tuple[Settings, Calibrations, ZoneInfo, int]
"""What is in force, the calibrations, the plant's zone, and the time that is asked about."""

_ORDER: tuple[Standing, ...] = ("worse", "may", "unknown", "better", "same")
_DOUBTFUL: frozenset[Standing] = frozenset({"worse", "may", "unknown"})


@dataclass(slots=True)
class _Seen:
    """What the instrument read of each lot, and of which of that the error says something."""

    span: Span
    read: Mapping[str, Counter[str]]
    """By lot, how many readings of each characteristic."""
    takes: Sequence[Mapping[str, Callable[[float], float]]]
    """By characteristic, what takes the error from a value; then likewise the least and the most
    that it may be, where its uncertainty is known."""
    answered: bool = False
    """Whether it was taken from any reading: then others stand as they were read."""

    @classmethod
    def of(cls, span: Span, counted: Iterable[Read]) -> _Seen:
        """Sort what an instrument read by lot, and see of what its error says something."""
        read: dict[str, Counter[str]] = {}
        for one in counted:
            read.setdefault(one.subject, Counter())[one.characteristic] += one.number
        names = {name for some in read.values() for name in some}
        errors = () if span.error is None else (span.error, *span.error.ends)
        return cls(span, read, [_takes(error, names) for error in errors])

    @property
    def answers(self) -> frozenset[str]:
        """Characteristics of which the error says something."""
        return frozenset(self.takes[0] if self.takes else ())

    @property
    def names(self) -> Counter[str]:
        """Readings by characteristic."""
        return sum(self.read.values(), Counter())

    def number(self, lot: str) -> int:
        """Count its readings of a lot."""
        return self.read.get(lot, Counter()).total()

    def unanswered(self, lot: str) -> int:
        """Count readings by an instrument of which the error says nothing."""
        return sum(
            number
            for name, number in self.read.get(lot, Counter()).items()
            if name not in self.answers and calibrations.is_by_instrument(name)
        )

    def took(self, one: ReadingView) -> bool:
        """Whether the instrument took a reading in the time that is looked at."""
        span = self.span
        return one.instrument == span.instrument and span.from_ms <= one.at_ms <= span.to_ms

    def truth(self, takes: Mapping[str, Callable[[float], float]], one: ReadingView) -> ReadingView:
        """Give a reading without an error; of another instrument, time or unit, as it is."""
        take = takes.get(one.characteristic)
        if take is None or one.si is None or not self.took(one):
            return one
        self.answered = True
        true = take(one.si)  # less than nothing is nothing: an error larger than what was read
        return one.being(max(0.0, true) if one.si >= 0 else true)

    def unread(self, one: ReadingView) -> ReadingView:
        """Give a reading of the instrument as if it had read nothing."""
        return one.being(None) if self.took(one) and by_instrument(one) else one

    @property
    def truths(self) -> list[Callable[[ReadingView], ReadingView]]:
        """Give what gives it, error by error."""
        return [partial(self.truth, takes) for takes in self.takes]


def _takes(error: AsFound, names: Iterable[str]) -> dict[str, Callable[[float], float]]:
    found = {}
    for name in names:
        take = error.taken_from(name)
        if take is not None and calibrations.is_by_instrument(name):
            found[name] = take
    return found


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
    seen = _Seen.of(span, readings.read_with(plant_no, instrument, span.from_ms, span.to_ms))
    views = _block_lots(plant_no, seen.read)
    found = _looked(plant_no, (in_force, fit, zone, at_ms), seen, views)
    other = {code: seen.number(code) for code in seen.read if code not in views}
    names = seen.names
    return LookBack(
        lots.plant_code(plant_no), at_ms, span, names.total(), sum(map(seen.unanswered, views)),
        tuple(names.most_common()), tuple(sorted(other.items())), found,
    )  # fmt: skip


def _block_lots(plant_no: int, codes: Iterable[str]) -> dict[str, lots.LotView]:
    return {
        code: view for code, view in lots.get_many(plant_no, codes).items()
        if view.what == _MOULD_RUN
    }  # fmt: skip


def _looked(
    plant_no: int,
    asked: _Asked,
    seen: _Seen,
    views: Mapping[str, lots.LotView],
) -> tuple[LotBack, ...]:
    if not views:
        return ()
    every = {**_spoken_for(plant_no, asked, seen, views), **views}
    makings = lots.makings(plant_no, every)
    known = (*asked[:3], makings)
    told_of: Mapping[str, tuple[tuple[Change, ...], ...]] = {}
    if seen.answers:
        told_of = rejudged(plant_no, known, every, seen.answers, seen.truths)
    unknown = frozenset() if seen.answered else _resting(plant_no, known, seen, (every, views))
    judged = {code: _standing(told_of.get(code, ((),)), code in unknown) for code in every}
    stands = {code: standing for code, (standing, _) in judged.items()}
    told = [code for code in every if code in views or stands[code] != "same"]
    doubtful = {code: every[code] for code in told if stands[code] in _DOUBTFUL}
    where = whereabouts(plant_no, doubtful, {code: makings.get(code, ()) for code in doubtful})
    given = standing.approvals_given(plant_no, told)
    found = [
        LotBack(
            code, every[code].product, makings[code][-1].at_ms if makings.get(code) else 0,
            seen.number(code), *judged[code], given.get(code, ()),
            where.get(code),
        )
        for code in told
    ]  # fmt: skip
    return tuple(sorted(found, key=_rank))


def _resting(
    plant_no: int,
    asked: Asked,
    seen: _Seen,
    views: tuple[Mapping[str, lots.LotView], Iterable[str]],
) -> frozenset[str]:
    """Give the lots that rest on what it read, where the error says nothing of any of it.

    Those of which it read what counts; what is set aside for another reason decides nothing of
    them. And those for which another lot's test speaks, and would not if nothing had been read.
    """
    every, read = views
    taken = readings.of_lots(plant_no, read)
    own = {
        code
        for code, some in taken.items()
        if any(seen.took(one) and by_instrument(one) for one in asked[1].parted(some)[0])
    }
    names = frozenset(filter(calibrations.is_by_instrument, seen.names))
    if not names or len(every) == len(taken):
        return frozenset(own)
    unread = rejudged(plant_no, asked, every, names, [seen.unread])
    spoken_for = {code for code, (changes,) in unread.items() if changes and code not in taken}
    return frozenset(own | spoken_for)


def _standing(
    every: Sequence[tuple[Change, ...]],
    unknown: bool,  # noqa: FBT001 - both are known
) -> tuple[Standing, tuple[Change, ...]]:
    """Give how a lot stands, and what is answered otherwise.

    By the error itself; where that makes nothing worse, by the ends of what it may be.
    """
    changes, *ends = every
    if any(one.worse for one in changes):
        return "worse", changes
    for end in ends:
        worse = [one for one in end if one.worse]
        if worse:
            return "may", tuple(replace(one, without=f"at worst {one.without}") for one in worse)
    if unknown:
        return "unknown", changes
    return ("better" if changes else "same"), changes


def _rank(one: LotBack) -> tuple[int, bool, int, str]:
    return _ORDER.index(one.standing), not one.approvals, one.made_at_ms, one.lot


def _spoken_for(
    plant_no: int,
    asked: _Asked,
    seen: _Seen,
    views: Mapping[str, lots.LotView],
) -> dict[str, lots.LotView]:
    """Give lots for which those that were read may speak: of a periodic or shared test."""
    in_force, _, zone, at_ms = asked
    plan = Planbook(in_force)
    products = {view.product for view in views.values()}
    spans = []
    if plan.characteristics(PERIODIC) & seen.names.keys():
        spans.append((_reach(plan, products, seen.span, zone), at_ms + 1))
    elif every := plan.made_every(LOT) & SHARED:
        made = (view.first for view in views.values() if view.first is not None)
        spans += Shifts(in_force, zone).spans_about(made, every)
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
