"""Normal, tightened, reduced, discontinued: the rules by which inspection changes over.

Read :func:`after_lot` first. A state and a lot give the next state and why; nothing is kept here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from beadwright.statistics.requirements import refuse, require_whole
from beadwright.statistics.sampling.attributes import SinglePlan
from beadwright.statistics.sampling.published import Scheme, Severity

__all__ = ["LotResult", "Moved", "SwitchingState", "after_lot", "resume"]

_OF_LAST = 5
_ENOUGH_BAD = 2
_BACK_TO_NORMAL = 5
_STOP_AT = 5
_SCORE = 30
_CLEAN_LOTS = 10
_SMALL = 1
"""Up to this acceptance number a lot scores two points; above it, three."""


@dataclass(frozen=True, slots=True)
class SwitchingState:
    """Where inspection of one characteristic stands."""

    severity: Severity = Severity.NORMAL
    recent: tuple[bool, ...] = ()
    """Whether the last lots since the last change were accepted, the newest last; at most 10."""
    score: int = 0
    """Switching score of ISO 2859-1, on normal inspection."""
    refused: int = 0
    """Lots not accepted since tightened inspection began."""


@dataclass(frozen=True, slots=True)
class LotResult:
    """What one lot, inspected for the first time, came to."""

    bad: int
    """Bad pieces found in the sample."""
    plan: SinglePlan
    tighter_accept: int | None = None
    """Ac of the same letter's plan one AQL step tighter, for the score where Ac is 2 or more."""
    steady: bool = True
    """Whether production runs at a steady rate; a halt or a change of process is not."""
    within_limit_number: bool | None = None
    """MIL-STD-105E: whether all bad pieces of the last ten lots are within its limit number
    (table VIII, which is not in here); None is not known."""
    resubmitted: bool = False
    """Whether the lot was inspected before: it then counts for nothing."""

    def __post_init__(self) -> None:
        """Refuse what no lot can be."""
        require_whole(0, bad=self.bad)

    @property
    def accepted(self) -> bool:
        """Whether the lot is accepted."""
        return self.bad < self.plan.refused_from

    @property
    def between(self) -> bool:
        """Whether it is accepted with more than Ac bad pieces: a reduced plan's gap."""
        return self.plan.accept < self.bad < self.plan.refused_from


@dataclass(frozen=True, slots=True)
class Moved:
    """The next state, and why."""

    state: SwitchingState
    changed: bool
    reason: str


def after_lot(
    state: SwitchingState,
    lot: LotResult,
    *,
    scheme: Scheme = Scheme.ISO_2859_1,
    reduced_allowed: bool = False,
) -> Moved:
    """Next state of inspection after a lot.

    Parameters
    ----------
    state : SwitchingState
        Where it stood.
    lot : LotResult
        What the lot came to.
    scheme : Scheme, optional
        Whose rules for reduced inspection.
    reduced_allowed : bool, optional
        Whether the responsible authority agrees to reduced inspection.

    Returns
    -------
    moved : Moved
        The next state, whether the severity changed, and the reason in words.

    Raises
    ------
    OutOfRange
        If inspection is discontinued: see :func:`resume`.

    References
    ----------
    .. [1] ISO 2859-1:1999, 9.3 and 9.4. [read in: a second source that cites it] The points of
       the switching score. [from memory]
    .. [2] MIL-STD-105E, 1989, 4.7 and 4.8: to reduced inspection after ten lots. [from memory]

    Examples
    --------
    >>> plan, state = SinglePlan(50, 1), SwitchingState()
    >>> for bad in (0, 2, 1, 3):
    ...     moved = after_lot(state, LotResult(bad, plan))
    ...     state = moved.state
    >>> moved.state.severity.value, moved.reason
    ('tightened', '2 of the last 3 lots were not accepted')
    """
    if state.severity is Severity.DISCONTINUED:
        refuse("state", state.severity.value, "another: first the cause must be put right")
    if lot.resubmitted:
        return Moved(state, changed=False, reason="a lot inspected again counts for nothing")
    recent = (*state.recent, lot.accepted)[-_CLEAN_LOTS:]
    counted = replace(state, recent=recent)
    if state.severity is Severity.TIGHTENED:
        return _on_tightened(counted, lot)
    if state.severity is Severity.REDUCED:
        return _on_reduced(counted, lot)
    return _on_normal(counted, lot, scheme, allowed=reduced_allowed)


def resume(state: SwitchingState) -> Moved:
    """Take up inspection again once the cause has been put right: on tightened inspection.

    Parameters
    ----------
    state : SwitchingState
        Discontinued.

    Returns
    -------
    moved : Moved
        On tightened inspection, counted from nothing.

    Raises
    ------
    OutOfRange
        If inspection is not discontinued.

    References
    ----------
    .. [1] ISO 2859-1:1999, 9.4. [read in: a second source that cites it]
    """
    if state.severity is not Severity.DISCONTINUED:
        refuse("state", state.severity.value, "discontinued")
    return _to(Severity.TIGHTENED, "the cause has been put right")


def _on_normal(state: SwitchingState, lot: LotResult, scheme: Scheme, *, allowed: bool) -> Moved:
    last = state.recent[-_OF_LAST:]
    if not lot.accepted and last.count(False) >= _ENOUGH_BAD:
        since = len(last) - last.index(False)
        return _to(
            Severity.TIGHTENED, f"{last.count(False)} of the last {since} lots were not accepted"
        )
    state = replace(state, score=_score(state.score, lot))
    if scheme is Scheme.ISO_2859_1:
        ready, why = state.score >= _SCORE, f"the switching score has reached {state.score}"
    else:
        clean = len(state.recent) == _CLEAN_LOTS and all(state.recent)
        ready = clean and lot.within_limit_number is True
        why = "ten lots were accepted, and their bad pieces are within the limit number"
    if not ready:
        return Moved(state, changed=False, reason="normal inspection goes on")
    if not lot.steady:
        return Moved(state, changed=False, reason=f"{why}, but production is not steady")
    if not allowed:
        return Moved(state, changed=False, reason=f"{why}, but reduced inspection is not agreed")
    return _to(Severity.REDUCED, why)


def _on_tightened(state: SwitchingState, lot: LotResult) -> Moved:
    state = replace(state, refused=state.refused + (not lot.accepted))
    if state.refused >= _STOP_AT:
        why = f"{state.refused} lots were not accepted on tightened inspection"
        return _to(Severity.DISCONTINUED, why)
    last = state.recent[-_BACK_TO_NORMAL:]
    if len(last) == _BACK_TO_NORMAL and all(last):
        return _to(Severity.NORMAL, f"{_BACK_TO_NORMAL} lots in a row were accepted")
    return Moved(state, changed=False, reason="tightened inspection goes on")


def _on_reduced(state: SwitchingState, lot: LotResult) -> Moved:
    if not lot.accepted:
        return _to(Severity.NORMAL, "a lot was not accepted")
    if lot.between:
        return _to(Severity.NORMAL, "a lot was accepted with more bad pieces than Ac")
    if not lot.steady:
        return _to(Severity.NORMAL, "production is not steady")
    return Moved(state, changed=False, reason="reduced inspection goes on")


def _score(score: int, lot: LotResult) -> int:
    """Switching score after a lot on normal inspection."""
    if lot.plan.accept <= _SMALL:
        return score + 2 if lot.accepted else 0
    if lot.tighter_accept is None:
        return 0
    return score + 3 if lot.bad <= lot.tighter_accept else 0


def _to(severity: Severity, why: str) -> Moved:
    return Moved(SwitchingState(severity), changed=True, reason=why)
