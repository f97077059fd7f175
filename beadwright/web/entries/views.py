"""One entry of the record, whole."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.interop import keyed
from beadwright.ledger.draft import ReadingsDraft
from beadwright.plant.access import may_post
from beadwright.plant.duties import duties
from beadwright.plant.form_became import became
from beadwright.plant.grounds import grounds_of
from beadwright.plant.history import EntryView
from beadwright.plant.history import entry as read
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.entries.page import page

__all__ = ["entry"]


@asks
def entry(request: Asker, key: str) -> HttpResponse:
    """Show the entry of a number, or of a client key."""
    try:
        found = read(request.plant, key)
    except Misuse as error:
        raise Http404(str(error)) from error
    shown = page(request.plant, found, chosen(request).units)
    corrects, whom = _corrected(request, found)
    grounds = grounds_of(request.plant, found, chosen(request).units)
    around = {"page": shown, "corrects": corrects, "whom": whom, "grounds": grounds}
    return render(request, "entries/entry.html", around)


def _corrected(request: Asker, found: EntryView) -> tuple[bool, str]:
    """Say whether the role may correct an entry in place, else who may."""
    draft, role = found.entered.draft, request.signed.role
    plant, key = request.plant, str(getattr(draft, "key", "")).removesuffix("/readings")
    if isinstance(draft, ReadingsDraft) and not _is_keyed(request, key):
        return False, ""
    form = became(plant, key)
    if not form.recorded:  # a correction of a step, or an entry that no form made
        return may_post(role, "correct"), ""
    told = duties(plant, role, moment(plant))
    whom = told.whom("void") if form.readings else ""
    return form.may_be_corrected_by(role), whom or told.whom("correct")


def _is_keyed(request: Asker, key: str) -> bool:
    """Whether readings came by a form or a sheet, which can be filled in again."""
    try:
        keyed.again(request.plant.code, key)
    except Misuse:
        return False
    return True
