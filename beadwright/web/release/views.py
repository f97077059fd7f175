"""The release queue, and one lot's release: looked at, then signed over the evidence seen."""

from __future__ import annotations

from dataclasses import replace

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.crypto import get_random_string

from beadwright.errors import Fault, Misuse, Refusal
from beadwright.ledger.draft import Release
from beadwright.plant.access import Role, may_post
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.door import now_ms
from beadwright.plant.duties import duties
from beadwright.plant.moment import moment
from beadwright.plant.opening import door_of
from beadwright.plant.release import assess
from beadwright.plant.release_queue import queue as queue_of
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.release.page import LotRelease, lot_page, queue_page

__all__ = ["lot_release", "queue"]


@asks
def queue(request: Asker) -> HttpResponse:
    """Show what waits for a release, and for what."""
    told = queue_of(request.plant.no, now_ms())
    page = queue_page(request.plant, told, chosen(request).units, may_release=_may_release(request))
    return render(request, "release/queue.html", {"page": page})


@asks
def lot_release(request: Asker, code: str) -> HttpResponse:
    """Show how a lot stands; with the hash that was seen, release it."""
    lot = _lot(request, code)
    may = _may_release(request)
    key = get_random_string(16)
    person, units = request.signed.person, chosen(request).units
    if request.method != "POST":
        page = lot_page(request.plant, lot, person, units, may_release=may)
        page = replace(page, whom=_whom(request, page))
        return render(request, "release/lot.html", {"page": page, "key": key})
    faults = _signed(request, lot.lot, request.POST.get("key", key))
    after = _lot(request, code)
    page = lot_page(request.plant, after, person, units, may_release=may)
    if faults and not page.has_signed:  # sent twice, the first has done it
        page = replace(page, faults=faults)
        return render(request, "release/lot.html", {"page": page, "key": key}, status=422)
    done, then = f"Your release of {lot.lot} stands in the record.", _then(request, lot.lot)
    page = replace(page, done=done, whom=_whom(request, page), then=then)
    return render(request, "release/lot.html", {"page": page, "key": key})


def _whom(request: Asker, page: LotRelease) -> str:
    """Say whom a release waits for: where who looks has signed, the others who may."""
    told = duties(request.plant, request.signed.role, now_ms())
    if not page.has_signed:
        return told.whom("release")
    others = duties(request.plant, Role.AUDITOR, now_ms()).waits
    own = {request.signed.person, f"{request.signed.initials} {request.signed.name}"}
    persons = (x for one in others if one.kind == "release" for x in one.persons if x not in own)
    return ", ".join(persons) or "nobody else may release"


def _then(request: Asker, lot: str) -> str:
    """Give the oldest other lot that waits for this person's signature."""
    ready = queue_of(request.plant.no, now_ms()).ready
    mine = (x.lot for x in ready if x.lot != lot and request.signed.person not in x.signed)
    return next(mine, "")


def _signed(request: Asker, lot: str, key: str) -> tuple[Fault, ...]:
    """Post a release over the evidence that was seen; gives why it was refused."""
    person = request.signed.person
    evidence, note = request.POST.get("evidence", ""), request.POST.get("note", "").strip()
    name = f"page/release/{person}/{key}"
    try:
        draft = Release(name, moment(request.plant), lot, evidence, by=person, note=note)
        door_of(request.plant.code).post(draft, request.signed.who)
    except Refusal as no:
        return no.faults
    return ()


def _may_release(request: Asker) -> bool:
    return may_post(request.signed.role, "release")


def _lot(request: Asker, code: str) -> LotAssessment:
    """Assess one block lot; what is no block lot has no page here."""
    try:
        found = {one.lot: one for one in assess(request.plant.no, [code.upper()]).lots}
        return found[code.upper()]
    except (Misuse, KeyError) as error:
        message = f"{code} is no block lot of a mould run"
        raise Http404(message) from error
