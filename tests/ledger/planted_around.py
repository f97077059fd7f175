"""Bugs planted on purpose around the fold: in its upkeep, in the trace, in the account.

Read :data:`AROUND_FOLD`; what a planted bug is stands in ``tests.ledger.planted_fold``.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

from beadwright.errors import Fault
from beadwright.ledger import account, back, changes, forward, record, refold, store, walk
from beadwright.ledger.draft import StepDraft
from tests.ledger.planted_fold import Bug, Patch
from tests.ledger.properties import rebuilt_equal
from tests.ledger.traced import accounts_close, inverse, reaches

__all__ = ["AROUND_FOLD"]

# -- in its upkeep: what a change reaches --------------------------------------------------------


def _stops_at_equal_stock(patch: Patch) -> None:
    real = refold.Refold._follow

    def follow(self: refold.Refold, lot: int, order: refold.Order) -> None:
        now = self._now.get(lot)
        if now is None or now.mg != self._ends[lot][1].mg:
            real(self, lot, order)

    patch.setattr(refold.Refold, "_follow", follow)


def _follows_one_window(patch: Patch) -> None:
    real = refold.Refold._read_ahead

    def read_ahead(self: refold.Refold, lot: int, order: refold.Order) -> Any:
        coming = real(self, lot, order)
        self._whole[lot] = True
        return coming

    patch.setattr(refold.Refold, "_read_ahead", read_ahead)


def _gap_left_alone(patch: Patch) -> None:
    patch.setattr(refold.Refold, "_open_gap", lambda *_: None)


def _old_touches_kept(patch: Patch) -> None:
    serial = itertools.count(1)

    def delete_touches(plant: int, steps: Sequence[int]) -> None:
        for no in steps:
            sql = "UPDATE ledger_touch SET line = line + %s WHERE p=%s AND step=%s AND line < 100"
            store.run(sql, [100 * next(serial), plant, no])

    patch.setattr(store, "delete_touches", delete_touches)


def _old_findings_kept(patch: Patch) -> None:
    patch.setattr(store, "delete_findings", lambda *_: None)


def _end_kept_after_reversal(patch: Patch) -> None:
    real = refold.Refold._write_ends

    def write_ends(self: refold.Refold) -> None:
        self._gaps.clear()
        real(self)

    patch.setattr(refold.Refold, "_write_ends", write_ends)


def _past_setting_ignored(patch: Patch) -> None:
    patch.setattr(record.Append, "_rejudge", lambda *_: None)


def _late_release_ignored(patch: Patch) -> None:
    real = record.Append._rejudge

    def rejudge(self: record.Append, since: int, kind: str = "") -> None:
        if kind != "ship":
            real(self, since, kind)

    patch.setattr(record.Append, "_rejudge", rejudge)


def _asked_of_an_empty_plant(patch: Patch) -> None:
    real = record.Append._forbidden

    def forbidden(self: record.Append, draft: StepDraft) -> list[Fault]:
        self._known = {}
        return real(self, draft)

    patch.setattr(record.Append, "_forbidden", forbidden)


def _batch_forgets(patch: Patch) -> None:
    patch.setattr(record.Append, "_refresh", lambda *_: None)


def _lot_said_anew_in_vain(patch: Patch) -> None:
    patch.setattr(changes, "_described", lambda *_: {})


def _losses_of_corrections_kept(patch: Patch) -> None:
    real = store.run

    def run(sql: str, args: Sequence[Any] = ()) -> None:
        if "DELETE FROM ledger_loss WHERE p=%s AND step" not in sql:
            real(sql, args)

    patch.setattr(store, "run", run)


# -- in trace and account ------------------------------------------------------------------------


def _sweep_does_not_cut(patch: Patch) -> None:
    for way in (forward.Forward, back.Back):
        _deaf(patch, way)


def _deaf(patch: Patch, way: type[forward.Forward | back.Back]) -> None:
    real: Any = way._stated

    def stated(self: Any, line: walk.Line, kind: str) -> None:
        if kind != "swept_empty":
            real(self, line, kind)

    patch.setattr(way, "_stated", stated)


def _sweep_cuts_one_way(patch: Patch) -> None:
    _deaf(patch, back.Back)


def _one_window_walked(patch: Patch) -> None:
    real = walk.Walk._read

    def read(self: walk.Walk, lot: int, order: tuple[int, int]) -> None:
        real(self, lot, order)
        self._queue[:] = [mark for mark in self._queue if mark[2] >= 0]

    patch.setattr(walk.Walk, "_read", read)


def _remainder_unnamed(patch: Patch) -> None:
    patch.setattr(account, "_remainders", lambda *_: 0.0)


def _losses_whole(patch: Patch) -> None:
    real = account._losses

    def losses(plant: int, walked: forward.Forward) -> dict[str, float]:
        walked.fractions = dict.fromkeys(walked.fractions, 1.0)
        return real(plant, walked)

    patch.setattr(account, "_losses", losses)


AROUND_FOLD: tuple[Bug, ...] = (
    Bug("refold stops where stock is equal", _stops_at_equal_stock, rebuilt_equal),
    Bug("refold reads one window", _follows_one_window, rebuilt_equal),
    Bug("what follows an undone step stays", _gap_left_alone, rebuilt_equal),
    Bug("old touches of a corrected step stay", _old_touches_kept, rebuilt_equal),
    Bug("old findings stay", _old_findings_kept, rebuilt_equal),
    Bug("a lot's end stays after its last step is undone", _end_kept_after_reversal, rebuilt_equal),
    Bug("a setting dated in the past is not folded", _past_setting_ignored, rebuilt_equal),
    Bug("a late release is not folded", _late_release_ignored, rebuilt_equal),
    Bug("may asks an empty plant", _asked_of_an_empty_plant, None),
    Bug("a sweep does not cut", _sweep_does_not_cut, reaches),
    Bug("a sweep cuts one way only", _sweep_cuts_one_way, inverse),
    Bug("a trace reads one window", _one_window_walked, reaches),
    Bug("remainders are left out of the account", _remainder_unnamed, accounts_close),
    Bug("losses count whole in the account", _losses_whole, accounts_close),
    Bug("a batch forgets what it has folded", _batch_forgets, rebuilt_equal),
    Bug("what a lot is cannot be said anew", _lot_said_anew_in_vain, rebuilt_equal),
    Bug("old losses of a corrected step stay", _losses_of_corrections_kept, rebuilt_equal),
)
"""Ways for projections and answers to be wrong though each state is right."""
