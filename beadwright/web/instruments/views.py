"""Instruments, one of them with what it had read, and a hold on the lots that rest on that."""

from __future__ import annotations

from typing import get_args
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
from beadwright.plant.look_back import PART, LookBack, Mark, found_wrong, look_back, taken
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.web.access import Asker, asks, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.instruments.page import (
    calibration_rows,
    look_page,
    study_row,
    taken_page,
    tool,
)

_COLUMNS = (
    "done", "result", "error as found", "as left", "certificate", "holds until", "entered by",
)  # fmt: skip

_FEW = 12
"""Readings that the instrument's own page shows."""

_DIGITS = 18
"""Digits of a number that every store can hold."""

__all__ = ["hold_looked", "instrument_list", "looked", "read_with"]


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
    now, zone, units = moment(request.plant), request.plant.zone, chosen(request).units
    newest = taken(request.plant.no, one.name, now, part=(None, _FEW))
    page = {
        "studies": [study_row(each, named) for each in studies(request.plant.no, one.name)],
        "tool": tool(one), "rows": calibration_rows(one, named), "columns": _COLUMNS,
        "taken": taken_page(newest, named, zone, units),
        "asked": asked, "wrong": wrong, "key": uuid4().hex,
        "look": back and look_page(back, named, zone, units),
        "held_already": held_already(request.plant.no, back.to_hold) if back else "",
        "may_hold": may_post(request.signed.role, "hold"),
        "may_enter": may_post(request.signed.role, "decision"),
    }  # fmt: skip
    return render(request, "instruments/looked.html", page)


@asks
def read_with(request: Asker, instrument: str) -> HttpResponse:
    """Show what an instrument read, one by one: a part of it, ``before`` a reading."""
    one = _one(request, instrument)
    plant, now = request.plant, moment(request.plant)
    before = _mark(request.GET.get("before", ""))
    found = taken(plant.no, one.name, now, part=(before, PART))
    page = taken_page(found, Named.of(plant), plant.zone, chosen(request).units)
    whole = {"tool": tool(one), "taken": page, "first": "before" not in request.GET}
    return render(request, "instruments/readings.html", whole)


def _mark(text: str) -> Mark | None:
    """Read where a part begins; what is none begins with the newest."""
    parts = text.split(".")
    plain = all(part.isascii() and part.isdecimal() and len(part) <= _DIGITS for part in parts)
    if not plain or len(parts) != len(get_args(Mark)):
        return None
    at_ms, seq, line = map(int, parts)
    return at_ms, seq, line


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
