"""Correct an entry: the same form filled, a reason, and both versions in the record.

Read :func:`correct`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Fault, Misuse
from beadwright.interop import keyed
from beadwright.interop.keyed import Again, Likely
from beadwright.plant.form_became import became
from beadwright.plant.history import entry
from beadwright.plant.masses_said import faults_in
from beadwright.web.access import Asker, read_anew, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.correcting.back import Back, back
from beadwright.web.refused import not_allowed
from beadwright.web.stations.answers import Question, asked_in, kept_fields, questions
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.page import Box, boxes, effects, fitted, flaws

__all__ = ["CorrectionPage", "correct"]

_NOT_TAKEN = 422


@dataclass(frozen=True, slots=True)
class CorrectionPage:
    """The form of one entry, as it stands or as it was changed."""

    seq: int
    what: str
    key: str
    boxes: tuple[Box, ...]
    reason: str = ""
    faults: tuple[Fault, ...] = ()
    questions: tuple[Question, ...] = ()
    kept: tuple[str, ...] = ()
    done: str = ""
    flaws: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()
    back: Back | None = None
    """To where somebody came from."""


@tells("correct", "void")
def correct(request: Asker, seq: int) -> HttpResponse:
    """Show the form as it was keyed; with a reason, restate the entry."""
    as_keyed = _as_keyed(request, seq)
    if not became(request.plant, as_keyed.key).may_be_corrected_by(request.signed.role):
        return not_allowed(request, request.signed)
    texts, units = dict(as_keyed.texts), dict(as_keyed.units)
    if request.method == "POST":
        texts = {name: request.POST.get(name, text) for name, text in texts.items()}
        names = (one.name for one in keyed.fields_of(as_keyed.kind))
        texts |= {name: request.POST[name] for name in names if name in request.POST}
    page = CorrectionPage(
        seq,
        as_keyed.kind.replace("_", " "),
        request.POST.get("key", "") or uuid4().hex,
        _boxes(request, as_keyed.kind, Likely(texts, units), {}),
        request.POST.get("reason", ""),
        kept=tuple(sorted(request.POST.getlist("kept"))),
        back=back(request, as_keyed),
    )
    if request.method != "POST":
        return render(request, "correcting/page.html", {"page": page})
    return _restate(request, page, as_keyed, Likely(texts, units))


def _restate(request: Asker, page: CorrectionPage, was: Again, said: Likely) -> HttpResponse:
    """Post what was changed, or say why it was not taken."""
    units = dict(said.units)
    units |= {
        name.removeprefix("unit-"): request.POST[name]
        for name in request.POST
        if name.startswith("unit-")
    }
    done = keyed.correct(
        request.plant.code,
        was.key,
        said.texts,
        units,
        page.reason,
        who=request.signed.who,
        correction=page.key,
        kept=kept_fields(page.kept, Likely(said.texts, units)),
    )
    system = chosen(request).units
    if not done.posted:
        shown = _boxes(request, was.kind, Likely(said.texts, units), done.keyed.faults)
        own = done.keyed.faults.get("", ()) or (() if done.keyed.faults else done.refused)
        doubts = asked_in(done.keyed.questions, system)
        asked = questions(doubts, Likely(said.texts, units))
        page = replace(page, boxes=shown, faults=faults_in(own, system), questions=asked)
        return render(request, "correcting/page.html", {"page": page}, status=_NOT_TAKEN)
    read_anew(request)
    page = replace(
        page,
        done=effects(done, system),
        flaws=flaws(done, system),
        entries=done.entries,
    )
    return render(request, "correcting/page.html", {"page": page})


def _boxes(
    request: Asker, kind: str, likely: Likely, wrong: Mapping[str, tuple[Fault, ...]]
) -> tuple[Box, ...]:
    system = chosen(request).units
    return fitted(boxes(kind, likely, system, wrong), Fits.of(request.plant, kind, system))


def _as_keyed(request: Asker, seq: int) -> Again:
    """Give the entry as its form shows it; what is no form's has no such page."""
    try:
        draft = entry(request.plant, str(seq)).entered.draft
        key = str(getattr(draft, "key", "")).removesuffix("/readings")
        return keyed.again(request.plant.code, key)
    except Misuse as error:
        message = f"entry {seq} is not corrected in place: {error}"
        raise Http404(message) from error
