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
from beadwright.web.stations.answers import Question
from beadwright.web.stations.clock import Clock
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.inspection.acts import COUNTS, Act
from beadwright.web.stations.inspection.form import FEW
from beadwright.web.stations.inspection.words import STATES
from beadwright.web.stations.page import NONE_FIT, Box, boxes, fitted

__all__ = ["Boxes", "Count", "Sheet", "sheet"]

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
_SHORT = 4


@dataclass(frozen=True, slots=True)
class Boxes:
    """Fields that stand together."""

    boxes: tuple[Box, ...]
    folded: tuple[Box, ...] = ()


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


@dataclass(frozen=True, slots=True)
class Sheet:
    """One form of an inspection."""

    act: Act
    likely: Likely
    asked: tuple[Box, ...]
    after: tuple[Box, ...]
    """Fields that are keyed after what is tapped."""
    filled: tuple[Box, ...]
    """What is known already."""
    counts: tuple[Count, ...] = ()
    states: tuple[tuple[str, str], ...] = ()
    """States of a block to choose one from."""
    state: str = ""
    state_wrong: str = ""
    says: tuple[str, ...] = ()
    """What to know before it is keyed."""
    key: str = ""
    faults: tuple[Fault, ...] = ()
    questions: tuple[Question, ...] = ()
    kept: tuple[str, ...] = ()
    then: str = "post"
    may: bool = False
    may_have_happened: bool = False
    live: bool = False
    fits: Fits = NONE_FIT

    @property
    def of_asked(self) -> Boxes:
        """Fields that are keyed first."""
        return Boxes(self.asked)

    @property
    def of_after(self) -> Boxes:
        """Fields that are keyed after what is tapped."""
        return Boxes(self.after)

    @property
    def of_filled(self) -> Boxes:
        """Fields that are filled in already."""
        return Boxes(self.filled)

    @property
    def short(self) -> str:
        """What is filled in, in a few words."""
        said = [f"{one.text} {one.unit}".strip() for one in self.filled if one.text]
        return ", ".join(said[:_SHORT])

    @property
    def wrong(self) -> bool:
        """Whether something is wrong with what was filled in already: then it is shown."""
        return any(one.wrong or one.asked for one in self.filled)

    @property
    def has_numbers(self) -> bool:
        """Whether a decimal sign may be keyed."""
        return any(one.mode == "decimal" for one in self.asked)


def sheet(
    found: Inspecting,
    act: Act,
    likely: Likely,
    shown: tuple[System, Fits, Clock],
    wrong: Mapping[str, tuple[Fault, ...]] | None = None,
) -> Sheet:
    """Give a form with what stands in it."""
    system, fits, clock = shown
    by_name = _labelled(act, likely, (system, fits), wrong or {})
    apart = {*COUNTS, "state"}
    first = ("age", "rejected", "scrap_bin")
    state = by_name.get("state") if "state" in act.asked else None
    return Sheet(
        act,
        likely,
        tuple(by_name[name] for name in act.asked if name not in {*apart, *first}),
        tuple(by_name[name] for name in act.asked if name in first),
        tuple(by_name[name] for name in _in_order(act)),
        tuple(_count(by_name[name]) for name in COUNTS if name in act.asked),
        STATES if state is not None else (),
        likely.texts.get("state", ""),
        "" if state is None else state.wrong,
        tuple(_says(act, found.age, clock)),
        fits=fits,
    )


def _in_order(act: Act) -> list[str]:
    """Fields of use besides what is asked, as the form has them."""
    return [one.name for one in fields_of(act.kind) if one.name in act.more]


def _labelled(
    act: Act, likely: Likely, shown: tuple[System, Fits], wrong: Mapping[str, tuple[Fault, ...]]
) -> dict[str, Box]:
    """Give fields by name, with the words that this form has for them."""
    return {
        one.name: replace(
            one,
            label=_LABELS.get((act.name, one.name), one.label),
            hint="" if (act.name, one.name) in _LABELS else one.hint,
            required=one.required or (act.name, one.name) in _MUST,
            folded=False,  # what is not asked stands behind one tap as it is
            focus=one.name == act.asked[0],
        )
        for one in fitted(boxes(act.kind, likely, shown[0], wrong), shown[1])
    }


def _count(one: Box) -> Count:
    tapped = one.text if one.text in FEW else ""
    more = "" if tapped else one.text
    return Count(one.name, COUNTS[one.name], tapped, more, one.wrong)


def _says(act: Act, age: Age | None, clock: Clock) -> Iterator[str]:
    """Say how old the blocks are, before anything of them is measured."""
    if act.name != "block" or age is None:
        return
    hours = f"{age.youngest_h:.1f} to {age.oldest_h:.1f} h old"
    if age.state == "24h":
        yield f"Its blocks are {hours}, by the record: a day old, so that a reading counts."
    elif age.state:
        yield (
            f"Its blocks are {hours}: too young to be judged. What is read now screens, and decides"
            f" nothing; the first is a day old from {clock(age.some_from_ms)}."
        )
    else:
        yield (
            f"Its blocks are {hours}; a day old from {age.day_old_h:g} h. Take one of those moulded"
            f" first, and say its own age; all are a day old from {clock(age.all_from_ms)}."
        )
