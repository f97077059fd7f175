"""Whether the stock of a recall's scope is on hold: asked at the door, before anybody says it is.

Read :func:`said_held`. Only a person's hold counts. A lot that an open nonconformity stops may be
freed by a concession that knows nothing of the recall; one that nobody has released, by a release.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.errors import Fault
from beadwright.ledger import marked
from beadwright.ledger.draft import Decision
from beadwright.plant.recall.on_record import KIND, Recall, recalls
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.stages import HELD
from beadwright.plant.words import number

__all__ = ["not_held", "said_held"]

_NAMED = 6
"""Starts that a command is written out for."""
_FEW = 12
"""Lots that are named before the others are counted."""


def not_held(plant_no: int, found: Scope) -> tuple[str, ...]:
    """Give what of a scope has stock in the plant and is on no hold: lots, bundles, places."""
    held = {one.code for some in marked.marked(plant_no).values() for one in some}
    stock = [stand.lot for _, stand in found.here] + [one.lot.code for one in found.stock]
    return tuple(sorted({*stock} - held))


def said_held(plant_no: int, draft: Decision) -> list[Fault]:
    """Say why a recall's stock may not be said to be held; of a rehearsal, and else, nothing.

    It is asked under the lock, with a hold that comes in the same append already in force.
    """
    if draft.kind != KIND or draft.body.get("stage") != HELD:
        return []
    about = next((one for one in recalls(plant_no) if one.name == draft.about), None)
    if about is None or about.rehearsed:
        return []
    free = not_held(plant_no, scope(plant_no, about.starts, about.narrowing))
    if not free:
        return []
    what = (
        f"{about.name}: {number(len(free), 'lot')} of its scope in the plant"
        f" {'is' if len(free) == 1 else 'are'} not on hold: {_few(free)}"
    )
    return [Fault("stock_not_held", what, about.name, draft.key, _remedy(about))]


def _few(free: Sequence[str]) -> str:
    more = len(free) - _FEW
    return ", ".join(free[:_FEW]) + (f", and {more} more" if more > 0 else "")


def _remedy(about: Recall) -> str:
    starts = " ".join(about.starts) if len(about.starts) <= _NAMED else "and all it starts from"
    places = ", a place in a hold of its own" if len(about.starts) > 1 else ""
    return (
        'Hold what it starts from, which holds all that was made of it: "now, with one hold" on'
        f" the recall's page, or at the shell: hold {starts} --id HOLD --reason"
        f' "{about.name}" --by WHO{places}. Then say it again. `recall --of {about.name}` lists'
        " what stands in the plant."
    )
