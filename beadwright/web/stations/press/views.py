"""A press: how it stands, asked again every few seconds, and its forms, one for each thing done.

Read :func:`press`. Every other form of the station stands where it stood, under its kind.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, cast
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect, render

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.interop.keyed import Done, Likely
from beadwright.plant.access import may_post
from beadwright.plant.duties import duties, may_sign_first_piece
from beadwright.plant.machines import places_of
from beadwright.plant.masses_said import faults_in
from beadwright.plant.moment import moment
from beadwright.plant.press_entries import entries_at
from beadwright.plant.pressing import Pressing, pressing
from beadwright.plant.words import capital
from beadwright.units import System
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.refused import not_allowed
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.page import effects, flaws, stands
from beadwright.web.stations.press.acts import ACTS, Act, acts_for
from beadwright.web.stations.press.form import OTHER, as_sent, likely_of
from beadwright.web.stations.press.page import PressPage, page
from beadwright.web.stations.press.sheet import Sheet, sheet
from beadwright.web.stations.sheet import with_answers
from beadwright.web.stations.taken import taken
from beadwright.web.stations.told import Told, told

__all__ = ["press_view"]

_SAME, _NOT_TAKEN = 204, 422


@dataclass(frozen=True, slots=True)
class _Here:
    """A press that is looked at, by whom."""

    request: Asker
    press: Pressing
    acts: tuple[Act, ...]

    @classmethod
    def at(cls, request: Asker, place: str) -> _Here:
        """Ask how it stands now."""
        now = moment(request.plant)
        role = request.signed.role
        signs = may_sign_first_piece(request.plant.no, role, now)
        press = pressing(request.plant.no, place, now)
        return cls(request, press, acts_for(press, role, signs=signs))

    def page(self) -> PressPage:
        """Give what is shown."""
        request = self.request
        told_to = duties(request.plant, request.signed.role, self.press.at_ms)
        shown = (chosen(request).units, request.plant)
        return page(self.press, self.acts, told_to, shown)


def press_view(generic: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give the view of a press; ``generic`` shows the station's other forms, by their kind."""

    @asks
    def press(request: Asker, place: str) -> HttpResponse:
        _require(request, place)
        if "kind" in request.GET or ("kind" in request.POST and "act" not in request.POST):
            return _other(request, place, generic)
        here = _Here.at(request, place)
        wanted = request.POST.get("act", "") or request.GET.get("do", "")
        act = ACTS.get(wanted)
        if request.method == "POST":
            if act is None or act not in here.acts:
                return not_allowed(request, request.signed)
            return _told(here, act)
        if "seen" in request.GET:
            return _live(here)
        if act is not None and act in here.acts:
            return _asked(here, _new(here, act))
        return _shown(here)

    return press


def _require(request: Asker, place: str) -> None:
    known = places_of(request.plant.no, "press", moment(request.plant))
    if place not in known:
        message = f"{place} is no press of this plant: there are {', '.join(known)}"
        raise Misuse(message)


def _other(request: Asker, place: str, generic: Callable[..., HttpResponse]) -> HttpResponse:
    if not may_post(request.signed.role, "mould"):
        return not_allowed(request, request.signed)
    return generic(request, place)


def _live(here: _Here) -> HttpResponse:
    shown = here.page()
    if here.request.GET["seen"] == shown.print:
        return HttpResponse(status=_SAME)
    return render(here.request, "stations/press/live.html", {"page": shown})


def _shown(here: _Here, done: Done | None = None, act: Act | None = None) -> HttpResponse:
    """Show how the press stands, what was done, and where nothing runs the next run."""
    request = here.request
    start = ACTS["start"]
    sheet_ = _asked_first(here, _new(here, start)) if start in here.acts else None
    shown = here.page()
    given: dict[str, Any] = {
        "page": shown,
        "sheet": sheet_,
        "newest": entries_at(request.plant, here.press, request.signed.role),
        "keys_others": may_post(request.signed.role, "mould"),
    }
    if done is not None and act is not None:
        given["done"] = _said(act, done, shown, chosen(request).units)
        given["flaws"] = flaws(done, chosen(request).units)
        given["entries"] = done.entries
    return render(request, "stations/press/page.html", given)


def _said(act: Act, done: Done, shown: PressPage, system: System) -> str:
    """Say what became of a form, and what can be read from it at once."""
    if done.repeated:
        return effects(done, system)
    if act.moves:
        return f"{act.done} {stands(done, system)}".strip()
    last = shown.measured.last
    if act.name == "weigh" and last is not None:
        light = f" {capital(last.light)}." if last.light else ""
        return f"{act.done} Dry foam of {last.label}: {last.value} {last.unit}.{light}"
    return act.done


def _new(here: _Here, act: Act) -> Sheet:
    """Give a form with what is known."""
    likely = likely_of(here.request, act, here.press)
    fits = Fits.of(here.request.plant, act.kind, chosen(here.request).units)
    made = sheet(here.press, act, likely, (chosen(here.request).units, fits))
    return replace(made, key=uuid4().hex)


def _asked_first(here: _Here, form: Sheet) -> Sheet:
    """Say of a form that holds all it needs whether it may be, before anything is pressed."""
    if form.lacks:
        return form
    read = keyed.read(
        here.request.plant.code, form.act.kind, form.likely.texts, units=form.likely.units,
        key=form.key, by=here.request.signed.person,
    )  # fmt: skip
    if not read.ready:
        return form
    answer = keyed.may(here.request.plant.code, read, here.request.signed.who)
    faults = faults_in(answer.faults, chosen(here.request).units)
    return replace(form, may=answer.may, faults=faults)


def _asked(here: _Here, form: Sheet, status: int = 200) -> HttpResponse:
    if form.live:
        return render(here.request, "stations/said.html", {"page": form})
    form = _asked_first(here, form) if status == 200 and not form.may else form  # noqa: PLR2004
    given = {"page": here.page(), "sheet": form}
    return render(here.request, "stations/press/act.html", given, status=status)


def _told(here: _Here, act: Act) -> HttpResponse:
    """Read what was keyed; ask about it, or post it."""
    request = here.request
    request.POST = cast("Any", as_sent(request.POST, act, request.plant.zone))
    sent = told(request, act.kind)
    form, done = taken(request, sent, _sheet(here, act, sent))
    if done is None:
        return _asked(here, form, 200 if sent.only_asked else _NOT_TAKEN)
    return _after(request, here.press.press, (done, act))


def _after(request: Asker, place: str, told_: tuple[Done, Act]) -> HttpResponse:
    """Show the press as it stands now; on the way to another form, that form."""
    done, act = told_
    here = _Here.at(request, place)
    onward = ACTS.get(request.POST.get("onward", ""))
    if onward is not None and onward in here.acts and not done.nonconformities:
        return redirect(f"{request.path}?do={onward.name}")
    return _shown(here, done, act)


def _sheet(here: _Here, act: Act, sent: Told) -> Sheet:
    system = chosen(here.request).units
    made = sheet(here.press, act, Likely(sent.filled.texts, sent.filled.units),
                 (system, sent.fits), sent.form.faults)  # fmt: skip
    return replace(
        with_answers(made, sent),
        minutes=here.request.POST.get("minutes", ""), other=here.request.POST.get(OTHER, ""),
        onward=here.request.POST.get("onward", ""),
    )  # fmt: skip
