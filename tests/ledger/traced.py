"""What must be true of every trace and closing account of a plant: one function for each fact."""

from __future__ import annotations

import math

from beadwright.ledger import account, lots, trace
from beadwright.ledger.traced import RESIDUE_MG
from tests.ledger.genealogy import mixed, reach, touches
from tests.ledger.projections import rows

__all__ = ["accounts_close", "bounds_hold", "inverse", "reaches"]

_NOISE_MG = 1e-3
"""Far below one bead (0.4 mg): what the arithmetic of floats leaves of nothing."""

Pairs = dict[tuple[str, str], trace.TraceLot]


def pairs(plant: str) -> tuple[Pairs, Pairs]:
    """Every trace of a plant with nothing cut off, by (of, into): forward, and back."""
    no = lots.plant_number(plant)
    forward: Pairs = {}
    back: Pairs = {}
    for (code,) in rows("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        for one in trace.trace(no, code, "forward", cut_mg=0).lots:
            forward[code, one.lot.code] = one
        for one in trace.trace(no, code, "back", cut_mg=0).lots:
            back[one.lot.code, code] = one
    return forward, back


def inverse(plant: str) -> None:
    """X is in Y's trace back just where Y is in X's forward, and with the same mass."""
    forward, back = pairs(plant)

    seen = [{pair for pair, one in way.items() if one.mg > _NOISE_MG} for way in (forward, back)]

    assert seen[0] == seen[1], seen[0] ^ seen[1]
    around = {of for of, into in _round(plant)}
    for pair in seen[0]:
        if pair[1] in around:
            continue  # what goes round and comes again counts each time it comes
        there, here = forward[pair].mg, back[pair].mg
        assert math.isclose(there, here, rel_tol=1e-6, abs_tol=1.0), (pair, there, here)


def _round(plant: str) -> set[tuple[str, str]]:
    """Lots that hold material of themselves."""
    found = reach(touches(lots.plant_number(plant)), drained=True)
    return {(lot, lot) for lot, there in found.items() if lot in there}


def reaches(plant: str) -> None:
    """A trace reaches what the graph of steps reaches, up to what was drained by the books."""
    forward, _ = pairs(plant)
    lines = touches(lots.plant_number(plant))
    expected, possible = reach(lines, drained=False), reach(lines, drained=True)
    found: dict[str, set[str]] = {}
    for of, into in forward:
        found.setdefault(of, set()).add(into)
    for lot, there in possible.items():
        own = found.get(lot, set()) | {lot}
        assert expected[lot] <= own, (lot, expected[lot] - own)
        assert own <= there | {lot}, (lot, own - there)


def bounds_hold(plant: str) -> None:
    """Each share lies within its bounds, and so does any order in which places may be emptied."""
    forward, back = pairs(plant)
    for one in (*forward.values(), *back.values()):
        assert 0 <= one.least <= one.share <= one.most <= 1 + 1e-9, one
    lines = touches(lots.plant_number(plant))
    if any(t.differ and t.kind != "swept_empty" for t in lines):
        return
    for newest in (False, True):
        for pair, (mg, total) in mixed(lines, newest=newest).items():
            if not mg or pair[0] == pair[1]:
                continue
            for told in (forward.get(pair), back.get(pair)):
                if told is None:
                    continue
                assert told.least - 1e-6 <= mg / total <= told.most + 1e-6, (pair, mg / total, told)


def accounts_close(plant: str) -> None:
    """What came into a lot is where its closing account says, and nowhere else.

    What it calls unaccounted is no more than what was said to be missing, in remainders and
    differences.
    """
    no = lots.plant_number(plant)
    lines = touches(no)
    (rest,) = rows("SELECT coalesce(sum(abs(remainder_mg)), 0) FROM ledger_step WHERE p=%s", [no])
    emptied = {line.lot for line in lines if line.sign <= 0 and not line.after}
    most = int(rest[0]) + sum(abs(line.differ) for line in lines)
    for (code,) in rows("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        one = account.account(no, code)
        assert math.isclose(one.total, one.made, rel_tol=1e-9, abs_tol=1.0), (code, one, one.total)
        assert abs(one.unaccounted) <= most + 1.0, (code, one.unaccounted, most)
        assert 0 <= one.residue <= len(emptied) * RESIDUE_MG + 1e-3, (code, one.residue)
