"""A curve that is kept: from the page that drew it, shown again, its result keyed from it."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlencode
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError, Fault, Refusal
from beadwright.interop.load_frame import kept as kept_curves
from beadwright.interop.load_frame.by_machine import Export, keep_as_read
from beadwright.interop.load_frame.kept import FROM_CURVES, kept_result, others_of, read_from
from beadwright.interop.load_frame.results import CAUTION, Result
from beadwright.plant.access import may_post
from beadwright.plant.kept_curves import CurveRead, HowTaken, kept_curve, read_already
from beadwright.units import show
from beadwright.web.access import Asker, asks, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.laboratory.bench import TESTS
from beadwright.web.laboratory.curve import NAMES, answers, columns, put, words

__all__ = ["keep", "keep_form", "kept"]

_MAY_KEY = "sample"
_NOT_TAKEN = 422
_CAUTION = (
    "Worked out from the columns as they were taken below. Travel of the crosshead holds the"
    " frame's own give, which makes a modulus low. No lot is judged by a curve: a result that is"
    " keyed from it is."
)
_SAID = ("length", "width", "height", "span", "method", "specimen")


@tells(_MAY_KEY)
def keep(request: Asker) -> HttpResponse:
    """Keep the file that was put in, with how one specimen of it was taken."""
    if request.method != "POST":
        return redirect(reverse("curve"))
    said = {name: request.POST.get(name, "").strip()[:60] for name in _SAID}
    of = request.POST.get("of", "")  # another specimen of a file that is kept
    try:
        if of:
            sha256 = kept_curves.keep_other(of, said["specimen"], request.plant.code)
            return redirect(reverse("kept-curve", args=[sha256]))
        file = put(request)
        sizes = (said["length"], said["width"], said["height"])
        given = tuple(answers(request.POST).items())
        taken = HowTaken(
            file.name, said["specimen"], given, sizes, said["span"], said["method"],
            request.plant.code,
        )  # fmt: skip
        sha256 = kept_curves.keep(file.raw, taken)
    except Refusal as refused:
        return _refused(request, refused.faults)
    except BeadwrightError as no:
        return _refused(request, [Fault("", str(no))])
    return redirect(reverse("kept-curve", args=[sha256]))


@tells("decision")
def keep_form(request: Asker) -> HttpResponse:
    """Keep for a machine how its files are to be read."""
    if request.method != "POST":
        return redirect(reverse("curve"))
    try:
        file = put(request)
        export = Export(file.raw, file.name, answers(request.POST))
        machine, key = request.POST.get("machine", ""), request.POST.get("key", "") or uuid4().hex
        done = keep_as_read(request.plant, request.signed.who, machine, export, key)
    except Refusal as refused:
        return _refused(request, refused.faults)
    except BeadwrightError as no:
        return _refused(request, [Fault("", str(no))])
    return redirect(reverse("entry", args=[done.seq]))


def _refused(request: Asker, faults: Sequence[Fault]) -> HttpResponse:
    said = {name: request.POST.get(name, "").strip()[:60] for name in _SAID}
    page = {"faults": faults, "said": said, "found": None, "caution": CAUTION}
    return render(request, "laboratory/curve.html", page, status=_NOT_TAKEN)


@asks
def kept(request: Asker, sha256: str) -> HttpResponse:
    """Show a kept curve with its construction, and the ways to key its result."""
    try:
        curve = kept_curve(sha256)
        found, one = kept_result(curve)
    except BeadwrightError as no:
        raise Http404(str(no)) from no
    drawn = words(1, one, chosen(request).units)
    already = read_already(request.plant.code, sha256)
    page = {
        "kept": curve, "found": found, "drawn": drawn, "caution": _CAUTION, "names": NAMES,
        "columns": columns(found),
        "sizes": tuple(zip(("Length", "Width", "Height"), curve.taken.sizes, strict=True)),
        "ways": _ways(request, sha256, one, already), "already": already, "sha256": sha256,
        "others": others_of(request.plant.code, curve) if _may_key(request) else (),
    }  # fmt: skip
    return render(request, "laboratory/kept.html", page)


def _may_key(request: Asker) -> bool:
    return may_post(request.signed.role, _MAY_KEY)


def _ways(
    request: Asker, sha256: str, one: Result, already: Sequence[CurveRead]
) -> list[tuple[str, str]]:
    """Give the forms that its result can be keyed in, once; none for who may not key one."""
    if one.of is None or one.of.strength_pa is None or not _may_key(request):
        return []
    keyed = {each.characteristic for each in already}
    fitting = [
        name for name, made in FROM_CURVES.items() if isinstance(one.of, made) and name not in keyed
    ]
    return [
        (
            f"{reverse('result')}?{urlencode({'test': name, 'curve': sha256})}",
            f"{TESTS[name].title}: {_shown(request, read_from(sha256, name).strength_pa)}",
        )
        for name in fitting
    ]


def _shown(request: Asker, strength_pa: float) -> str:
    return show(strength_pa, "pressure", system=chosen(request).units, digits=1)
