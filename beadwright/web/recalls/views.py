"""The pages of recalls: all of them, the scope of one, its stages and its papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError, Fault, Misuse, Refusal
from beadwright.plant.access import may_post
from beadwright.plant.figures import mass
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.recall.acts import Done, finish_stage, start_recall
from beadwright.plant.recall.narrowed import judged_by, narrowing
from beadwright.plant.recall.on_record import Recall, recall, recalls
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.stages import HELD, STAGES
from beadwright.plant.recall.starts import Begin, starts
from beadwright.plant.recall.told import (
    ACCOUNT,
    RECALL_SAYS,
    account_masses,
    account_said,
    days_left,
    pieces_of,
    pieces_told,
    product_told,
    share_told,
    told_nobody,
)
from beadwright.plant.words import in_runs
from beadwright.reports import recall as papers
from beadwright.web.access import Asker, asks, tells
from beadwright.web.choices.kept import chosen

__all__ = ["recall_begin", "recall_list", "recall_one", "recall_paper", "recall_stage"]

_NOT_TAKEN = 422
_SHOWN = 200
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class _ScopePage:
    """A scope in words."""

    starts: str
    within: str
    """Starts that others reach."""
    count: int
    receivers: tuple[tuple[str, str, str, tuple[tuple[str, str, str, str, str], ...]], ...]
    """Who has what: name, pieces, name of their papers, and each lot."""
    here: tuple[tuple[str, str, str, str], ...]
    """To hold: lot, kind where it is no block, how much, and what it may hold."""
    lots: tuple[tuple[str, str, str], ...]
    more: int
    columns: tuple[str, ...]
    accounts: tuple[tuple[str, ...], ...]
    gone: int
    cut: str
    """Expected in lots that are not listed."""
    assumes: tuple[str, ...]
    """What narrowing takes for granted."""
    out: tuple[tuple[str, str], ...]
    """Block lots that were left out, and why."""
    nobody: tuple[str, ...]
    """Who is not told, and of what."""
    account_said: str


@asks
def recall_list(request: Asker) -> HttpResponse:
    """Show every recall; of lots that are named, the scope before anything is recorded."""
    said = request.GET.get("lots", "").strip()
    sources = request.GET.get("sources", "") == "yes"
    below, tested = (request.GET.get(name, "").strip() for name in ("below", "tested"))
    page: dict[str, object] = {
        "recalls": recalls(request.plant.no), "lots": said, "chosen": "yes" if sources else "no",
        "says": RECALL_SAYS, "may": may_post(request.signed.role, "decision"),
        "key": uuid4().hex, "scope": None, "below": below, "tested": tested,
        "names": [(one, one.replace("_", " ")) for one in judged_by(request.plant.no)],
    }  # fmt: skip
    status = 200
    if said:
        try:
            begins = starts(request.plant, Begin(tuple(said.split()), sources=sources))
            by = narrowing(below, tested)
            page["scope"] = _page(request, scope(request.plant.no, begins, by))
            page["begins"] = " ".join(begins)
        except BeadwrightError as no:
            page["wrong"], status = str(no), _NOT_TAKEN
    return render(request, "recalls/list.html", {"page": page}, status=status)


@tells("decision")
def recall_begin(request: Asker) -> HttpResponse:
    """Record that a recall is started, or rehearsed."""
    if request.method != "POST":
        return redirect(reverse("recalls"))
    said, plant = request.POST, request.plant
    key = said.get("key", "") or uuid4().hex
    try:
        begins = starts(plant, Begin(tuple(said.get("begins", "").split())))
        by = narrowing(said.get("below", ""), said.get("tested", ""))
        about = (said.get("reason", ""), begins, by)
        rehearsed = said.get("real") != "yes"
        name = start_recall(plant, request.signed.who, about, key, rehearsed=rehearsed)
    except BeadwrightError as no:
        page = {"recalls": recalls(plant.no), "says": RECALL_SAYS, "wrong": str(no), "may": True}
        return render(request, "recalls/list.html", {"page": page}, status=_NOT_TAKEN)
    return redirect(reverse("recall", args=[name]))


@asks
def recall_one(request: Asker, recall_name: str) -> HttpResponse:
    """Show one recall: its stages, its scope as the record has it now."""
    return _shown(request, _found(request.plant, recall_name))


@tells("decision")
def recall_stage(request: Asker, recall_name: str) -> HttpResponse:
    """Record that the next stage was done."""
    found = _found(request.plant, recall_name)
    if request.method != "POST":
        return redirect(reverse("recall", args=[recall_name]))
    said, plant, who = request.POST, request.plant, request.signed.who
    key = said.get("key", "") or uuid4().hex
    done = Done(said.get("stage", ""), said.get("note", ""), said.get("hold") == "yes")
    try:
        finish_stage(plant, who, recall_name, done, key)
    except Refusal as no:
        return _shown(request, found, faults=no.faults)
    except BeadwrightError as no:
        return _shown(request, found, str(no))
    return redirect(reverse("recall", args=[recall_name]))


@asks
def recall_paper(request: Asker, recall_name: str, paper: str) -> HttpResponse:
    """Give the scope's workbook, or a receiver's letter (N.pdf) or workbook (N.xlsx)."""
    found = _found(request.plant, recall_name)
    its = scope(request.plant.no, found.starts, found.narrowing)
    known, _, sort = paper.rpartition(".")
    if paper == "scope.xlsx":
        return _file(papers.workbook("scope", papers.of_scope(its)), _XLSX, paper)
    found_ = [one for one in its.receivers if papers.file_of(one[0]) == known]
    if not found_:
        raise Http404(paper)
    ((name, some),) = found_
    file = f"{recall_name}-{known}.{sort}"
    if sort == "xlsx":
        rows = papers.of_receiver(some, request.plant.zone)
        return _file(papers.workbook(name, rows), _XLSX, file)
    if sort != "pdf":
        raise Http404(paper)
    pdf = papers.letter(request.plant, found, (name, some), moment(request.plant))
    return _file(pdf, "application/pdf", file)


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _found(plant: Plant, name: str) -> Recall:
    try:
        return recall(plant.no, name)
    except Misuse as no:
        raise Http404(str(no)) from no


def _shown(
    request: Asker, found: Recall, wrong: str = "", faults: Sequence[Fault] = ()
) -> HttpResponse:
    named = Named.of(request.plant)
    page = {
        "one": found, "wrong": wrong, "faults": faults, "says": RECALL_SAYS, "key": uuid4().hex,
        "stages": [
            (one, named(one.by), found.after(one))
            for one in found.stages
        ],
        "open": STAGES[len(found.stages):], "held": HELD,
        "may": may_post(request.signed.role, "decision"),
        "scope": _page(request, scope(request.plant.no, found.starts, found.narrowing)),
    }  # fmt: skip
    status = _NOT_TAKEN if wrong or faults else 200
    return render(request, "recalls/one.html", {"page": page}, status=status)


def _page(request: Asker, found: Scope) -> _ScopePage:
    units, zone = chosen(request).units, request.plant.zone
    shares = {one.lot.code: share_told(one) for one in found.lots}
    receivers = tuple(
        (name, pieces_of(some), papers.file_of(name), tuple(
            (one.lot, product_told(one), mass(one.mg, units) if one.mg else pieces_told(one.stand),
             days_left(one, zone), share_told(one)) for one in some
        ))
        for name, some in found.receivers
    )  # fmt: skip
    here = [(code, "", pieces_told(stand), shares[code]) for code, stand in found.here]
    here += [(one.lot.code, one.lot.kind, mass(one.lot.mg, units), share_told(one))
             for one in found.stock]  # fmt: skip
    return _ScopePage(
        in_runs(found.starts), in_runs(found.within), len(found.lots), receivers, tuple(here),
        tuple((one.lot.code, one.lot.what or one.lot.kind, share_told(one))
              for one in found.lots[:_SHOWN]),
        max(0, len(found.lots) - _SHOWN), ACCOUNT,
        tuple((one.lot, *(mass(round(mg), units) for mg in account_masses(one)))
              for one in found.accounts),
        found.gone, f"{found.cut_mg:.3g} mg", found.narrowing.assumes, found.out,
        told_nobody(found), account_said(found),
    )  # fmt: skip
