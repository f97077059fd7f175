"""A form of an inspection as it is shown: what is asked, and behind one tap what is filled in.

Read :class:`Sheet`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from beadwright.errors import Fault
from beadwright.interop.keyed import Likely, fields_of
from beadwright.plant.inspecting import Age, Inspecting
from beadwright.units import System
from beadwright.web.stations import sheet as stations_sheet
from beadwright.web.stations.clock import Clock
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.inspection.acts import COUNTS, Act
from beadwright.web.stations.inspection.form import FEW, drawing_plans, next_piece
from beadwright.web.stations.inspection.words import STATES
from beadwright.web.stations.page import Box, boxes, fitted
from beadwright.web.stations.sheet import Boxes, labelled

__all__ = ["Count", "Sheet", "sheet"]

_LABELS = {
    ("block", "mass"): "Weight, ties and all",
    ("block", "length"): "Length",
    ("block", "width"): "Width",
    ("block", "height"): "Height",
    ("block", "age"): "Hours since it was moulded",
    ("look", "checked"): "Pieces looked at",
    ("look", "rejected"): "Rejected pieces",
    ("look", "scrap_bin"): "Into scrap bin",
    ("fusion", "fusion"): "Beads torn through, of all on the broken face",
}
_MUST = {("look", "checked"), ("fusion", "fusion")}
"""Fields without which a form says nothing, though a sheet may do without them."""


@dataclass(frozen=True, slots=True)
class Count:
    """Bad pieces of one kind: none of them is a pass, few are tapped, more are keyed."""

    name: str
    label: str
    chosen: str
    """One of the numbers on buttons; empty: none is said."""
    more: str
    wrong: str
    few: tuple[str, ...] = FEW[1:]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(stations_sheet.Sheet):
    """One form of an inspection."""

    act: Act
    after: tuple[Box, ...]
    """Fields that are keyed after what is tapped."""
    counts: tuple[Count, ...] = ()
    states: tuple[tuple[str, str], ...] = ()
    """States of a block to choose one from."""
    state: str = ""
    state_wrong: str = ""
    of_state: Box | None = None
    stood: tuple[str, ...] = ()
    """What was proposed, by field: what nobody touched follows the time and the lot."""
    anew: tuple[Box, ...] = ()
    """Fields that hold another proposal than they did."""
    cavities: tuple[str, ...] = ()
    """To choose one from; none where the mould has but one, or none is asked."""
    cavity: str = ""

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Every field that stands on it."""
        return (*self.asked, *self.after, *self.filled)

    @property
    def state_anew(self) -> bool:
        """Whether another state is proposed than was."""
        return any(one.name == "state" for one in self.anew)

    @property
    def of_after(self) -> Boxes:
        """Fields that are keyed after what is tapped."""
        return Boxes(self.after)


def sheet(
    found: Inspecting,
    act: Act,
    likely: Likely,
    shown: tuple[System, Fits, Clock],
    wrong: Mapping[str, tuple[Fault, ...]] | None = None,
) -> Sheet:
    """Give a form with what stands in it."""
    system, fits, clock = shown
    some = fitted(boxes(act.kind, likely, system, wrong or {}), fits)
    first_keyed = (replace(one, focus=one.name == act.asked[0]) for one in some)
    by_name = labelled(act, first_keyed, _LABELS, _MUST)
    tapped = {*COUNTS, "state"}
    first = ("age", "rejected", "scrap_bin")
    state = by_name.get("state") if "state" in act.asked else None
    return Sheet(
        act=act,
        likely=likely,
        asked=tuple(by_name[name] for name in act.asked if name not in {*tapped, *first}),
        after=tuple(by_name[name] for name in act.asked if name in first),
        filled=tuple(by_name[name] for name in _in_order(act)),
        counts=tuple(_count(by_name[name]) for name in COUNTS if name in act.asked),
        states=STATES if state is not None else (),
        state=likely.texts.get("state", ""),
        state_wrong="" if state is None else state.wrong,
        of_state=state,
        cavities=_cavities(found.cavities) if act.unsaid else (),
        cavity=likely.texts.get("cavity", ""),
        says=tuple(_says(act, found, likely.texts.get("state", ""), clock)),
        fits=fits,
    )


def _cavities(number: int) -> tuple[str, ...]:
    return tuple(map(str, range(1, number + 1))) if number > 1 else ()


def _in_order(act: Act) -> list[str]:
    """Fields of use besides what is asked, as the form has them."""
    return [one.name for one in fields_of(act.kind) if one.name in act.more]


def _count(one: Box) -> Count:
    tapped = one.text if one.text in FEW else ""
    more = "" if tapped else one.text
    return Count(one.name, COUNTS[one.name], tapped, more, one.wrong)


def _says(act: Act, found: Inspecting, state: str, clock: Clock) -> Iterator[str]:
    """Say which blocks a plan drew, and how old they are, before anything of them is measured."""
    if act.name != "block":
        return
    plans = drawing_plans(found, state)
    if plans:
        first = next_piece(found, state)
        drawn = "; ".join(
            f"{one.its.name} ({one.its.characteristic.replace('_', ' ')}) {', '.join(one.left)}"
            for one in plans
        )
        yield (
            f"Take {first}. Variables plans drew blocks by their number in the order they were"
            f" moulded; left of {drawn}."
        )
    if found.age is not None:
        yield _old(found.age, clock)


def _old(age: Age, clock: Clock) -> str:
    hours = f"{age.youngest_h:.1f} to {age.oldest_h:.1f} h old"
    if age.state == "24h":
        return f"Its blocks are {hours}, by the record: a day old, so that a reading counts."
    if age.state:
        return (
            f"Its blocks are {hours}: too young to be judged. What is read now screens, and decides"
            f" nothing; the first is a day old from {clock(age.some_from_ms)}."
        )
    return (
        f"Its blocks are {hours}; a day old from {age.day_old_h:g} h. Take one of those moulded"
        f" first, and say its own age; all are a day old from {clock(age.all_from_ms)}."
    )
