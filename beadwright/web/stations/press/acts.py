"""What somebody does at a press, and the smallest form of each: the fields that are asked.

Read :data:`ACTS`. What else the form holds is filled in already, and stands behind one tap.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.plant.access import Role, may_post
from beadwright.plant.pressing import Pressing
from beadwright.web.stations import sheet

__all__ = ["ACTS", "Act", "acts_for"]


@dataclass(frozen=True, slots=True)
class Act(sheet.Act):
    """One thing that is done at a press."""

    posts: str
    """Kind of step or entry that a role must be let post."""
    of_run: bool = True
    """Whether a run must be open; else a lot is enough."""
    moves: bool = False
    """Whether it moves material: then it is said how the lots stand."""


ACTS: Mapping[str, Act] = {
    one.name: one
    for one in (
        Act("first", "First piece", "Sign", "first_pieces",
            ("mass", "ties", "fusion", "dimensions", "code"), "first_piece",
            says="to be signed", done="The first piece is in the record."),
        Act("count", "Count", "Record the count", "mould_runs",
            ("shots", "good", "scrap", "cause", "cavity"), "mould", says="since the last count",
            done="Counted.", moves=True),
        Act("weigh", "Weigh", "Record the weight", "inspections", ("mass", "cavity"), "readings",
            of_run=False, says="a wet block", done="Weighed."),
        Act("gauge", "Gauge", "Record the size", "inspections",
            ("length", "width", "height", "cavity"), "readings", of_run=False,
            says="a hot block", done="Gauged."),
        Act("fusion", "Fusion", "Record the break", "results", ("fusion",), "readings",
            of_run=False, says="a block broken", done="The break is in the record."),
        Act("scrap", "Scrap", "Record the scrap", "mould_runs", ("scrap", "cause", "cavity"),
            "mould",
            says="as it falls", done="Scrapped.", moves=True),
        Act("stop", "Stop", "Record the stop", "downtime", ("minutes", "cause"), "run_open",
            says="it stood, and why", done="The stop is in the record."),
        Act("silo", "Change silo", "Go on with it", "mould_sources", ("from",), "run_open",
            done="The run goes on with it."),
        Act("hopper", "Fill hopper", "Record the filling", "silo_moves", ("from", "mass"), "fill",
            says="from a silo", done="Filled.", moves=True),
        Act("carton", "Change carton", "Go on with it", "mould_sources", ("ties",), "run_open",
            done="The run goes on with it."),
        Act("end", "End run", "End the run", "mould_close", (), "run_close",
            done="The run is ended."),
        Act("start", "Start", "Start the run", "mould_open", (), "run_open",
            done="The run is open."),
    )
}  # fmt: skip
"""In the order in which they stand on the page."""


def acts_for(press: Pressing, role: Role, *, signs: bool) -> tuple[Act, ...]:
    """Give what somebody of a role can do at a press as it stands.

    ``signs``: whether a signature of the role under a first piece counts.
    """
    return tuple(
        one for one in ACTS.values() if may_post(role, one.posts) and _fits(one, press, signs=signs)
    )


def _fits(act: Act, press: Pressing, *, signs: bool) -> bool:
    hopper = bool(press.draws.hopper)
    ties = press.product is not None and press.product.ties > 0
    fits = {
        "start": press.run is None,
        "first": signs and press.first.waits,
        "silo": not hopper,
        "hopper": hopper,
        "carton": ties,
    }
    if act.name == "start":
        return fits["start"]
    there = press.run is not None if act.of_run else bool(press.lot)
    return there and fits.get(act.name, True)
