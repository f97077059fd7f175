"""Bugs planted on purpose in the fold and in its order.

Read :data:`IN_FOLD`: each says in words what is wrong, plants it, and names the property that must
see it. A property that no bug has ever failed proves nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import pytest

from beadwright.ledger import changes, fold, projection, rebuild, record
from beadwright.ledger.draft import Hold, Lift, StepDraft
from beadwright.ledger.fold import FoldLine, FoldLot, FoldStep, State, Touched
from beadwright.plant import judge, listing, young
from tests.ledger.properties import Property, balances, equal_their_twin

__all__ = ["IN_FOLD", "Bug", "Patch"]

Patch = pytest.MonkeyPatch


@dataclass(frozen=True)
class Bug:
    """What is wrong, how it is planted, and which property must see it."""

    name: str
    plant: Callable[[Patch], None]
    seen_by: Property | None
    """None: the player sees it, who asks before posting and compares the two answers."""


# -- in the fold: what a state is ----------------------------------------------------------------


def _lift_ignored(patch: Patch) -> None:
    patch.setattr(fold, "_without", lambda a, _: a)


def _after_statement(
    patch: Patch, change: Callable[[FoldStep, FoldLine, State, State], State]
) -> None:
    """Change the state that a statement of stock leaves."""
    real = fold._state_stock

    def state_stock(step: FoldStep, line: FoldLine, state: State) -> Touched:
        told = real(step, line, state)
        return told._replace(after=change(step, line, state, told.after))

    patch.setattr(fold, "_state_stock", state_stock)


def _sweep_keeps_causes(patch: Patch) -> None:
    def change(step: FoldStep, _: FoldLine, before: State, after: State) -> State:
        return after._replace(causes=before.causes) if step.kind == "swept_empty" else after

    _after_statement(patch, change)


def _ran_empty_sweeps(patch: Patch) -> None:
    def change(step: FoldStep, _: FoldLine, __: State, after: State) -> State:
        return after._replace(grades="", causes="") if step.kind == "ran_empty" else after

    _after_statement(patch, change)


def _ran_empty_keeps_clocks(patch: Patch) -> None:
    def change(step: FoldStep, _: FoldLine, before: State, after: State) -> State:
        kept = after._replace(first=before.first, last=before.last)
        return kept if step.kind == "ran_empty" else after

    _after_statement(patch, change)


def _after_output(patch: Patch, change: Callable[[State, State, FoldLot], State]) -> None:
    """Change the state that an output leaves."""
    real = fold._come_in

    def come_in(step: FoldStep, line: FoldLine, lot: FoldLot, into: Any) -> Touched:
        told = real(step, line, lot, into)
        return told._replace(after=change(into[0], told.after, lot))

    patch.setattr(fold, "_come_in", come_in)


def _mixing_forgets_grades(patch: Patch) -> None:
    def come_in(step: FoldStep, line: FoldLine, lot: FoldLot, into: Any) -> Touched:
        return real(step, line, lot, (into[0]._replace(grades=""), into[1]))

    real = fold._come_in
    patch.setattr(fold, "_come_in", come_in)


def _mixing_forgets_causes(patch: Patch) -> None:
    def come_in(step: FoldStep, line: FoldLine, lot: FoldLot, into: Any) -> Touched:
        return real(step, line, lot, (into[0]._replace(causes=""), into[1]))

    real = fold._come_in
    patch.setattr(fold, "_come_in", come_in)


def _ties_grade_foam(patch: Patch) -> None:
    real = fold._went_in

    def went_in(step: FoldStep, lots: Mapping[int, FoldLot], now: dict[int, State]) -> Any:
        before = dict(now)
        touched, flow = real(step, lots, now)
        for line in step.lines:
            if line.sign < 0:
                flow.grades = fold.joined(flow.grades, before[line.lot].grades)
        return touched, flow

    patch.setattr(fold, "_went_in", went_in)


def _first_input_only(patch: Patch) -> None:
    real = fold._went_in

    def went_in(step: FoldStep, lots: Mapping[int, FoldLot], now: dict[int, State]) -> Any:
        before = dict(now)
        touched, flow = real(step, lots, now)
        if touched:
            flow.causes = before[touched[0].line.lot].causes
        return touched, flow

    patch.setattr(fold, "_went_in", went_in)


def _first_clock_is_last(patch: Patch) -> None:
    patch.setattr(fold, "_least", fold._most)


def _scrap_keeps_causes(patch: Patch) -> None:
    patch.setattr(fold, "_decided", lambda causes: causes)


def _came_in_not_counted(patch: Patch) -> None:
    _after_output(patch, lambda before, after, _: after._replace(in_mg=max(before.mg, after.mg)))


def _concession_closes_nothing(patch: Patch) -> None:
    patch.setattr(fold, "bisect_left", lambda *_: 0)


def _shortage_unsaid(patch: Patch) -> None:
    real = fold._draw

    def draw(line: FoldLine, state: State) -> Touched:
        return Touched(line, 0, 0, real(line, state).after)

    patch.setattr(fold, "_draw", draw)


def _stock_below_zero(patch: Patch) -> None:
    def draw(line: FoldLine, state: State) -> Touched:
        after = state._replace(mg=state.mg - line.mg, pieces=state.pieces - line.pieces)
        return Touched(line, 0, 0, after._replace(place=line.goes or state.place))

    patch.setattr(fold, "_draw", draw)


def _draw_leaves_content(patch: Patch) -> None:
    real = fold._draw

    def draw(line: FoldLine, state: State) -> Touched:
        touched = real(line, state)
        return touched._replace(after=touched.after._replace(mg=state.mg, pieces=state.pieces))

    patch.setattr(fold, "_draw", draw)


def _moulded_as_forgotten(patch: Patch) -> None:
    patch.setattr(judge, "moulded", lambda _: ())


def _listing_by_name_alone(patch: Patch) -> None:
    patch.setattr(listing, "ASKED", {})


def _blocks_age_at_once(patch: Patch) -> None:
    patch.setattr(young, "_HOUR_MS", 1)


def _sweep_keeps_grades(patch: Patch) -> None:
    def change(step: FoldStep, _: FoldLine, before: State, after: State) -> State:
        return after._replace(grades=before.grades) if step.kind == "swept_empty" else after

    _after_statement(patch, change)


def _reclaim_unmarked(patch: Patch) -> None:
    patch.setattr(projection, "_RECLAIMED", frozenset())


def _holds_end_at_scrap(patch: Patch) -> None:
    patch.setattr(fold, "_decided", lambda _: "")


# -- in the order --------------------------------------------------------------------------------


def _each_step(patch: Patch, change: Callable[[FoldStep], FoldStep]) -> None:
    """Change each step as it enters the fold, by whatever way it comes."""
    real = projection.fold_step

    def fold_step(no: int, draft: StepDraft, numbers: Mapping[str, int]) -> FoldStep:
        return change(real(no, draft, numbers))

    for module in (record, rebuild, changes):
        patch.setattr(module, "fold_step", fold_step)


def _order_by_seq(patch: Patch) -> None:
    _each_step(patch, lambda step: replace(step, tie=step.no))


def _rank_ignored(patch: Patch) -> None:
    _each_step(patch, lambda step: replace(step, k=step.k // 32 * 32))


def _hold_from_its_day(patch: Patch) -> None:
    real = projection.hold_step

    def hold_step(no: int, draft: Hold | Lift, numbers: Mapping[str, int]) -> FoldStep:
        if isinstance(draft, Hold):
            draft = replace(draft, since=draft.happened_at)
        return real(no, draft, numbers)

    for module in (record, rebuild):
        patch.setattr(module, "hold_step", hold_step)


IN_FOLD: tuple[Bug, ...] = (
    Bug("a lift is ignored", _lift_ignored, equal_their_twin),
    Bug("causes survive a sweep", _sweep_keeps_causes, equal_their_twin),
    Bug("ran empty ends grades and holds", _ran_empty_sweeps, equal_their_twin),
    Bug("ran empty keeps the clocks", _ran_empty_keeps_clocks, equal_their_twin),
    Bug("grades are forgotten on mixing", _mixing_forgets_grades, equal_their_twin),
    Bug("causes are forgotten on mixing", _mixing_forgets_causes, equal_their_twin),
    Bug("a tie's grade becomes the foam's", _ties_grade_foam, equal_their_twin),
    Bug("outputs take the first input's causes", _first_input_only, equal_their_twin),
    Bug("the first clock is the last", _first_clock_is_last, equal_their_twin),
    Bug("automatic holds follow into scrap", _scrap_keeps_causes, equal_their_twin),
    Bug("what came in is not added up", _came_in_not_counted, equal_their_twin),
    Bug("a concession starts no new cause", _concession_closes_nothing, equal_their_twin),
    Bug("equal times fold in order of seq", _order_by_seq, equal_their_twin),
    Bug("ranks of steps are ignored", _rank_ignored, equal_their_twin),
    Bug("a hold counts from its day", _hold_from_its_day, equal_their_twin),
    Bug("a shortage is not said", _shortage_unsaid, equal_their_twin),
    Bug("stock falls below nothing", _stock_below_zero, balances),
    Bug("a draw leaves the content as it was", _draw_leaves_content, balances),
    Bug("a bundle forgets what it was moulded as", _moulded_as_forgotten, equal_their_twin),
    Bug("a grade on the list may be anything", _listing_by_name_alone, equal_their_twin),
    Bug("blocks age a day in no time", _blocks_age_at_once, equal_their_twin),
    Bug("grades survive a sweep", _sweep_keeps_grades, equal_their_twin),
    Bug("ground foam is not marked as reclaim", _reclaim_unmarked, equal_their_twin),
    Bug("a person's hold ends at scrap", _holds_end_at_scrap, equal_their_twin),
)
"""Ways for a state to be wrong."""
