"""Whether the tables that a lot's answer is read from say what the record says.

Read :func:`not_borne_out`. The chain guards the entries; whoever writes to the tables behind the
door's back changes answers and no entry.
"""

from __future__ import annotations

from beadwright.errors import Fault
from beadwright.ledger import lots, settings
from beadwright.ledger.borne_out import decided_differing, steps_differing
from beadwright.plant.judge import judge
from beadwright.plant.plan import LOT, PERIODIC, Planbook
from beadwright.quality.borne_out import differs

__all__ = ["not_borne_out", "tables_differ"]


def not_borne_out(plant_no: int, lot: str) -> tuple[str, ...]:
    """Names of the tables that differ from the record in what a lot's answer rests on.

    Looked at are all settings and decisions; the readings of the lot, and of every characteristic
    that the plan tests for more than one lot; and the steps that made the lot, back to where the
    places that it came through were last swept empty.
    """
    plant = lots.plant_code(plant_no)
    found = decided_differing(plant, plant_no)
    plan = Planbook(settings.load(plant_no))
    shared = plan.characteristics(PERIODIC) | plan.characteristics(LOT)
    if differs(plant, plant_no, [lot], shared):
        found.add("reading")
    return tuple(sorted(found | steps_differing(plant, plant_no, lot, judge)))


def tables_differ(tables: tuple[str, ...], lot: str, where: str = "") -> Fault:
    """Say that tables differ in what a lot rests on, and what to do."""
    what = f"what {lot} rests on differs from what the record says, in: {', '.join(tables)}"
    remedy = (
        "`beadwright verify` says more; where the record itself verifies, `beadwright rebuild`"
        " makes the tables anew. Find out who wrote to the store."
    )
    return Fault("tables_differ", what, lot, where, remedy)
