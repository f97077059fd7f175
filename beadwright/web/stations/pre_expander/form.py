"""The forms of a pre-expander: the smallest that will do, filled with what is known.

Read :data:`ACTIONS`, then :func:`blank` and :func:`again`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from uuid import uuid4
from zoneinfo import ZoneInfo

from beadwright.errors import Fault
from beadwright.interop import keyed
from beadwright.interop.keyed import Likely
from beadwright.plant.expanding import Expanding
from beadwright.plant.figures import mass
from beadwright.plant.opening import Plant
from beadwright.plant.steering import Steering, set_as, steering
from beadwright.units import System
from beadwright.web.stations.answers import questions
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.page import Box, boxes, fitted
from beadwright.web.stations.pre_expander.words import CUP_UNITS
from beadwright.web.stations.taken import Answered
from beadwright.web.stations.told import Told

__all__ = ["ACTIONS", "CAUSES", "Action", "Fields", "Form", "action_of", "again", "blank"]

_MINUTE_MS = 60_000
_AGO_MIN = (2, 5, 10, 20, 30, 60)
_SCALE = {"mass": "g"}
_LABELS = {("cups", "mass"): "Beads in the cup", ("cups", "where"): "Taken"}

CAUSES = ("no steam", "beads lumped", "sieve or valve blocked", "no silo free", "no bag")
"""Why a pre-expander stands, to choose from. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Action:
    """What is told at a pre-expander by one form."""

    kind: str
    word: str
    """On its button."""
    title: str
    asks: tuple[str, ...] = ()
    """Fields that stand open; the others fold away once they are filled, or need not be."""
    record: str = "Record"
    then: str = ""
    """Form that opens once this one was taken; empty: none."""
    big: bool = False
    always: bool = False
    """Whether it may be told where no run is open."""


ACTIONS = (
    Action("cups", "Cup", "A cup", ("where", "mass"), big=True, always=True),
    Action("bag_opened", "New bag", "A bag goes in", ("bag",), big=True),
    Action(
        "silo_filled",
        "Silo full",
        "The silo is full",
        ("batches",),
        then="expansion_close",
        big=True,
    ),
    Action(
        "adjustments",
        "Adjusted",
        "What was set anew",
        ("charge", "steaming"),
        big=True,
        always=True,
    ),
    Action("downtime", "Trouble", "Trouble", ("started", "cause"), big=True, always=True),
    Action("expansion_open", "Start", "Start a run", record="Start", then="bag_opened"),
    Action("bag_off", "Take the bag off", "The bag comes off", ("bag", "mass")),
    Action("expansion_close", "Close the run", "Close the run", record="Close the run"),
)
"""The first five have large buttons."""


@dataclass(frozen=True, slots=True)
class Fields:
    """Some of a form's fields, as ``boxes.html`` shows them."""

    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Form(Answered):
    """A form with what stands in it."""

    action: Action
    key: str
    asked: Fields
    folded: Fields
    density: tuple[str, str, str] | None = None
    """Of a cup whose balance shows density: its unit, and the mass and volume that it means."""
    cup: Box | None = None
    """The figure of such a cup."""
    since: tuple[tuple[str, str], ...] = ()
    """Of trouble: times since when the machine may have stood, and their words."""
    causes: tuple[str, ...] = ()
    chosen: Mapping[str, str] = field(default_factory=dict)
    """What stands in the fields."""
    says: str = ""
    reason: str = ""
    """Of trouble: why the bag should be on hold."""
    hold_faults: tuple[Fault, ...] = ()
    """Why the bag was not put on hold."""

    @property
    def filled(self) -> tuple[Box, ...]:
        """Folded fields that hold something."""
        return tuple(one for one in self.folded.boxes if one.text)


def action_of(kind: str) -> Action | None:
    """Give what a kind of form tells here; None where it tells nothing here."""
    return next((one for one in ACTIONS if one.kind == kind), None)


def blank(plant: Plant, action: Action, found: Expanding, system: System) -> Form:
    """Give a form filled with what is known of the run, the silo and the bag."""
    own = _known(action.kind, found)
    known = {name: text for name, text in own.items() if text}
    usual = keyed.usual(plant.code, action.kind, known)
    # Of what is known here, nothing is better than what was usual elsewhere.
    texts = {name: text for name, text in usual.texts.items() if name not in own}
    units = dict(usual.units)
    for kind, name, said in (
        ("cups", "volume", found.cup_volume),
        ("silo_filled", "charge", found.charge),
    ):
        number, _, unit = said.partition(" ")
        if action.kind == kind and number:
            known[name], units[name] = number, unit
    if action.kind == "adjustments":
        action = _adjusts(
            action, steering(plant.no, found.place, found.at_ms), system, known, units
        )
    filled = Likely({**texts, **known}, units)
    fits = Fits.of(plant, action.kind, system)
    form = _form(action, uuid4().hex, (filled, {}, fits), found, (system, plant.zone))
    return replace(form, says=_says(action.kind, found, system))


def _adjusts(
    action: Action,
    steered: Steering,
    system: System,
    known: dict[str, str],
    units: dict[str, str],
) -> Action:
    """Ask for what is changed at this machine only, filled with what is advised."""
    knob = steered.machine.knob
    if not knob:
        return action
    if steered.to_si is not None:
        known[knob], _, units[knob] = set_as(steered, steered.to_si, system).partition(" ")
    return replace(action, asks=(knob,))


def again(plant: Plant, action: Action, found: Expanding, sent: Told, system: System) -> Form:
    """Give a form as it was sent, with what is wrong with it and what is asked."""
    faults = sent.form.faults
    told = (sent.filled, faults, sent.fits)
    form = _form(action, sent.key, told, found, (system, plant.zone))
    shown = {one.name for one in (*form.asked.boxes, *form.folded.boxes) if one.name not in _OWN}
    return replace(
        form,
        says=_says(action.kind, found, system),
        # What is wrong with no field that is shown is said above the form.
        faults=tuple(one for name, some in faults.items() if name not in shown for one in some),
        questions=questions(sent.form.questions, sent.filled),
        kept=sent.kept,
        then=sent.do,
        live=sent.live,
    )


_OWN = frozenset({"started", "cause"})
"""Fields of trouble that are chosen, not keyed."""

_Told = tuple[Likely, Mapping[str, tuple[Fault, ...]], Fits]


def _form(
    action: Action, key: str, told: _Told, found: Expanding, shown: tuple[System, ZoneInfo]
) -> Form:
    filled, wrong, fits = told
    system, zone = shown
    scale = _SCALE if action.kind == "cups" else {}
    units = {**filled.units, **scale}
    each = boxes(action.kind, Likely(filled.texts, units), system, wrong, scale)
    each = tuple(
        replace(one, label=_LABELS.get((action.kind, one.name), one.label))
        for one in fitted(each, fits)
    )
    density, cup = None, None
    if action.kind == "cups" and found.cup_shows == "density":
        density = CUP_UNITS[system][0], *CUP_UNITS[system][2:]
        cup = next(one for one in each if one.name == "mass")
        each = tuple(one for one in each if one.name not in {"mass", "volume"})
    asked = [one for one in each if _is_open(action, one)]
    folded = tuple(one for one in each if one not in asked)
    return Form(
        action, key, Fields(_focused(asked)), Fields(folded), density, cup,
        _since(found, zone) if action.kind == "downtime" else (),
        CAUSES if action.kind == "downtime" else (), filled.texts, fits=fits,
    )  # fmt: skip


def _known(kind: str, found: Expanding) -> Mapping[str, str]:
    run = found.run.code if found.run is not None else ""
    code = run or (found.last.run if found.last is not None else "")
    silo = found.filling.silo.place if found.filling is not None else ""
    one = found.next
    return {
        "cups": {"where": "hot", "run": code, "silo": silo, "instrument": found.instrument},
        "bag_opened": {"run": run, "bag": found.next_bag, "scale": found.scale},
        "silo_filled": {"run": run, "silo": silo, "charge": ""},
        "bag_off": {"run": run, "bag": found.bag.code if found.bag else "", "scale": found.scale},
        "adjustments": {"expander": found.place},
        "downtime": {"run": run, "place": found.place},
        "expansion_close": {"run": run},
        "expansion_open": {
            "expander": found.place,
            "product": one.product if one else found.product,
            "grade": one.grade if one else "",
            "silo": one.silo if one else "",
        },
    }[kind]


def _is_open(action: Action, one: Box) -> bool:
    """Whether a field stands open: asked for, wrong, asked about, or required and empty."""
    if one.name in action.asks or one.wrong or one.asked is not None:
        return True
    return one.required and not one.text and one.name != "by"


def _focused(some: Iterable[Box]) -> tuple[Box, ...]:
    """Let the first field that is empty be keyed first, else the first that is keyed at all."""
    each = [one for one in some if one.name not in _OWN]
    keys = [one for one in each if not one.choices]
    first = next((one for one in keys if one.wrong or not one.text), keys[0] if keys else None)
    return tuple(replace(one, focus=one is first) for one in each)


def _since(found: Expanding, zone: ZoneInfo) -> tuple[tuple[str, str], ...]:
    times = []
    for minutes in _AGO_MIN:
        there = datetime.fromtimestamp((found.at_ms - minutes * _MINUTE_MS) / 1000, zone)
        times.append((f"{there:%Y-%m-%d %H:%M}", f"{minutes} min ago, {there:%H:%M}"))
    return tuple(times)


def _says(kind: str, found: Expanding, system: System) -> str:
    """Say what a form will do, where its fields do not."""
    if found.run is None:
        if kind == "expansion_open" and found.next is not None:
            one = found.next
            return f"{one.silo}: {one.why}." if one.silo else f"{one.why}: say which.".capitalize()
        return ""
    if kind == "expansion_close" and not found.run.mg:
        return f"Run {found.run.code} holds no beads any more."
    if kind == "silo_filled":
        held = mass(found.run.mg, system)
        return f"Without a number of batches it is all that run {found.run.code} holds: {held}."
    return ""
