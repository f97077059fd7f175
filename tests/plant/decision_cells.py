"""What happens to a lot's evidence in the decision table, and what came of it.

Read :data:`SITUATIONS`, then :func:`cell`. What must come of each stands in
``docs/decision_table.md``, not here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import Refusal
from beadwright.ledger.draft import Lift, Void
from beadwright.plant.assessment import LotAssessment
from tests.plant.asking import the_lot
from tests.plant.decision_classes import CLASSES, LimitClass
from tests.plant.decision_evidence import Table
from tests.plant.planning import LATE
from tests.plant.yard import ms

__all__ = ["SITUATIONS", "Cell", "cell", "senseless"]


def _released(of: LimitClass, table: Table) -> tuple[str, ...]:
    """Ask, measure well, release; gives what the evidence is found by."""
    of.ask(table)
    found = of.good(table)
    _release(table)
    return found


def _release(table: Table) -> None:
    table.yard.release("L1", the_lot(table.yard).evidence, at=LATE)


# -- what happens --------------------------------------------------------------------------------


def _out(of: LimitClass, table: Table, found: Sequence[str]) -> None:
    for one in found:
        if of.by_report:
            table.post("report_withdrawn", one, reason="specimens of another product")
        else:
            key = f"void/{one}/{len(table.keys)}"
            table.keys[key] = key
            table.yard.post(Void(key, ms(LATE), one, "wrong block", by="P-13"))


def _asked(enter: str) -> Callable[[LimitClass, Table], None]:
    """Ask, and enter evidence of a kind before any release."""

    def play(of: LimitClass, table: Table) -> None:
        of.ask(table)
        if enter:
            getattr(of, enter)(table)

    return play


def _asked_later(enter: str) -> Callable[[LimitClass, Table], None]:
    """Release by the other limit; ask after it, as if it had been asked all along."""

    def play(of: LimitClass, table: Table) -> None:
        _release(table)
        _asked(enter)(of, table)

    return play


def _released_then(
    *more: Callable[[LimitClass, Table, tuple[str, ...]], None],
) -> Callable[[LimitClass, Table], None]:
    def play(of: LimitClass, table: Table) -> None:
        found = _released(of, table)
        for act in more:
            act(of, table, found)

    return play


def _void(of: LimitClass, table: Table, found: tuple[str, ...]) -> None:
    _out(of, table, found)


def _again(of: LimitClass, table: Table, _: tuple[str, ...]) -> None:
    of.good(table)


def _bad_too(of: LimitClass, table: Table, _: tuple[str, ...]) -> None:
    table.last = of.bad(table)


def _bad_out(of: LimitClass, table: Table, _: tuple[str, ...]) -> None:
    _out(of, table, table.last)


def _unfit(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    table.post("calibration", "BAL-2", done="2026-09-11", result="fail")


def _fit_after_all(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    table.post("calibration", "BAL-2", done="2026-09-11", result="pass", certificate="C-2")


def _with_lapsed_instrument(of: LimitClass, table: Table) -> None:
    of.ask(table)
    told = {"done": "2026-09-01", "result": "pass", "certificate": "C-3", "due": "2026-09-11"}
    table.post("calibration", "BAL-2", **told)
    of.good(table)


def _with_nobody_knows_what(of: LimitClass, table: Table) -> None:
    of.ask(table)
    table.yard.set("reading", "rule", instrument="listed")
    table.instrument = ""
    of.good(table)


def _hold(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    table.yard.hold("H-1", "B-1", at=LATE)


def _lift(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    table.yard.post(Lift("lift", ms(LATE), "H-1", "looked into", ("B-1", "L1"), by="P-13"))


def _other_beads(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    first = table.first["beads"]
    lines = tuple(replace(one, lot="B-9") if one.lot == "B-1" else one for one in first.lines)
    table.yard.correct(first.key, at=LATE, lines=lines)


def _right_beads(_: LimitClass, table: Table, __: tuple[str, ...]) -> None:
    table.yard.correct(table.keys["beads"], at=LATE, lines=table.first["beads"].lines)


def _worse(of: LimitClass, table: Table, _: tuple[str, ...]) -> None:
    assert of.worse is not None, f"{of.name}: no step bears on it"
    of.worse(table)


def _back(of: LimitClass, table: Table, _: tuple[str, ...]) -> None:
    assert of.back is not None
    of.back(table)


def _was_worse(of: LimitClass, table: Table) -> None:
    of.ask(table)
    _worse(of, table, ())
    of.good(table)
    assert the_lot(table.yard).answer != "may_ship", f"{of.name}: not worse at all"
    _back(of, table, ())


SITUATIONS: Mapping[str, Callable[[LimitClass, Table], None]] = {
    "good": _asked("good"),
    "missing": _asked(""),
    "too few": _asked("few"),
    "failed": _asked("bad"),
    "lapsed": _asked("lapsed"),
    "late": _asked("late"),
    "read when the calibration had lapsed": _with_lapsed_instrument,
    "read, and no instrument named": _with_nobody_knows_what,
    "asked for after the release": _asked_later(""),
    "… and then good": _asked_later("good"),
    "… and then failed": _asked_later("bad"),
    "released, then more that fails": _released_then(_bad_too),
    "… and that is taken out": _released_then(_bad_too, _bad_out),
    "released, then taken out": _released_then(_void),
    "… and made anew": _released_then(_void, _again),
    "released, then out of calibration": _released_then(_unfit),
    "… and fit after all": _released_then(_unfit, _fit_after_all),
    "released, then held upstream": _released_then(_hold),
    "… and lifted": _released_then(_hold, _lift),
    "released, then other beads by correction": _released_then(_other_beads),
    "… and corrected back": _released_then(_other_beads, _right_beads),
    "released, then another run by correction": _released_then(_worse),
    "… and the run corrected back": _released_then(_worse, _back),
    "wrong run, corrected before the release": _was_worse,
}


def senseless(of: str, situation: str) -> str:
    """Why a situation makes no sense for a class; empty where it does."""
    it = CLASSES[of]
    if situation == "lapsed" and it.lapsed is None:
        return "a lot test speaks for its own lot, however old"
    instruments = ("… and fit after all", "read, and no instrument named")
    if "calibration" in situation or situation in instruments:
        theirs = "a laboratory's instruments are its own; its report stands or is withdrawn"
        return theirs if it.by_report else ""
    if "run" in situation and it.worse is None:
        return "no step bears on what was counted or read of the pieces"
    return ""


# -- what comes of it ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Cell:
    """What came of a situation."""

    answer: str
    worst: str
    also: tuple[str, ...]
    """Other reasons that stop or ask."""
    release: str
    """``stands``, ``suspended``; before one was given ``given`` or ``refused`` at the door."""


def cell(of: str, situation: str, table: Table) -> Cell:
    """Play a situation and ask."""
    SITUATIONS[situation](CLASSES[of], table)
    told = the_lot(table.yard)
    codes = [one.code for one in told.reasons if one.weight != "notes"][1:]
    also = tuple(dict.fromkeys(code for code in codes if code != "release_suspended"))
    return Cell(told.answer, told.reasons[0].code, also, _standing(table, told))


def _standing(table: Table, told: LotAssessment) -> str:
    suspended = any(one.code == "release_suspended" for one in told.reasons)
    if told.approved:
        assert suspended == told.suspended != told.released
        return "suspended" if suspended else "stands"
    assert not suspended
    try:
        _release(table)
    except Refusal as refused:
        codes = {one.code for one in refused.faults}
        return "refused" if codes == {"not_releasable"} else ", ".join(sorted(codes))
    assert the_lot(table.yard).released
    return "given"
