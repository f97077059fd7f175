"""A release as a shell asks for it: only what the assessment lets through is approved."""

from __future__ import annotations

from beadwright.cli.decisions import Decided, key
from beadwright.cli.following import one_lot
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Fault, Refusal
from beadwright.ledger.draft import Release
from beadwright.plant.door import now_ms
from beadwright.plant.release import assess

__all__ = ["released"]


def released(session: Session, text: str, by: str, note: str) -> Decided:
    """Release the block lot that a text names.

    Raises
    ------
    Refusal
        ``not_releasable``, where the assessment does not say that the lot may ship.
    """
    plant = session.plant()
    code = one_lot(plant, text).code
    person = person_of(plant.code, by)
    one = next((lot for lot in assess(plant.no, [code]).lots if lot.lot == code), None)
    if one is None:
        what = f"{code} is no lot of a mould run; its block lots are released one by one"
        remedy = f"`assess {code}` names them."
        raise Refusal([Fault("not_releasable", what, code, "", remedy)])
    if one.answer != "may_ship":
        what = f"{code} may not be released: {one.reasons[0].sentence}"
        remedy = f"`assess {code}` gives every reason."
        raise Refusal([Fault("not_releasable", what, code, "", remedy)])
    draft = Release(key(), now_ms(), code, one.evidence, person, note)
    posted = session.post(plant, draft)
    what = f"{code} released over evidence {one.evidence[:12]}…"
    return Decided(what, posted.seq, posted.hash)
