"""A form of a press as it is shown: what is asked, and behind one tap what is filled in already.

Read :class:`Sheet`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import Fault
from beadwright.interop.keyed import Likely, fields_of
from beadwright.plant.pressing import Pressing
from beadwright.plant.words import number
from beadwright.units import System
from beadwright.web.stations import sheet as stations_sheet
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.page import Box, boxes, fitted
from beadwright.web.stations.press.acts import Act
from beadwright.web.stations.press.form import next_cavity
from beadwright.web.stations.sheet import labelled

__all__ = ["Sheet", "sheet"]

_LABELS = {
    ("count", "shots"): "Shots since the last count",
    ("count", "good"): "Good blocks",
    ("count", "scrap"): "Scrapped blocks not told yet",
    ("count", "cause"): "Why scrapped",
    ("scrap", "scrap"): "Blocks scrapped",
    ("scrap", "cause"): "Why",
    ("stop", "cause"): "Why it stood",
    ("weigh", "mass"): "Weight of the wet block, ties and all",
    ("silo", "from"): "Go on with silo",
    ("carton", "ties"): "Go on with carton",
    ("hopper", "from"): "From silo",
    ("hopper", "mass"): "How much",
    ("fusion", "fusion"): "Beads torn through, of all on the broken face",
    ("first", "dimensions"): "Size",
}
_MUST = {("scrap", "scrap"), ("weigh", "mass"), ("fusion", "fusion"), ("silo", "from"),
         ("carton", "ties"), ("hopper", "from")}  # fmt: skip
"""Fields without which a form says nothing, though a sheet may do without them."""

_TAPPED = frozenset({"cause", "cavity"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(stations_sheet.Sheet):
    """One form of a press."""

    act: Act
    causes: tuple[str, ...] = ()
    """To choose a cause from."""
    cause: str = ""
    cavities: tuple[str, ...] = ()
    """To choose one from; none where the mould has but one."""
    cavity: str = ""
    cavity_label: str = "Cavity"
    cavity_hint: str = ""
    cavity_unsaid: str = ""
    """What it says where none is chosen; empty where one must be."""
    other: str = ""
    """A cause in somebody's own words."""
    minutes: str = ""
    """Keyed, where it is asked how long a press stood."""
    stood_wrong: str = ""
    """What is wrong with them."""
    others: tuple[tuple[bool, str, str], ...] = ()
    """What else may, or may not, be drawn of: its code, and what it holds or why not."""
    before: str = ""
    """Name of what should be done first."""
    onward: str = ""
    """What is to be done after it."""

    @property
    def lacks(self) -> bool:
        """Whether a field that must be filled is empty."""
        must = {one.name for one in fields_of(self.act.kind) if one.required and one.name != "by"}
        return any(not self.likely.texts.get(name) for name in must)

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """What a run is started with, for whoever only has to nod."""
        if self.act.name != "start":
            return ()
        said = self.likely.texts
        names = (("product", "Product"), ("mould", "Mould"), ("from", "Beads from"),
                 ("ties", "Ties from"), ("lot", "Into lot"), ("run", "Run"))  # fmt: skip
        return tuple((words, said[name]) for name, words in names if said.get(name))

    @property
    def cause_label(self) -> str:
        """What is asked of the cause."""
        return _LABELS.get((self.act.name, "cause"), "Cause")

    @property
    def refused(self) -> bool:
        """Whether what a run would be started with was refused: it is to be changed there."""
        return self.act.name == "start" and bool(self.faults)


def sheet(
    press: Pressing,
    act: Act,
    likely: Likely,
    shown: tuple[System, Fits],
    wrong: Mapping[str, tuple[Fault, ...]] | None = None,
) -> Sheet:
    """Give a form with what stands in it."""
    system, fits = shown
    wrong = wrong or {}
    some = fitted(boxes(act.kind, likely, system, wrong), fits)
    by_name = labelled(act, some, _LABELS, _MUST)
    causes = _causes(press, act)
    late = wrong.get("started", ()) if "minutes" in act.asked else ()
    of_scrap = act.kind == "mould_runs"
    cavities = _cavities(press.mould.cavities) if "cavity" in act.asked else ()
    asked = [by_name[name] for name in act.asked if name in by_name and name not in _TAPPED]
    rest = {one.name for one in asked} | ({"cause"} if causes else set())
    rest |= {"cavity"} & {*act.asked}
    rest |= {"started"} if "minutes" in act.asked else set()
    return Sheet(
        act=act,
        likely=likely,
        asked=_focused(asked),
        filled=tuple(
            box for name, box in by_name.items() if name not in rest and _matters(act, box)
        ),
        causes=causes,
        cause=likely.texts.get("cause", ""),
        cavities=cavities,
        cavity=likely.texts.get("cavity", ""),
        cavity_label="Scrap out of cavity" if of_scrap else "Out of cavity",
        cavity_hint="" if of_scrap else _cavity_hint(press),
        cavity_unsaid="not told, or several" if of_scrap else "",
        stood_wrong="Say for how many minutes it stood." if late else "",
        says=tuple(_says(press, act)),
        others=tuple(_others(press, act)),
        before="count" if act.name in {"silo", "carton", "end"} and press.count_first else "",
        fits=fits,
    )


def _causes(press: Pressing, act: Act) -> tuple[str, ...]:
    if "cause" not in act.asked:
        return ()
    return press.stop_causes if act.name == "stop" else press.scrap_causes


def _cavity_hint(press: Pressing) -> str:
    """Say that the one chosen beforehand is but proposed."""
    after = "the one after that weighed last" if press.figures.weighed else "none was weighed yet"
    return f"{next_cavity(press)} is proposed: {after}. Tap the block's own."


def _cavities(number: int) -> tuple[str, ...]:
    return tuple(map(str, range(1, number + 1))) if number > 1 else ()


def _focused(some: Sequence[Box]) -> tuple[Box, ...]:
    """Let the first field that is wrong or empty be keyed first, else the first that is keyed."""
    keys = [one for one in some if not one.choices]
    first = next((one for one in keys if one.wrong or not one.text), keys[0] if keys else None)
    return tuple(replace(one, focus=one is first) for one in some)


def _matters(act: Act, box: Box) -> bool:
    """Whether a field is of any use in this form; of a break, only that of fusion is."""
    if act.kind == "results":
        return box.name in {"at", "lot", "specimen", "method"}
    if act.kind == "inspections":
        return box.name in {"at", "lot", "specimen", "age", "state", "instrument"}
    if act.name == "silo":
        return box.name in {"at", "run"}
    return True


def _says(press: Pressing, act: Act) -> Iterator[str]:
    if act.name == "count" and press.tally.scrap_apart:
        yield f"Scrapped and told since the last count: {press.tally.scrap_apart}."
    if act.name in {"count", "scrap"} and press.first.waits:
        yield "The first piece is not signed: until it is, blocks are scrap."
    if act.name == "gauge":
        known = sorted(press.mould.offsets)
        yield (
            f"Of {', '.join(known)} the size after 24 h is estimated; it is judged only then."
            if known
            else "No hot offset is set for this mould: nothing is estimated, and it is judged only"
            " after 24 h."
        )


def _others(press: Pressing, act: Act) -> Iterator[tuple[bool, str, str]]:
    """Say of each silo, or carton, whether it may be drawn of."""
    draws = press.draws
    here = {draws.now.place if draws.now is not None else ""}
    if act.name in {"silo", "hopper"}:
        for one in draws.places:
            if one.place not in here and one.direct is (act.name == "silo"):
                grades = " + ".join(grade.name for grade in one.silo.grades)
                holds = f"{grades}, about {number(one.blocks, 'block')}"
                yield one.may, one.place, holds if one.may else "; ".join(one.why_not)
    if act.name == "carton":
        for box in draws.cartons:
            yield box.may, box.code, f"{box.pieces} ties" if box.may else "; ".join(box.why_not)
