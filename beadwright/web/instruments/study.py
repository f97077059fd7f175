"""A gauge study on a page: a sheet is put in, and what it says is shown; nothing is posted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Fault, Misuse, Refusal
from beadwright.interop.studies.worked import Asked, Sort, Study, study
from beadwright.plant.gauge_studies.blank import blank, read_size
from beadwright.plant.gauge_studies.from_limits import tolerance_of
from beadwright.plant.gauge_studies.written import Written
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.reports.study import study_paper
from beadwright.reports.study_pictures import pictures
from beadwright.reports.words import INVENTED
from beadwright.web.access import Asker, asks

__all__ = ["gauge_study"]

_SORTS: Mapping[str, tuple[Sort, str]] = {
    "gauge": ("gauge", "A gauge: part, person, trial and value, or a column for each trial"),
    "destroyed": ("destroyed", "A test that destroys: part, person and value, parts not shared"),
    "jig": ("jig", "A go/no-go jig: part, person, trial, result and reference"),
    "laboratories": ("laboratories", "Laboratories: laboratory, value, and level where several"),
}
_MOST = 2_000_000
"""Bytes of a sheet: a study of ten thousand readings has fewer."""

_FIELDS = ("sheet", "tolerance", "product", "of", "decimal")


@dataclass(frozen=True, slots=True)
class _Put:
    """A sheet that was put in."""

    name: str
    raw: bytes


@asks
def gauge_study(request: Asker) -> HttpResponse:
    """Show the form; of a sheet that was put in, its study; with ``paper``, that as a PDF."""
    if request.GET.get("blank"):
        return _blank(request)
    said = {name: request.POST.get(name, "").strip() for name in _FIELDS}
    sort = request.POST.get("sort", "gauge")
    page: dict[str, object] = {
        "said": said, "sort": sort if sort in _SORTS else "gauge",
        "sorts": [(key, label) for key, (_, label) in _SORTS.items()],
        "faults": (), "written": None, "sections": (),
    }  # fmt: skip
    status = 200
    if request.method == "POST":
        try:
            put = _put(request, said["sheet"])
            found, written = _worked(request.plant, put, str(page["sort"]), said)
        except Refusal as refused:
            page["faults"], status = refused.faults, 422
        except Misuse as misuse:
            page["faults"], status = [Fault("", str(misuse))], 422
        else:
            if "paper" in request.POST:
                return _paper(request.plant, found, written)
            drawn = pictures(found)
            page["written"] = written
            page["sections"] = [(one, drawn.get(one.picture)) for one in written.sections]
            page["again"] = not request.FILES
    return render(request, "instruments/study.html", page, status=status)


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


def _put(request: Asker, pasted: str) -> _Put:
    """Give the sheet: the file, else what was pasted.

    Raises
    ------
    Misuse
        If there is neither, or the file is far larger than a study.
    """
    file = request.FILES.get("file")
    if isinstance(file, UploadedFile):
        if (file.size or 0) > _MOST:
            message = f"the file is larger than {_MOST // 1_000_000} MB: no study is"
            raise Misuse(message)
        return _Put(Path(file.name or "sheet.csv").name[-80:], file.read())
    if not pasted:
        message = "put in a sheet: choose a file, or paste its cells"
        raise Misuse(message)
    return _Put("pasted sheet", f"{pasted}\n".encode())


def _worked(plant: Plant, put: _Put, sort: str, said: Mapping[str, str]) -> tuple[Study, Written]:
    product, of = said["product"], said["of"]
    if bool(product) != bool(of):
        message = "name a product and what its limits are on, or neither"
        raise Misuse(message)
    if product and said["tolerance"]:
        message = "state a tolerance, or take it from a product's limits: not both"
        raise Misuse(message)
    limits = partial(tolerance_of, plant.no, moment(plant), product, of) if product else None
    asked = Asked(_SORTS[sort][0], said["tolerance"], said["decimal"], limits)
    with TemporaryDirectory(prefix="beadwright-study-") as folder:
        path = Path(folder) / put.name
        path.write_bytes(put.raw)
        return study(path, asked)


def _paper(plant: Plant, found: Study, written: Written) -> HttpResponse:
    at = datetime.now(UTC).replace(microsecond=0)
    pdf = study_paper(found, written, at, banner=INVENTED if plant.invented else "")
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'attachment; filename="study.pdf"'
    return answer
