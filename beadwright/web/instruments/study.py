"""A gauge study on a page: a sheet is put in, what it says is shown, and it can be recorded.

Read :func:`gauge_study`, :func:`record_study` and :func:`recorded_study`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError, Fault, Misuse, Refusal
from beadwright.interop.studies.kept import Sheet, kept_study, worked_again
from beadwright.interop.studies.worked import Asked, Sort, Study, study_of
from beadwright.ledger import settings
from beadwright.plant.access import may_post
from beadwright.plant.gauge_studies.blank import blank, read_size
from beadwright.plant.gauge_studies.from_limits import tolerance_of
from beadwright.plant.gauge_studies.recorded import NEEDED, studies
from beadwright.plant.gauge_studies.recording import About
from beadwright.plant.gauge_studies.written import Written
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant, door_of
from beadwright.reports.study import study_paper
from beadwright.reports.study_pictures import pictures
from beadwright.reports.words import INVENTED
from beadwright.web.access import Asker, asks, tells
from beadwright.web.carried import Carried, carried
from beadwright.web.instruments.page import study_row

__all__ = ["gauge_study", "record_study", "recorded_study"]

_SORTS: Mapping[str, tuple[Sort, str]] = {
    "gauge": ("gauge", "A gauge: part, person, trial and value, or a column for each trial"),
    "destroyed": ("destroyed", "A test that destroys: part, person and value, parts not shared"),
    "jig": ("jig", "A go/no-go jig: part, person, trial, result and reference"),
    "laboratories": ("laboratories", "Laboratories: laboratory, value, and level where several"),
}
_MOST = 2_000_000
"""Bytes of a sheet: a study of ten thousand readings has fewer."""

_FIELDS = ("sheet", "tolerance", "product", "of", "decimal", "instrument", "done")
_NOT_TAKEN = 422


@asks
def gauge_study(request: Asker) -> HttpResponse:
    """Show the form; of a sheet that was put in, its study; with ``paper``, that as a PDF."""
    if request.GET.get("blank"):
        return _blank(request)
    page = _page(request)
    if request.method != "POST":
        return render(request, "instruments/study.html", page)
    try:
        found, written = _worked(request, page)
    except BeadwrightError as no:
        return _refused(request, page, no)
    if "paper" in request.POST:
        return _paper(request.plant, found, written)
    return render(request, "instruments/study.html", page)


@tells("decision")
def record_study(request: Asker) -> HttpResponse:
    """Record a study for an instrument, once for each form, and go to where it stands."""
    if request.method != "POST":
        return redirect(reverse("study"))
    page, said = _page(request), _said(request)
    about = About(said["instrument"], said["of"], said["done"], said["decimal"])
    who = request.signed.who
    try:
        _worked(request, page)
        sheet, sent = Sheet(str(page["name"]), _put(request).raw), (str(page["key"]), who.account)
        _, draft = kept_study(request.plant, sheet, _asked(request), about, sent)
        posted = door_of(request.plant.code).post(draft, who)
    except BeadwrightError as no:
        return _refused(request, page, no)
    return redirect(reverse("recorded-study", args=[about.instrument, posted.seq]))


@asks
def recorded_study(request: Asker, instrument: str, seq: int) -> HttpResponse:
    """Show a study that is on record, worked out again from the sheet that is kept."""
    there = [one for one in studies(request.plant.no, instrument) if one.seq == seq]
    if not there:
        message = f"no study of {instrument} is entry {seq}"
        raise Http404(message)
    one = there[0]
    row = study_row(one, Named.of(request.plant))
    page: dict[str, object] = {"one": one, "row": row}
    try:
        again = worked_again(one)
    except BeadwrightError as no:
        page["lost"] = str(no)
    else:
        page |= {"again": again, "written": again.written}
        page["sections"] = _sections(again.study, again.written)
    return render(request, "instruments/recorded.html", page)


def _worked(request: Asker, page: dict[str, object]) -> tuple[Study, Written]:
    """Work out what was put in, and put it on the page."""
    put = _put(request)
    page |= {"packed": put.packed, "name": put.name}
    found, written = study_of(put.name, put.raw, _asked(request))
    page |= {"written": written, "sections": _sections(found, written)}
    return found, written


def _refused(request: Asker, page: dict[str, object], no: BeadwrightError) -> HttpResponse:
    page["faults"] = no.faults if isinstance(no, Refusal) else [Fault("", str(no))]
    return render(request, "instruments/study.html", page, status=_NOT_TAKEN)


def _page(request: Asker) -> dict[str, object]:
    """Give the form as it stands, and what a study can be recorded for."""
    sort = request.POST.get("sort", "gauge")
    sort = sort if sort in _SORTS else "gauge"
    may = may_post(request.signed.role, "decision") and sort in NEEDED
    return {
        "said": _said(request), "sort": sort,
        "sorts": [(key, label) for key, (_, label) in _SORTS.items()],
        "faults": (), "written": None, "sections": (),
        "key": request.POST.get("key", "") or uuid4().hex,
        "instruments": settings.load(request.plant.no).names("instrument") if may else (),
    }  # fmt: skip


def _said(request: Asker) -> dict[str, str]:
    return {name: request.POST.get(name, "").strip() for name in _FIELDS}


def _blank(request: Asker) -> HttpResponse:
    """Give a blank sheet to fill in; a size that is none gives the form."""
    seed = request.GET.get("seed", "")
    try:
        size = read_size(request.GET["blank"])
    except Misuse as misuse:
        return HttpResponse(str(misuse), status=422, content_type="text/plain; charset=utf-8")
    text = blank(size, int(seed) if seed.isdecimal() else 1, jig=request.GET.get("sort") == "jig")
    answer = HttpResponse(text, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="study.csv"'
    return answer


def _put(request: Asker) -> Carried:
    """Give the sheet: the file, else what was pasted, else what the form carried.

    Raises
    ------
    Misuse
        If there is none, or the file is far larger than a study.
    """
    pasted = request.POST.get("sheet", "").strip()
    if pasted and "file" not in request.FILES:
        return Carried("pasted sheet", f"{pasted}\n".encode())
    put = carried(request, _MOST, "sheet.csv")
    if put is None:
        message = "put in a sheet: choose a file, or paste its cells"
        raise Misuse(message)
    return put


def _asked(request: Asker) -> Asked:
    """Give what is asked of a sheet.

    Raises
    ------
    Misuse
        If a product is named without a characteristic, or beside a tolerance.
    """
    said = _said(request)
    product = said["product"]
    if product and not said["of"]:
        message = "name a product and what its limits are on, or neither"
        raise Misuse(message)
    if product and said["tolerance"]:
        message = "state a tolerance, or take it from a product's limits: not both"
        raise Misuse(message)
    plant = request.plant
    limits = (
        partial(tolerance_of, plant.no, moment(plant), product, said["of"]) if product else None
    )
    sort = request.POST.get("sort", "gauge")
    return Asked(_SORTS.get(sort, _SORTS["gauge"])[0], said["tolerance"], said["decimal"], limits)


def _sections(found: Study, written: Written) -> list[tuple[object, object]]:
    drawn = pictures(found)
    return [(one, drawn.get(one.picture)) for one in written.sections]


def _paper(plant: Plant, found: Study, written: Written) -> HttpResponse:
    at = datetime.now(UTC).replace(microsecond=0)
    pdf = study_paper(found, written, at, banner=INVENTED if plant.invented else "")
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'attachment; filename="study.pdf"'
    return answer
