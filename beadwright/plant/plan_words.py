"""How a planned test stands, in words. Read :func:`standing_of`."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from beadwright.plant.coverage import State
from beadwright.plant.plan import TYPE, PlanRow
from beadwright.plant.proofs import Proof

__all__ = ["gave", "standing_of", "titled"]

_DAY = timedelta(days=1)


def titled(row: PlanRow) -> str:
    """Give the characteristic in words."""
    return row.characteristic.replace("_", " ")


def standing_of(
    row: PlanRow,
    state: State,
    proof: Proof | None,
    dates: tuple[date | None, date],
    undecided: Sequence[Proof],
) -> str:
    """Say how a periodic or type test stands for a lot.

    ``dates``: the last day of making that the proof covers, and the day the lot was made.
    """
    until, made = dates
    if proof is None:
        often = f" every {row.often}" if row.often else ""
        kind = "type test" if row.evidence == TYPE else f"test{often}"
        what = f"no {kind} covers what was made {made}"
    elif state == "failed":
        what = (
            f"{gave(proof)}; what was made after the last sample that passed before it, and before"
            " the next that passes, may not ship"
        )
    elif state == "lapsed" and until is not None:
        ends = f"expired {until}" if until == proof.expires else f"the next was due {until + _DAY}"
        what = f"{gave(proof)} covers what was made until {until}; {ends}; this was made {made}"
    else:
        ends = "without an end" if until is None else f"until {until}"
        what = f"{gave(proof)}, covers what is made {ends}"
    beside = _beside(undecided) if state in {"missing", "lapsed"} else ""
    return f"{titled(row)}: {what}{beside}"


def gave(proof: Proof) -> str:
    """Say what a test gave, where and when, and by how much it missed a limit."""
    missed = [one for one in proof.results if one.finding == "not_met"]
    short = ""
    if missed:
        short = f", {missed[0].short}"
    result = proof.result or "no result"
    return f"{result}{short}, sampled {proof.sampled} ({proof.source})"


def _beside(undecided: Sequence[Proof]) -> str:
    """Name the newest result that decides nothing, and why."""
    if not undecided:
        return ""
    last = undecided[-1]
    verb = "decides" if last.report else "decide"
    return f"; {last.source}, sampled {last.sampled}, {verb} nothing: {last.why}"
