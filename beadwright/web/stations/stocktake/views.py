"""The sheets of a stocktake, and one of them: compared, asked about once, and recorded together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Fault
from beadwright.interop import keyed
from beadwright.interop.keyed import Keyed, Which
from beadwright.plant.masses_said import faults_in
from beadwright.plant.moment import moment
from beadwright.plant.stocktaking import PAGE, Compared, Listed, Sheet, compare, groups, look_up
from beadwright.plant.stocktaking import sheet as sheet_of
from beadwright.web.access import Asker, read_anew, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.stations.fits import Fits, asking
from beadwright.web.stations.newest import newest
from beadwright.web.stations.page import flaws
from beadwright.web.stations.stocktake import page as shown
from beadwright.web.stations.stocktake.form import ADD, Sent, found_in, read, sent
from beadwright.web.stations.stocktake.page import SheetPage

__all__ = ["stocktake"]

_NOT_TAKEN = 422
_DIGITS = 9


@dataclass(frozen=True, slots=True)
class _Counted:
    """A sheet with what was keyed on it, held against the books."""

    sheet: Sheet
    sent: Sent
    lots: tuple[Listed, ...]
    forms: Mapping[str, Keyed]
    compared: Mapping[str, Compared]

    @property
    def ready(self) -> bool:
        """Whether all that was keyed can be read."""
        return all(one.ready for one in self.forms.values())

    @property
    def doubtful(self) -> tuple[Compared, ...]:
        """Large differences that nobody has said yes to."""
        sure = self.sent.sure
        some = self.compared.items()
        return tuple(one for code, one in some if one.large and self.sent.answer(code) not in sure)


@tells("stocktake")
def stocktake(request: Asker) -> HttpResponse:
    """Let a person choose what to count; show its sheet, compare it, record what was found."""
    name = request.GET.get("of", "")
    if not name:
        there = groups(request.plant.no)
        return render(request, "stations/stocktake/groups.html", {"groups": there})
    before = request.GET.get("before", "")
    passed = int(before) if before.isdecimal() and len(before) <= _DIGITS else 0
    found = sheet_of(request.plant.no, name, passed)
    if found is None:
        message = f"nothing is there to be counted as {name}"
        raise Http404(message)
    form = sent(request)
    if request.method != "POST":
        return _answer(request, _page(request, _counted(request, found, form)))
    return _told(request, found, form)


def _told(request: Asker, sheet: Sheet, form: Sent) -> HttpResponse:
    if form.do == "add":
        return _added(request, sheet, form)
    counted = _counted(request, sheet, form)
    page = _page(request, counted)
    if form.live or form.do != "post":
        return _answer(request, page)
    if not counted.ready:
        return _answer(request, page, _NOT_TAKEN)
    if not counted.forms:
        what = "nothing was keyed on this sheet"
        fault = Fault("row_empty", what, "", "", "Say of a lot what was found, or that it was not.")
        return _answer(request, replace(page, faults=(fault,)), _NOT_TAKEN)
    if counted.doubtful:
        return _answer(request, _asked(request, counted, page), _NOT_TAKEN)
    return _post(request, counted, page)


def _counted(request: Asker, sheet: Sheet, form: Sent) -> _Counted:
    on_sheet = {one.lot for one in sheet.lots}
    # What left the sheet while it was keyed is shown and kept too.
    said_of = (*form.extra, *form.texts, *form.missing)
    extra, _ = look_up(request.plant.no, [code for code in said_of if code not in on_sheet])
    lots = (*extra, *sheet.lots)
    forms = read(request, form, lots)
    found = {code: found_in(one) for code, one in forms.items() if one.ready}
    compared, _ = compare(request.plant.no, found, moment(request.plant))
    return _Counted(sheet, form, lots, forms, compared)


def _added(request: Asker, sheet: Sheet, form: Sent) -> HttpResponse:
    """Add a lot that was found and is not on the sheet; a scan of several is asked about."""
    matches = keyed.scanned(request.plant.code, form.add)
    faults: tuple[Fault, ...] = ()
    which = None
    if len(matches) == 1 and not matches[0].part:
        code = matches[0].code
        _, strange = look_up(request.plant.no, [code])
        if strange:
            faults = (Fault("unknown_lot", strange[code], form.add, "", ""),)
        else:
            form = replace(form, extra=tuple(dict.fromkeys((*form.extra, code))), add="")
    elif matches:
        asked = Which(ADD, form.add, matches)
        which = asking(asked, chosen(request).units, moment(request.plant))
    else:
        what = f"the record knows no lot by {form.add}"
        remedy = "Look for it in the search; what never came in is received first."
        faults = (Fault("unknown_lot", what, form.add, "", remedy),)
    page = _page(request, _counted(request, sheet, form))
    status = _NOT_TAKEN if faults or which else 200
    return _answer(request, replace(page, faults=faults, which=which, add=form.add), status)


def _asked(request: Asker, counted: _Counted, page: SheetPage) -> SheetPage:
    system = chosen(request).units
    some = counted.doubtful
    answers = {*counted.sent.sure, *(counted.sent.answer(one.listed.lot) for one in some)}
    return replace(
        page,
        questions=tuple(shown.question(one, counted.sent, system) for one in some),
        sure="|".join(sorted(one for one in answers if one)),
    )


def _post(request: Asker, counted: _Counted, page: SheetPage) -> HttpResponse:
    """Record what was found of every lot at once; show the sheet as the books stand then."""
    done = keyed.post_all(request.plant.code, tuple(counted.forms.values()), request.signed.who)
    refused = {fault: None for one in done for fault in one.refused}
    if refused:
        return _answer(
            request, replace(page, faults=faults_in(refused, chosen(request).units)), _NOT_TAKEN
        )
    read_anew(request)
    units = chosen(request).units
    wrong = tuple(flaw for one in done for flaw in flaws(one, units))
    first = "It was in the record already" if all(one.repeated for one in done) else "Recorded"
    said = f"{first}. {shown.summary(counted.compared.values())}."
    sheet = sheet_of(request.plant.no, counted.sheet.group.name, counted.sheet.before)
    fresh = Sent(uuid4().hex, counted.sent.unit, {}, frozenset())
    again = _page(request, _counted(request, sheet or counted.sheet, fresh))
    return _answer(request, replace(again, done=said, flaws=wrong))


def _page(request: Asker, counted: _Counted) -> SheetPage:
    system, sheet = chosen(request).units, counted.sheet
    rows = []
    for one in counted.lots:
        form, compared = counted.forms.get(one.lot), counted.compared.get(one.lot)
        row = shown.row(one, counted.sent, form, system, request.plant.zone)
        if compared is not None:
            words, sort = shown.off(compared, system)
            row = replace(row, off=words, sort=sort)
        rows.append(row)
    return SheetPage(
        sheet,
        counted.sent.key,
        counted.sent.unit,
        tuple(rows),
        max(0, sheet.before - PAGE),
        sheet.before + len(sheet.lots),
        "kg" if counted.sent.unit == "lb" else "lb",
        shown.summary(counted.compared.values()),
    )


def _answer(request: Asker, page: SheetPage, status: int = 200) -> HttpResponse:
    if getattr(request, "htmx", False):
        return render(request, "stations/stocktake/live.html", {"page": page})
    page = replace(
        page,
        newest=newest(request.plant, "stocktakes", request.signed.role),
        offers=Fits.of(request.plant, "stocktakes", chosen(request).units).offers.get("lot", ()),
    )
    return render(request, "stations/stocktake/page.html", {"page": page}, status=status)
