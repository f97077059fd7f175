"""Bugs planted on purpose in the decision, and the cell of the table that must see each.

Read :data:`BUGS`. A table that no bug has ever failed proves nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pytest

from beadwright.ledger import onward
from beadwright.plant import (
    approved,
    bases,
    calibrations,
    coverage,
    guard,
    limits,
    lot_tests,
    pieces,
    proofs,
    reasons,
    release,
    tested,
    timelines,
    verdicts,
    weighings,
)
from beadwright.plant.decision_rule import DEFAULT
from beadwright.plant.limits import Rulebook
from beadwright.plant.opening import RULES
from beadwright.plant.pieces import Ties
from beadwright.plant.plan import TYPE
from tests.plant import yard
from tests.plant.planning import hours

__all__ = ["BUGS", "Bug"]

Patch = pytest.MonkeyPatch

_EACH, _MEAN, _MOST = "own limit, each piece", "own limit, mean", "own limit, at most"
_PRINTED, _WIDTH, _SHARE = (
    "printed limit of a standard",
    "window of a dimension",
    "share of defective pieces",
)
_EACH_G, _MEAN_G, _WEEKLY_G = (
    "own limit, each piece, guarded",
    "own limit, mean, guarded",
    "periodic test by report, guarded",
)
_STRENGTH = "strength as lot test"
_CHANGE, _SO_MANY, _DAY = (
    "change to either side",
    "lot test of so many pieces",
    "lot test of the day, by another lot",
)
_WEEKLY, _OWN, _TYPE = (
    "periodic test by report",
    "periodic test by own readings",
    "type test by report",
)


@dataclass(frozen=True)
class Bug:
    """What is wrong, how it is planted, and the cell that must see it."""

    name: str
    plant: Callable[[Patch], None]
    seen_in: tuple[str, str]


def _lets(patch: Patch, module: Any, name: str, change: Callable[..., Any]) -> None:
    """Put a change in the place of a function; it is given the real one first."""
    real = getattr(module, name)
    patch.setattr(module, name, lambda *given, **named: change(real, *given, **named))


def _what_is_asked_ships(patch: Patch) -> None:
    def answer(real: Any, found: Any) -> str:
        told = real(found)
        return "may_ship" if told == "not_enough_evidence" else str(told)

    for module in (reasons, release):
        _lets(patch, module, "answer_of", answer)


def _release_never_suspended(patch: Patch) -> None:
    _lets(patch, release, "with_consequences", lambda real, found, where, _: real(found, where, ()))


def _release_by_nobody(patch: Patch) -> None:
    patch.setattr(approved, "counting", lambda *_: ())


def _door_takes_any_release(patch: Patch) -> None:
    patch.setattr(yard, "RULES", replace(RULES, undecidable=lambda *_: []))


def _holds_do_not_reach(patch: Patch) -> None:
    patch.setattr(release, "causes_of", lambda *_: {})


def _few_are_enough(patch: Patch) -> None:
    _lets(
        patch, verdicts, "_decide",
        lambda real, limit, values, **more: real(replace(limit, specimens=1), values, **more),
    )  # fmt: skip


def _looked_at_is_one(patch: Patch) -> None:
    patch.setattr(verdicts, "_looked_at", lambda *_: 0)


def _mean_is_each(patch: Patch) -> None:
    _lets(
        patch, verdicts, "_statistic",
        lambda real, limit, values: real(replace(limit, statistic="each"), values),
    )  # fmt: skip


def _most_is_least(patch: Patch) -> None:
    _lets(
        patch, verdicts, "_compare",
        lambda real, limit, value: real(replace(limit, bound="min"), value),
    )  # fmt: skip


def _no_guard_band(patch: Patch) -> None:
    _lets(
        patch, guard, "_guarded",
        lambda real, limit, plain, u: real(limit, plain, u)._replace(met=plain.met),
    )  # fmt: skip


def _guard_band_outside(patch: Patch) -> None:
    def outside(real: Any, limit: Any, plain: Any, u: Any) -> Any:
        band = 0.0 if u is None else float(limit.rule.k) * u
        return real(limit, plain, u)._replace(met=plain.margin >= -band)

    _lets(patch, guard, "_guarded", outside)


def _only_spread(patch: Patch) -> None:
    def spread(real: Any, limit: Any, values: Any) -> Any:
        value, u = real(limit, values)
        return value, u and verdicts._mean_spread([one.si for one in values], len(values))

    _lets(patch, verdicts, "_statistic", spread)


def _rule_unread(patch: Patch) -> None:
    patch.setattr(limits, "rule_of", lambda *_: DEFAULT)


def _report_unsure(patch: Patch) -> None:
    patch.setattr(proofs, "in_si", lambda *_: None)


def _instrument_unsure(patch: Patch) -> None:
    patch.setattr(calibrations, "completed", lambda one, *_: one)


def _unsigned_falls_away(patch: Patch) -> None:
    def signed(real: Any, *given: Any) -> Any:
        return tuple(one for one in real(*given) if one.verified is not False)

    _lets(patch, Rulebook, "limits", signed)


def _wet_blocks_are_gauged(patch: Patch) -> None:
    patch.setattr(weighings, "aged", lambda readings, *_: (list(readings), []))


def _ties_as_first_keyed(patch: Patch) -> None:
    first = Ties(0.27, 0.0, (("T-1", 60, 270_000),))
    for module in (bases, pieces):
        patch.setattr(module, "ties_of", lambda _: first)


def _unfit_is_fit(patch: Patch) -> None:
    patch.setattr(calibrations.Calibrations, "parted", lambda _, found: (tuple(found), ()))


def _unnamed_is_fit(patch: Patch) -> None:
    patch.setattr(calibrations, "by_instrument", lambda _: False)


def _what_does_not_count_was_not_measured(patch: Patch) -> None:
    patch.setattr(verdicts, "kept_out", lambda *_: None)


def _covers_for_ever(patch: Patch) -> None:
    patch.setattr(timelines.Samples, "ends", lambda *_: None)


def _expiry_unread(patch: Patch) -> None:
    def ends(real: Any, samples: Any, proof: Any, row: Any) -> Any:
        return None if row.evidence == TYPE else real(samples, proof, row)

    _lets(patch, timelines.Samples, "ends", ends)


def _type_test_looks_back(patch: Patch) -> None:
    def timeline(real: Any, samples: Any, **_: Any) -> Any:
        return real((replace(one, before_ms=0) for one in samples), backward=True)

    _lets(patch, timelines, "Timeline", timeline)


def _failing_stops_what_follows_only(patch: Patch) -> None:
    _lets(
        patch, coverage, "_stop", lambda real, bad, passed, **_: real(bad, passed, backward=False)
    )


def _withdrawn_still_counts(patch: Patch) -> None:
    def kept(real: Any, plant_no: int) -> Any:
        return tuple(replace(one, withdrawn="") for one in real(plant_no))

    _lets(patch, timelines, "reports", kept)


def _any_number_of_specimens(patch: Patch) -> None:
    _lets(
        patch, timelines, "of_report",
        lambda real, report, row, limits: real(report, replace(row, specimens=0), limits),
    )  # fmt: skip


def _own_readings_unread(patch: Patch) -> None:
    patch.setattr(timelines, "of_readings", lambda *_: None)


def _any_report_passes(patch: Patch) -> None:
    _lets(patch, proofs, "_judged", lambda real, *given: (True, *real(*given)[1:]))


def _voided_counts(patch: Patch) -> None:
    patch.setattr(release, "_stand", tuple)


def _lapsed_calibration_holds(patch: Patch) -> None:
    def status(real: Any, *given: Any) -> Any:
        told = real(*given)
        return replace(told, fitness="fit") if told.fitness == "lapsed" else told

    _lets(patch, calibrations, "status_at", status)


def _late_sample_fills_the_gap(patch: Patch) -> None:
    def at(self: coverage.Timeline, made_ms: int) -> coverage.Covering:
        told = real(self, made_ms)
        later = [one for one in self._passed if one.first_ms > made_ms]
        gap = told.state == "lapsed" and bool(later)
        return coverage.Covering("covers", later[0]) if gap else told

    real = coverage.Timeline.at
    patch.setattr(coverage.Timeline, "at", at)


def _failed_samples_forgotten(patch: Patch) -> None:
    _lets(
        patch, timelines, "Timeline",
        lambda real, samples, **more: real((one for one in samples if one.passed), **more),
    )  # fmt: skip


def _made_when_first_keyed(patch: Patch) -> None:
    first = yard.ms(hours(10, 10))
    patch.setattr(lot_tests.Lot, "made_ms", property(lambda _: first))


def _only_holds_reach(patch: Patch) -> None:
    def causes(real: Any, *given: Any) -> Any:
        return {lot: tuple(one for one in some if one.code == "on_hold")
                for lot, some in real(*given).items()}  # fmt: skip

    _lets(patch, release, "causes_of", causes)


def _failed_lot_of_the_day_stops_itself_only(patch: Patch) -> None:
    _lets(
        patch, tested, "in_bucket",
        lambda real, samples: real([one for one in samples if one.passed]),
    )  # fmt: skip


def _any_day_is_that_day(patch: Patch) -> None:
    patch.setattr(tested.Tests, "_bucket", lambda _, lot, by: (by, lot.product))
    patch.setattr(onward, "moulded_between", lambda *_: ("L-1", "L0", "L1", "L1B", "L2"))


def _shrinkage_is_no_change(patch: Patch) -> None:
    def signed(real: Any, limit: Any, value: Any) -> Any:
        return real(replace(limit, bound="max") if limit.bound == "within" else limit, value)

    for name in ("_statistic", "_compare"):
        _lets(patch, verdicts, name, signed)


def _as_many_of_any_lot(patch: Patch) -> None:
    patch.setattr(lot_tests, "needed", lambda row, _: row.specimens)


_AFTER = "asked for after the release"
BUGS = (
    Bug("what is only asked for ships", _what_is_asked_ships, (_STRENGTH, "missing")),
    Bug("no release is ever suspended", _release_never_suspended, (_EACH, _AFTER)),
    Bug("a release is by nobody", _release_by_nobody, (_EACH, "… and lifted")),
    Bug("the door takes any release", _door_takes_any_release, (_WEEKLY, "failed")),
    Bug("holds do not reach", _holds_do_not_reach, (_TYPE, "released, then held upstream")),
    Bug("too few are enough", _few_are_enough, (_MOST, "too few")),
    Bug("a count rests on one piece", _looked_at_is_one, (_SHARE, "good")),
    Bug("a mean is judged as each", _mean_is_each, (_MEAN, "good")),
    Bug("at most is read as at least", _most_is_least, (_MOST, "good")),
    Bug("an unsigned limit falls away", _unsigned_falls_away, (_PRINTED, "failed")),
    Bug(
        "a fresh block is gauged as a day old", _wet_blocks_are_gauged,
        (_WIDTH, "released, then another run by correction"),
    ),
    Bug(
        "ties weigh what was first keyed", _ties_as_first_keyed,
        (_EACH, "released, then another run by correction"),
    ),
    Bug("an unfit instrument is fit", _unfit_is_fit, (_OWN, "released, then out of calibration")),
    Bug("what nobody named is fit", _unnamed_is_fit, (_STRENGTH, "read, and no instrument named")),
    Bug(
        "what does not count was never measured", _what_does_not_count_was_not_measured,
        (_EACH, "read when the calibration had lapsed"),
    ),
    Bug("a periodic test covers for ever", _covers_for_ever, (_WEEKLY, "lapsed")),
    Bug("a report never expires", _expiry_unread, (_TYPE, "lapsed")),
    Bug(
        "a type test covers what was made before it", _type_test_looks_back,
        (_TYPE, "released, then another run by correction"),
    ),
    Bug(
        "a failing test stops only what follows it", _failing_stops_what_follows_only,
        (_WEEKLY, "released, then more that fails"),
    ),
    Bug("a withdrawn report counts", _withdrawn_still_counts, (_TYPE, "released, then taken out")),
    Bug("a report on too few specimens counts", _any_number_of_specimens, (_WEEKLY, "too few")),
    Bug("own readings make no periodic test", _own_readings_unread, (_OWN, "… and then good")),
    Bug("any report passes", _any_report_passes, (_TYPE, "failed")),
    Bug("a voided reading counts", _voided_counts, (_EACH, "released, then taken out")),
    Bug(
        "a calibration never lapses", _lapsed_calibration_holds,
        (_MEAN, "read when the calibration had lapsed"),
    ),
    Bug("a late sample fills the gap before it", _late_sample_fills_the_gap, (_WEEKLY, "late")),
    Bug(
        "a periodic test that failed is forgotten", _failed_samples_forgotten,
        (_OWN, "released, then more that fails"),
    ),
    Bug(
        "a lot is made when it was first keyed", _made_when_first_keyed,
        (_WEEKLY, "released, then another run by correction"),
    ),
    Bug(
        "a nonconformity does not reach", _only_holds_reach,
        (_SHARE, "released, then other beads by correction"),
    ),
    Bug(
        "a lot of the day that failed stops itself only", _failed_lot_of_the_day_stops_itself_only,
        (_DAY, "released, then more that fails"),
    ),
    Bug("a test of the day speaks for any day", _any_day_is_that_day, (_DAY, "lapsed")),
    Bug("a guard band is not asked for", _no_guard_band, (_EACH_G, "failed")),
    Bug(
        "a guard band widens the limit", _guard_band_outside,
        (_WEEKLY_G, "released, then more that fails"),
    ),
    Bug(
        "the band of a mean is that of its spread", _only_spread,
        (_MEAN_G, "released, then more that fails"),
    ),
    Bug("the decision rule is never read", _rule_unread, (_MEAN_G, "failed")),
    Bug("a report's uncertainty is not read", _report_unsure, (_WEEKLY_G, "good")),
    Bug("an instrument's uncertainty is not read", _instrument_unsure, (_EACH_G, "good")),
    Bug("shrinkage is no change", _shrinkage_is_no_change, (_CHANGE, "failed")),
    Bug("a large lot needs no more than a small one", _as_many_of_any_lot, (_SO_MANY, "too few")),
)  # fmt: skip
