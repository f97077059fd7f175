"""A calibration entered on a page, with what the instrument was found and left with."""

from __future__ import annotations

from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError, Fault, Refusal
from beadwright.plant.calibrating import Doubtful, enter_calibration
from beadwright.plant.calibrations import Instrument, instruments
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, tells

__all__ = ["calibrate"]

_PARTS = ("done", "result", "certificate", "due", "as_found", "as_left", "uncertainty")
_NOT_TAKEN = 422


@tells("decision")
def calibrate(request: Asker, instrument: str) -> HttpResponse:
    """Show the form; enter what was keyed, once for each form, and go back to the instrument."""
    one = _one(request, instrument)
    said = {name: request.POST.get(name, "").strip() for name in _PARTS}
    key = request.POST.get("key", "") or uuid4().hex
    page = {"tool": one, "said": said, "key": key, "faults": (), "doubt": ""}
    if request.method != "POST":
        return render(request, "instruments/calibration.html", page)
    keep = "keep" in request.POST
    try:
        enter_calibration(request.plant, request.signed.who, (one.name, key), said, keep=keep)
    except Doubtful as doubt:
        page["doubt"] = str(doubt)
    except Refusal as refused:
        page["faults"] = refused.faults
    except BeadwrightError as no:
        page["faults"] = (Fault("", str(no)),)
    else:
        return redirect(reverse("instrument", args=[one.name]))
    return render(request, "instruments/calibration.html", page, status=_NOT_TAKEN)


def _one(request: Asker, name: str) -> Instrument:
    for one in instruments(request.plant.no, moment(request.plant)):
        if one.name == name:
            return one
    message = f"no instrument {name} is listed"
    raise Http404(message)
