"""Instruments, one of them with what it had read, and a hold on the lots that rest on that."""

from __future__ import annotations

from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.plant.access import may_post
from beadwright.plant.as_found import AsFound, as_found
from beadwright.plant.calibrations import Instrument, instruments
from beadwright.plant.gauge_studies.recorded import studies
from beadwright.plant.held import held_already
from beadwright.plant.holding import hold_lots
from beadwright.plant.look_back import LookBack, found_wrong, look_back
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.web.access import Asker, asks, tells
from beadwright.web.instruments.page import look_page, study_row, tool

_COLUMNS = (
    "done", "result", "error as found", "as left", "certificate", "holds until", "entered by",
)  # fmt: skip

__all__ = ["hold_looked", "instrument_list", "looked"]


@asks
def instrument_list(request: Asker) -> HttpResponse:
    """Show every instrument, those out of calibration first."""
    found = instruments(request.plant.no, moment(request.plant))
    return render(request, "instruments/list.html", {"tools": [tool(one) for one in found]})


@asks
def looked(request: Asker, instrument: str) -> HttpResponse:
    """Show an instrument, its calibrations, and what it had read if it was found wrong."""
    one = _one(request, instrument)
    asked, wrong = request.GET.get("error", "").strip(), ""
    back = None
    try:
        back = _back(request, one, as_found(asked) if asked else None)
    except ValueError as error:
        wrong = str(error)
    named = Named.of(request.plant)
    rows = [
        (str(each.done), "passed" if each.passed else "failed", each.as_found or "not stated",
         each.as_left or "not stated", each.certificate, str(each.due or ""), named(each.by))
        for each in reversed(one.calibrations)
    ]  # fmt: skip
    page = {
        "studies": [study_row(each, named) for each in studies(request.plant.no, one.name)],
        "tool": tool(one), "rows": rows, "columns": _COLUMNS,
        "asked": asked, "wrong": wrong, "key": uuid4().hex,
        "look": back and look_page(back, named, request.plant.zone),
        "held_already": held_already(request.plant.no, back.to_hold) if back else "",
        "may_hold": may_post(request.signed.role, "hold"),
        "may_enter": may_post(request.signed.role, "decision"),
    }  # fmt: skip
    return render(request, "instruments/looked.html", page)


@tells("hold")
def hold_looked(request: Asker, instrument: str) -> HttpResponse:
    """Put the lots that would not have passed, or cannot be judged, on one hold."""
    one = _one(request, instrument)
    if request.method != "POST":
        return redirect(reverse("instrument", args=[instrument]))
    said = request.POST
    asked = said.get("error", "").strip()
    try:
        back = _back(request, one, as_found(asked) if asked else None)
    except ValueError as error:
        raise Http404(str(error)) from error
    if back is None or not back.to_hold:
        return redirect(reverse("instrument", args=[instrument]))
    reason, key = said.get("reason", ""), said.get("key", "") or uuid4().hex
    name, _ = hold_lots(request.plant, request.signed.who, back.to_hold, reason, key)
    return redirect(reverse("hold", args=[name]))


def _one(request: Asker, name: str) -> Instrument:
    for one in instruments(request.plant.no, moment(request.plant)):
        if one.name == name:
            return one
    message = f"no instrument {name} is listed"
    raise Http404(message)


def _back(request: Asker, one: Instrument, error: AsFound | None) -> LookBack | None:
    """Look back where there is an error to ask about or a calibration that found one."""
    if error is None and found_wrong(one.calibrations) is None:
        return None
    return look_back(request.plant.no, one.name, moment(request.plant), error=error)
