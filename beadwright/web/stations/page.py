"""What a station shows: its forms, the one that is filled in, and what became of it.

Read :class:`StationPage`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from beadwright.errors import Fault
from beadwright.interop.keyed import Done, FormField, Likely, Stock, fields_of
from beadwright.plant.duties import Duties
from beadwright.plant.figures import mass
from beadwright.plant.masses_said import faults_in, masses_in
from beadwright.units import System, shown_unit
from beadwright.web.stations.fits import Asking, Fits, Option
from beadwright.web.stations.named import Kind, Station
from beadwright.web.stations.newest import Earlier
from beadwright.web.stations.taken import Answered

__all__ = ["Box", "StationPage", "boxes", "effects", "fitted", "flaws", "stands"]

_LONG = 10
"""Fields that a form may have before those that are hardly ever keyed are folded away."""

_WORDS = {
    ("shipments", "what"): "Bundle or lot",
    ("reclaim", "what"): "What is done",
    ("results", "conditioned"): "Conditioned for",
    ("inspections", "bad_dimension"): "Bad size",
    ("first_pieces", "dimensions"): "Size",
}
"""Labels of fields whose names do not say what is meant."""

_SCANNED = frozenset({"supplier_lot"})
"""Fields that hold no code of ours and are scanned all the same."""


@dataclass(frozen=True, slots=True)
class Box:
    """One field as it is shown."""

    name: str
    label: str
    text: str
    unit: str
    units: tuple[str, ...]
    """Those to choose from; empty where but one fits, or where a scale shows its own."""
    hint: str
    wrong: str
    required: bool
    choices: tuple[str, ...]
    scan: bool
    mode: str
    offers: tuple[Option, ...] = ()
    """What fits, to choose from."""
    asked: Asking | None = None
    """What was scanned into it and fits several lots."""
    folded: bool = False
    """Hardly ever keyed: it stands behind one tap."""
    is_time: bool = False
    focus: bool = False
    """Whether it is keyed first."""


@dataclass(frozen=True, slots=True)
class StationPage(Answered):
    """A station with one of its forms."""

    station: Station
    kind: Kind
    key: str
    boxes: tuple[Box, ...]
    place: str = ""
    """The machine, where each has a station of its own."""
    newest: tuple[Earlier, ...] = ()
    done: str = ""
    flaws: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()
    duties: Duties | None = None
    """What its reader may do, and whom the rest waits for."""
    stood: tuple[str, ...] = ()
    """What was proposed, by field: what nobody touched follows a lot that is scanned."""
    anew: tuple[Box, ...] = ()
    """Fields that hold another proposal than they did."""

    @property
    def folded(self) -> tuple[Box, ...]:
        """Fields that stand behind one tap."""
        return tuple(one for one in self.boxes if one.folded)

    @property
    def has_numbers(self) -> bool:
        """Whether a decimal sign may be keyed."""
        return any(one.mode == "decimal" for one in self.boxes)

    @property
    def of(self) -> tuple[tuple[str, bool], ...]:
        """What the proposals may go by, each with whether they do now."""
        its = next((one for one in self.boxes if one.name == self.kind.of), None)
        if its is None:
            return ()
        return tuple((one, one == its.text) for one in its.choices or (o.value for o in its.offers))


def boxes(
    kind: str,
    likely: Likely,
    system: System,
    wrong: Mapping[str, tuple[Fault, ...]],
    scale: Collection[str] = (),
) -> tuple[Box, ...]:
    """Give the fields of a form; who did it is who is signed in, and is not asked.

    ``scale`` names the fields whose unit is that of the station's own scale.
    """
    return tuple(
        Box(
            one.name,
            _WORDS.get((kind, one.name)) or _label(one.name),
            likely.texts.get(one.name, ""),
            _unit(one, likely, system),
            one.units if len(one.units) > 1 and one.name not in scale else (),
            _hint(one),
            "; ".join(
                _worded(one.name, fault) for fault in faults_in(wrong.get(one.name, ()), system)
            ),
            one.required,
            one.choices,
            one.sort == "code" or one.name in _SCANNED,
            "numeric" if one.sort == "pieces" else "decimal" if one.quantity else "",
            is_time=one.sort == "time",
        )
        # Hardly ever is a time keyed: it is now.
        for one in sorted(fields_of(kind), key=lambda one: one.sort == "time")
        if one.name != "by"
    )


def fitted(some: Iterable[Box], fits: Fits) -> tuple[Box, ...]:
    """Give the fields of a form with what fits each, and with the scans that are asked about."""
    asked, boxes_ = {one.field: one for one in fits.asked}, tuple(some)
    long = len(boxes_) > _LONG
    return tuple(
        replace(
            one,
            offers=fits.offers.get(one.name, ()),
            asked=asked.get(one.name),
            folded=long and _unused(one, fits.used),
        )
        for one in boxes_
    )


def _unused(one: Box, used: Collection[str]) -> bool:
    """Whether a field may be left empty, is, and was left so by every one of the newest entries."""
    keyed = one.required or one.text or one.wrong or one.offers or one.name in used
    return bool(used) and not keyed and not one.is_time


def effects(done: Done, system: System) -> str:
    """Say what became of a form that was taken, and how the lots it touched stand now."""
    first = "It was in the record already." if done.repeated else "It is in the record."
    return f"{first} {stands(done, system)}".strip()


def stands(done: Done, system: System) -> str:
    """Say how the lots stand now that a form touched; of none, nothing."""
    told = (
        f"{one.lot} {_holds(one, system)}"
        + (f", held: {', '.join(one.causes)}" if one.causes else "")
        for one in done.stock
    )
    return " ".join(f"{one}." for one in told)


def flaws(done: Done, system: System) -> tuple[str, ...]:
    """Say what did not conform in what was taken."""
    return tuple(masses_in(one.what, system) for one in done.nonconformities)


def _hint(one: FormField) -> str:
    """Give what a field asks for; nothing where that only says its label again."""
    return "" if one.help.startswith(f"{_label(one.name)}, as ") else one.help


def _label(name: str) -> str:
    return "When" if name == "at" else name.replace("_", " ").capitalize()


def _worded(name: str, fault: Fault) -> str:
    """Say a fault by the words that stand at its field."""
    what = fault.what.replace(f'"{name}"', _label(name)).rstrip(".")
    return f"{what}. {fault.remedy}".strip()


def _holds(one: Stock, system: System) -> str:
    if one.elsewhere:
        return f"holds {one.pieces or 'no'} pieces loose, {', '.join(one.elsewhere)}"
    if one.pieces:
        return f"holds {one.pieces} pieces"
    return f"holds {mass(one.mg, system)}" if one.mg else "is empty"


def _unit(one: FormField, likely: Likely, system: System) -> str:
    """Give the unit beside a field: that of what is proposed, else the person's own."""
    if not one.units:
        return ""
    own = shown_unit(one.quantity, system)  # type: ignore[arg-type]  # a field names its kind
    return likely.units.get(one.name) or (own if own in one.units else one.unit or one.units[0])
