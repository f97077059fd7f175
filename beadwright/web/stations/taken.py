"""A form of a station that was sent: asked about, or posted; and what is answered to it.

Read :func:`taken`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TypeVar

from beadwright.errors import Fault
from beadwright.interop import keyed
from beadwright.interop.keyed import Done
from beadwright.plant.masses_said import faults_in
from beadwright.web.access import Asker, read_anew
from beadwright.web.choices.kept import chosen
from beadwright.web.stations.answers import Question
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.told import Told

__all__ = ["Answered", "taken"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A form with what was sent in it, and what is answered."""

    faults: tuple[Fault, ...] = ()
    """Of no field, or why it was not taken."""
    questions: tuple[Question, ...] = ()
    kept: tuple[str, ...] = ()
    then: str = "post"
    """What was asked for, and is done once a question is answered."""
    may: bool = False
    """It was asked about, and may be."""
    may_have_happened: bool = False
    live: bool = False
    """Only what is said of it is shown: the form stands on the page already."""
    fits: Fits = field(default_factory=Fits)
    """Empty where nothing is offered."""


_Form = TypeVar("_Form", bound=Answered)


def taken(request: Asker, sent: Told, form: _Form) -> tuple[_Form, Done | None]:
    """Ask about what was keyed, or post it: give the form with what is said of it, or what it did.

    It did something only where it was posted. One that cannot be read says so already.
    """
    if not sent.form.ready:
        return form, None
    plant, who, units = request.plant.code, request.signed.who, chosen(request).units
    if sent.do == "ask":
        answer = keyed.may(plant, sent.form, who)
        return replace(form, may=answer.may, faults=faults_in(answer.faults, units)), None
    done = keyed.post(plant, sent.form, who, planned=sent.do != "happened")
    if done.posted:
        read_anew(request)
        return form, done
    refused, happened = faults_in(done.refused, units), done.may_have_happened
    return replace(form, faults=refused, may_have_happened=happened), None
