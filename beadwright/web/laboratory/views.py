"""The laboratory's first page, and the form of one test: looked over, then recorded.

Read :func:`laboratory` and :func:`result`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError
from beadwright.interop.keyed import Done, Likely
from beadwright.interop.load_frame.kept import others_of
from beadwright.ledger.draft import ReadingsDraft
from beadwright.plant.access import may_post
from beadwright.plant.bench_limits import AtBench, BenchResult, against_limits
from beadwright.plant.conditioning import SampleLot, samples_of
from beadwright.plant.departed import Departed, foreseen
from beadwright.plant.kept_curves import kept_curve
from beadwright.plant.laboratory import laboratory as laboratory_of
from beadwright.plant.moment import moment
from beadwright.quality.conditions import CURVE, CUT_AT
from beadwright.web.access import Asker, asks, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.laboratory.bench import TESTS, BenchTest
from beadwright.web.laboratory.form import Worked, likely_of, of_curve, units_of, worked
from beadwright.web.laboratory.page import ResultSheet, bench_page, sheet_of, stands_at, told_of
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.newest import newest
from beadwright.web.stations.page import flaws
from beadwright.web.stations.sheet import with_answers
from beadwright.web.stations.stood import refreshed
from beadwright.web.stations.taken import taken
from beadwright.web.stations.told import Told, told

__all__ = ["laboratory", "result"]

_NOT_TAKEN = 422
_MAY_KEY = "sample"
_KNOWN = ("lot", "sample", "specimen", CUT_AT)
"""Fields that a way to the form may fill in."""
"""Whoever may take a sample keys what is found of it."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What became of a form."""

    done: str = ""
    wrong: str = ""
    flaws: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()
    otherwise: tuple[str, ...] = ()
    """Departures that were recorded with it."""
    sha256: str = ""
    """The kept curve that it was read from."""
    others: tuple[str, ...] = ()
    """Specimens of the same file that have no result yet."""


@asks
def laboratory(request: Asker) -> HttpResponse:
    """Show what is in conditioning, what is due, and the tests that can be keyed."""
    found = laboratory_of(request.plant, moment(request.plant))
    keys = may_post(request.signed.role, _MAY_KEY)
    page = bench_page(found, request.plant.zone, keys=keys)
    return render(request, "laboratory/page.html", {"page": page, "keys": keys})


@tells(_MAY_KEY)
def result(request: Asker) -> HttpResponse:
    """Show the form of a test, or look over and record what was keyed in it."""
    said = request.POST if request.method == "POST" else request.GET
    test = TESTS.get(said.get("test", ""))
    if test is None:
        return redirect(reverse("laboratory"))
    if request.method == "POST":
        return _sent(request, test)
    known = {name: said.get(name, "").strip()[:120] for name in _KNOWN}
    form, sha256 = _new(request, test, known), said.get("curve", "")
    try:
        form = _new(request, test, known, sha256) if sha256 else form
    except BeadwrightError as no:
        return _shown(request, form, _Said(wrong=str(no)), status=_NOT_TAKEN)
    return _shown(request, form)


def _new(
    request: Asker, test: BenchTest, known: Mapping[str, str], sha256: str = ""
) -> ResultSheet:
    """Give a form with what is known; of a kept curve, with its result."""
    lot, sample = (known.get(name, "").upper() for name in ("lot", "sample"))
    plant, now = request.plant, moment(request.plant)
    system = chosen(request).units
    likely = likely_of(plant.code, test, lot, _sample(request, sample, now), now)
    given = {name: known[name] for name in ("specimen", CUT_AT) if known.get(name)}
    likely = units_of(replace(likely, texts={**likely.texts, **given}), test, system)
    if sha256:
        likely = of_curve(plant, likely, test, sha256, system)
    shown = (system, Fits.of(plant, test.kind, system))
    # The number that a file or a plan of cutting gave is that of the piece, whatever its lot is.
    own = sha256 or "specimen" in given
    stood = () if own else stands_at(test.kind, likely.texts)
    return replace(sheet_of(test, likely, shown), key=uuid4().hex, stood=stood)


def _sample(request: Asker, code: str, now: int) -> SampleLot | None:
    found = samples_of(request.plant.no, code, now) if code else ()
    return next((one for one in found if one.code == code), None)


def _sent(request: Asker, test: BenchTest) -> HttpResponse:
    """Read what was keyed; say in what the test left its method, and record it once it is seen."""
    work = worked(request.POST, test)
    request.POST = cast("Any", work.sent)
    sent = told(request, test.kind)
    fresh = refreshed(request, test.kind, sent)
    if fresh:
        sent = told(request, test.kind)
    departed = _departed(sent)
    likely = Likely(sent.filled.texts, sent.filled.units)
    form = sheet_of(test, likely, (chosen(request).units, sent.fits), sent.form.faults, work)
    form = told_of(with_answers(form, sent), departed, _limits(request, test, work))
    form = _following(request, form, sent, fresh)
    unseen = sent.form.ready and form.seen and request.POST.get("seen", "") != form.seen
    if work.wrong or ((unseen or fresh) and sent.do != "ask"):
        return _shown(request, form, status=_NOT_TAKEN if work.wrong else 200, looked_over=True)
    form, done = taken(request, sent, form)
    if done is None:
        return _shown(request, form, status=200 if sent.only_asked else _NOT_TAKEN)
    return _after(request, sent, done, form)


def _following(
    request: Asker, form: ResultSheet, sent: Told, fresh: Mapping[str, str]
) -> ResultSheet:
    """Give the form with what its specimen was proposed for, and with one proposed anew."""
    before = tuple(request.POST.getlist("stood"))
    now = stands_at(form.act.kind, sent.filled.texts) if fresh else before
    anew = tuple(replace(one, wrong="") for one in form.asked if one.name in fresh)
    return replace(form, stood=now, anew=anew)  # nothing that was keyed in it can be wrong


def _limits(request: Asker, test: BenchTest, work: Worked) -> tuple[AtBench, ...]:
    """Give how a result that was worked out stands to the limits of its lot's product."""
    if work.value_si is None:
        return ()
    plant, lot = request.plant, request.POST.get("lot", "").strip().upper()
    result = BenchResult(lot, test.name, work.value_si, work.band_si)
    return against_limits(plant.no, result, moment(plant))


def _departed(sent: Told) -> tuple[Departed, ...]:
    return tuple(
        one
        for draft in sent.form.drafts
        if isinstance(draft, ReadingsDraft)
        for one in foreseen(draft)
    )


def _after(request: Asker, sent: Told, done: Done, before: ResultSheet) -> HttpResponse:
    """Show the same form for the next specimen, and what was recorded with which departures."""
    texts, system, test = sent.filled.texts, chosen(request).units, before.act
    words = "It was in the record already." if done.repeated else test.done
    form = _new(request, test, {name: texts.get(name, "") for name in ("lot", "sample")})
    sha256 = texts.get(CURVE, "")
    others = others_of(request.plant.code, kept_curve(sha256)) if sha256 else ()
    otherwise = (*before.otherwise, *(f"not recorded: {one}." for one in before.unrecorded))
    said = _Said(words, "", flaws(done, system), done.entries, otherwise, sha256, others)
    return _shown(request, form, said)


def _shown(
    request: Asker,
    form: ResultSheet,
    said: _Said | None = None,
    *,
    status: int = 200,
    looked_over: bool = False,
) -> HttpResponse:
    given = {"sheet": form, "said": said or _Said(), "looked_over": looked_over}
    if form.live:  # asked before a button is pressed: what is said of it, no more
        return render(request, "laboratory/said.html", {**given, "page": form})
    entries = newest(request.plant, form.act.kind, request.signed.role, form.act.name)
    given["page"] = {"newest": entries}
    return render(request, "laboratory/test.html", given, status=status)
