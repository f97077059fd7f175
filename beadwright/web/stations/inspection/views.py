"""Inspection: the lots that wait, a lot with what it still needs, and a form for each thing done.

Read :func:`inspection_view`. The form with every field stands where it stood, under its kind.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, cast
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.interop.keyed import Done, Likely
from beadwright.ledger.draft import MOULDED
from beadwright.plant.duties import duties
from beadwright.plant.inspecting import Inspecting, inspecting
from beadwright.plant.inspection_plans.by_variables import of_lot as variables_of
from beadwright.plant.inspection_plans.measured_told import asks as asks_by
from beadwright.plant.inspection_plans.measured_told import brief, outcome, pieces_drawn
from beadwright.plant.inspection_plans.standing import asked_of
from beadwright.plant.inspection_plans.told import asks_told
from beadwright.plant.moment import moment
from beadwright.plant.to_inspect import to_inspect
from beadwright.web.access import Asker, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.refused import not_allowed
from beadwright.web.stations.clock import Clock
from beadwright.web.stations.fits import Asking, Fits, asking
from beadwright.web.stations.inspection.acts import ACTS, Act
from beadwright.web.stations.inspection.form import as_sent, drawing_plans, likely_of
from beadwright.web.stations.inspection.moved import (
    at_its_time,
    followed,
    stood_by,
    with_news,
)
from beadwright.web.stations.inspection.page import foam_said, lot_page, still, waiting
from beadwright.web.stations.inspection.sheet import Sheet, sheet
from beadwright.web.stations.newest import newest, newest_entries
from beadwright.web.stations.page import flaws, stands
from beadwright.web.stations.sheet import with_answers
from beadwright.web.stations.taken import taken
from beadwright.web.stations.told import Told, told

__all__ = ["inspection_view"]

_NOT_TAKEN = 422
_SHOWN = 40
"""Lots that wait and stand on one page."""


@dataclass(frozen=True, slots=True)
class _Here:
    """A lot that is looked at, by whom."""

    request: Asker
    found: Inspecting
    clock: Clock

    @classmethod
    def at(cls, request: Asker, code: str) -> _Here:
        """Ask how it stands now."""
        now = moment(request.plant)
        clock = Clock(now, request.plant.zone)
        return cls(request, inspecting(request.plant.no, code, now), clock)


@dataclass(frozen=True, slots=True)
class _Said:
    """What became of a form."""

    done: str = ""
    flaws: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()


def inspection_view(generic: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give the view of the station; ``generic`` shows the form with every field, by its kind."""

    @tells("inspect")
    def inspection(request: Asker) -> HttpResponse:
        if "kind" in request.GET or ("kind" in request.POST and "act" not in request.POST):
            return generic(request)
        if request.method == "POST":
            return _sent(request)
        text = request.GET.get("lot", "")
        if not text:
            return _list(request)
        code, which = _scanned(request, text)
        if not code:
            return _list(request, text, which)
        try:
            here = _Here.at(request, code)
        except Misuse as error:
            return _list(request, text, None, str(error))
        act = ACTS.get(request.GET.get("do", ""))
        return _shown(here, None if act is None else _new(here, act))

    return inspection


def _scanned(request: Asker, text: str) -> tuple[str, Asking | None]:
    """Give the block lot that a scan means, or what to ask; neither where nothing fits."""
    found = keyed.scanned(request.plant.code, text)
    some = tuple(one for one in found if one.kind in MOULDED and one.what == "mould run") or found
    if len(some) == 1 and not some[0].part:
        return some[0].code, None
    if not some:
        return "", None
    system, now = chosen(request).units, moment(request.plant)
    return "", asking(keyed.Which("lot", text, some), system, now)


def _list(
    request: Asker, text: str = "", which: Asking | None = None, wrong: str = ""
) -> HttpResponse:
    """Show the lots that wait, and ask which one was meant."""
    now, role = moment(request.plant), request.signed.role
    if text and which is None and not wrong:
        wrong = f"Nothing is called {text}, by code or label."
    found = to_inspect(request.plant.no, now)
    given = {
        "text": text,
        "which": which,
        "wrong": wrong,
        "count": len(found),
        "more": max(0, len(found) - _SHOWN),
        "waiting": waiting(found[:_SHOWN], Clock(now, request.plant.zone)),
        "page": {
            "newest": newest(request.plant, "inspections", role),
            "duties": duties(request.plant, role, now),
        },
    }
    status = 404 if wrong else 200
    return render(request, "stations/inspection/list.html", given, status=status)


def _shown(
    here: _Here, form: Sheet | None = None, said: _Said | None = None, status: int = 200
) -> HttpResponse:
    request, found = here.request, here.found
    if form is not None and form.live:  # asked before a button is pressed: what may be, no more
        return render(request, "stations/inspection/said.html", {"page": form, "sheet": form})
    act = None if form is None else form.act
    role, asked = request.signed.role, asked_of(request.plant, found.lot.lot)
    system = chosen(request).units
    given: dict[str, Any] = {
        "lot": lot_page(found, None if asked is None else asked.seen, act, system, here.clock),
        "sheet": form,
        "still": still(found),
        "said": said or _Said(),
        "plan": asked,
        "measured": [
            (brief(one), asks_by(one.its, system), pieces_drawn(one), outcome(one, system))
            for one in variables_of(request.plant, found.lot.lot, found.lot.product)
        ],
        "asks": "" if asked is None else asks_told(asked),
        "page": {
            "newest": newest_entries(request.plant, found.entries, role),
            "duties": duties(request.plant, role, here.clock.now_ms),
        },
    }
    return render(request, "stations/inspection/lot.html", given, status=status)


def _new(here: _Here, act: Act) -> Sheet:
    """Give a form with what is known."""
    plant, system = here.request.plant, chosen(here.request).units
    likely = likely_of(plant.code, act, here.found)
    made = sheet(here.found, act, likely, (system, Fits.of(plant, act.kind, system), here.clock))
    return replace(made, key=uuid4().hex, stood=stood_by(likely.texts))


def _sent(request: Asker) -> HttpResponse:
    """Read what was keyed; ask about it, or post it."""
    act = ACTS.get(request.POST.get("act", ""))
    if act is None:
        return not_allowed(request, request.signed)
    request.POST = cast("Any", as_sent(request.POST, act))
    sent = told(request, act.kind)
    try:
        here = _Here.at(request, sent.filled.texts.get("lot", "").strip().upper())
    except Misuse:  # the form says what is wrong with its lot, beside the one it was opened for
        here = _Here.at(request, request.GET.get("lot", ""))
    before = tuple(request.POST.getlist("stood"))
    fresh = followed(request, act, sent, at_its_time(here.found, sent))
    if fresh:
        sent = told(request, act.kind)
    form, done = with_news(_sheet(here, act, sent), fresh, before), None
    if sent.do == "ask" or not fresh:  # what nobody has seen yet is not posted
        form, done = taken(request, sent, form)
    if done is None:
        return _shown(here, form, status=200 if sent.only_asked else _NOT_TAKEN)
    return _after(request, here.found.lot.lot, act, done)


def _after(request: Asker, code: str, act: Act, done: Done) -> HttpResponse:
    """Show the lot as it stands now; the same form again while more of it is needed."""
    here = _Here.at(request, code)
    system = chosen(request).units
    first = "It was in the record already." if done.repeated else act.done
    foam = foam_said(here.found.foam, done.entries, system)
    words = " ".join(filter(None, (first, foam, stands(done, system), still(here.found))))
    said = _Said(words, flaws(done, system), done.entries)
    again = any(here.found.need(part).open for part in act.answers) or _goes_on(here.found, act)
    return _shown(here, _new(here, act) if again and not said.flaws else None, said)


def _goes_on(found: Inspecting, act: Act) -> bool:
    """Whether a plan of which pieces are measured already still asks for blocks like the last."""
    plans = drawing_plans(found, "" if found.age is None else found.age.state)
    return act.name == "block" and any(one.taken for one in plans)


def _sheet(here: _Here, act: Act, sent: Told) -> Sheet:
    system = chosen(here.request).units
    likely = Likely(sent.filled.texts, sent.filled.units)
    shown = (system, sent.fits, here.clock)
    found = at_its_time(here.found, sent)
    made = sheet(found, act, likely, shown, sent.form.faults)
    return with_answers(made, sent)
