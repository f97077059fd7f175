"""What is held, one hold lifted, and one placed: each asks or tells one thing of the plant."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError
from beadwright.ledger import lots
from beadwright.plant.access import may_post
from beadwright.plant.caused import by_cause
from beadwright.plant.duties import duties
from beadwright.plant.held import Held, holds_of, reached_by
from beadwright.plant.holding import hold_lots
from beadwright.plant.lifting import Lifting, lift_hold
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.words import in_runs
from beadwright.web.access import Asker, asks, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.holds.page import HoldPage, HoldsPage, flaw, line, ticks, why

__all__ = ["hold", "holds", "place_hold"]

_NOT_TAKEN = 422


@asks
def holds(request: Asker) -> HttpResponse:
    """Show what is held and what is open, and whom it waits for."""
    named, system = Named.of(request.plant), chosen(request).units
    open_ = [one for one in holds_of(request.plant.no) if one.open]
    flaws = [one for one in by_cause(request.plant.no) if not one.closed]
    reaches = reached_by(request.plant.no, [one.cause for one in flaws])
    page = HoldsPage(
        tuple(line(one, named, system) for one in open_),
        tuple(flaw(one, reaches.get(one.cause), named, system) for one in flaws),
        duties(request.plant, request.signed.role, moment(request.plant)),
        may_post(request.signed.role, "concession"),
    )
    return render(request, "holds/list.html", {"page": page, "duties": page.duties})


@asks
def hold(request: Asker, name: str) -> HttpResponse:
    """Show a hold and what it reaches; with a reason, lift it from the lots that are ticked."""
    held = _held(request, name)
    if request.method != "POST":
        return render(request, "holds/hold.html", {"page": _page(request, held)})
    said = request.POST
    every = said.get("do") == "all"
    chosen_lots = held.reach.lots if every else tuple(said.getlist("lot"))
    key, reason = said.get("key", "") or uuid4().hex, said.get("reason", "")
    try:
        lift_hold(request.plant, request.signed.who, Lifting(name, chosen_lots, reason), key)
    except BeadwrightError as no:
        page = _page(request, held, key)
        page = replace(page, faults=why(no), ticked=frozenset(said.getlist("lot")), reason=reason)
        return render(request, "holds/hold.html", {"page": page}, status=_NOT_TAKEN)
    done = f"Hold {name} is lifted from {in_runs(chosen_lots)}."
    page = replace(_page(request, _held(request, name)), done=done)
    return render(request, "holds/hold.html", {"page": page})


@tells("hold")
def place_hold(request: Asker, code: str) -> HttpResponse:
    """Put a lot on hold, with the reason; it flows to everything made of it."""
    lot = lots.get(request.plant.no, code.upper())
    if lot is None:
        message = f"there is no lot {code}"
        raise Http404(message)
    said = request.POST
    page = {"lot": lot, "key": said.get("key", "") or uuid4().hex, "reason": "", "faults": ()}
    if request.method != "POST":
        return render(request, "holds/place.html", page)
    reason, who = said.get("reason", ""), request.signed.who
    try:
        name, _ = hold_lots(request.plant, who, [lot.code], reason, str(page["key"]))
    except BeadwrightError as no:
        page |= {"reason": reason, "faults": why(no)}
        return render(request, "holds/place.html", page, status=_NOT_TAKEN)
    return redirect(reverse("hold", args=[name]))


def _held(request: Asker, name: str) -> Held:
    found = next((one for one in holds_of(request.plant.no) if one.hold == name), None)
    if found is None:
        message = f"no hold is called {name}"
        raise Http404(message)
    return found


def _page(request: Asker, held: Held, key: str = "") -> HoldPage:
    role, named = request.signed.role, Named.of(request.plant)
    told = duties(request.plant, role, moment(request.plant))
    return HoldPage(
        line(held, named, chosen(request).units),
        in_runs(held.lifted) if held.lifted else "",
        ticks(held.reach.lots),
        len(held.reach.lots),
        may_post(role, "lift"),
        told.whom("lift"),
        key or uuid4().hex,
    )
