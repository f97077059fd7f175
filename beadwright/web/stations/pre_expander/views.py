"""A pre-expander: how it stands, asked again every few seconds, and its forms."""

from __future__ import annotations

from dataclasses import dataclass, replace

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import BeadwrightError, Fault, Misuse, Refusal
from beadwright.interop import keyed
from beadwright.interop.keyed import Done
from beadwright.plant.access import may_post, may_restate
from beadwright.plant.expanding import Expanding, expanding
from beadwright.plant.holding import hold_lots
from beadwright.plant.machines import places_of
from beadwright.plant.masses_said import faults_in
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.steering import steering
from beadwright.plant.words import capital
from beadwright.units import System
from beadwright.web.access import Asker, tells
from beadwright.web.choices.kept import chosen
from beadwright.web.stations.page import effects, flaws
from beadwright.web.stations.pre_expander.form import ACTIONS, Action, Form, action_of, again, blank
from beadwright.web.stations.pre_expander.page import Stand, stand
from beadwright.web.stations.taken import taken
from beadwright.web.stations.told import told

__all__ = ["Page", "pre_expander"]

_SAME, _NOT_TAKEN = 204, 422
_TROUBLE = next(one for one in ACTIONS if one.kind == "downtime")
_CAUTION = (
    "Steam and condensate scald. Beads give off pentane: at a detector alarm leave, isolate,"
    " follow the site plan. Marked flammable-vapour zone: only devices rated for it. The machine's"
    " own interlocks decide. Silo: Never enter without a confined-space permit."
)


@dataclass(frozen=True, slots=True)
class Page:
    """What the template shows."""

    stand: Stand
    form: Form | None = None
    done: str = ""
    flaws: tuple[str, ...] = ()
    may_correct: bool = False
    may_void: bool = False
    """Whether cups too are corrected: a reading is taken back and given anew."""
    may_hold: bool = False
    actions: tuple[Action, ...] = ACTIONS
    caution: str = _CAUTION

    @property
    def starts(self) -> bool:
        """Whether the form that is open is the one to start a run, where none is open."""
        return self.form is not None and self.form.action.word == "Start"


@tells("expand")
def pre_expander(request: Asker, place: str) -> HttpResponse:
    """Show how a pre-expander stands, with the form that was opened; take what was told."""
    _require(request, place)
    if request.method == "POST":
        return _hold(request, place) if "hold" in request.POST else _told(request, place)
    found = _found(request, place)
    page = _page(request, found)
    if "seen" in request.GET:
        return _live(request, page)
    action = action_of(request.GET.get("form", ""))
    if action is None and found.run is None:
        action = action_of("expansion_open")
    if action is not None:
        page = replace(page, form=_asked_first(request, found, action))
    return render(request, "stations/pre_expander/page.html", {"page": page})


def _require(request: Asker, place: str) -> None:
    known = places_of(request.plant.no, "expander", moment(request.plant))
    if place not in known:
        message = f"{place} is no expander of this plant: there are {', '.join(known) or 'none'}"
        raise Misuse(message)


def _found(request: Asker, place: str) -> Expanding:
    return expanding(request.plant.no, place, moment(request.plant))


def _page(request: Asker, found: Expanding) -> Page:
    role = request.signed.role
    shown_in = (chosen(request).units, request.plant.zone)
    steered = steering(request.plant.no, found.place, found.at_ms)
    return Page(
        stand(found, steered, shown_in, Named.of(request.plant).name),
        may_correct=may_restate(role, step=True, readings=False),
        may_void=may_restate(role, step=False, readings=True),
        may_hold=may_post(role, "hold"),
    )


def _live(request: Asker, page: Page) -> HttpResponse:
    """Give the part that lives by itself; all of the page, where a run was opened or closed."""
    if request.GET["seen"] == page.stand.print:
        return HttpResponse(status=_SAME)
    if request.GET.get("open", page.stand.is_open) not in {page.stand.is_open, _flag(page)}:
        return HttpResponse(headers={"HX-Refresh": "true"})
    return render(request, "stations/pre_expander/live.html", {"page": page})


def _flag(page: Page) -> str:
    return "1" if page.stand.is_open else "0"


def _asked_first(request: Asker, found: Expanding, action: Action) -> Form:
    """Give a form as it is opened; of a run to be started, with what the record says to it."""
    system = chosen(request).units
    form = blank(request.plant, action, found, system)
    if action.kind != "expansion_open":
        return form
    boxes = (*form.asked.boxes, *form.folded.boxes)
    units = {one.name: one.unit for one in boxes if one.unit}
    texts = {one.name: one.text for one in boxes}
    read = keyed.read(
        request.plant.code, action.kind, texts, units=units, key=form.key, by=request.signed.person
    )
    if not read.ready:
        return form
    asked = keyed.may(request.plant.code, read, request.signed.who)
    return replace(form, may=asked.may, faults=faults_in(asked.faults, system))


def _told(request: Asker, place: str) -> HttpResponse:
    """Read what was keyed; ask about it or post it."""
    action = action_of(request.POST.get("kind", ""))
    if action is None:
        message = f"no form of a pre-expander is called {request.POST.get('kind', '')}"
        raise Misuse(message)
    own = request.POST.get("own_cause", "").strip()
    if own:  # in one's own words, instead of one of those to choose from
        said = request.POST.copy()
        said["cause"] = own
        request.POST = said  # type: ignore[assignment]
    sent = told(request, action.kind)
    found = _found(request, place)
    form = again(request.plant, action, found, sent, chosen(request).units)
    form, done = taken(request, sent, form)
    if done is None:
        page = replace(_page(request, found), form=form)
        return _answer(request, page, 200 if sent.only_asked else _NOT_TAKEN)
    page = _after(request, place, action)
    return _answer(
        request,
        replace(
            page,
            done=_effect(page, action, done, chosen(request).units),
            flaws=flaws(done, chosen(request).units),
        ),
    )


def _after(request: Asker, place: str, action: Action) -> Page:
    """Give the page after a form was taken, with the one that follows it."""
    found = _found(request, place)
    page = _page(request, found)
    follows = action_of(action.then)
    if follows is not None and follows.kind == "expansion_close":
        follows = follows if found.run is not None and not found.run.mg else None
    if follows is None and found.run is None:
        follows = action_of("expansion_open")
    return page if follows is None else replace(page, form=_asked_first(request, found, follows))


def _hold(request: Asker, place: str) -> HttpResponse:
    """Put the bag that is in on hold."""
    said = request.POST
    bag, reason = said["hold"], said.get("reason", "")
    try:
        name, posted = hold_lots(
            request.plant, request.signed.who, [bag], reason, said.get("key", "")
        )
    except BeadwrightError as no:
        return _not_held(request, place, no)
    page = _page(request, _found(request, place))
    word = "was on hold already" if posted.repeated else "is on hold"
    done = f"{bag} {word} as {name}, and all that is made of it: {reason.strip()}."
    return _answer(request, replace(page, done=done))


def _not_held(request: Asker, place: str, no: BeadwrightError) -> HttpResponse:
    """Give the form of trouble again, with what was keyed and why no hold was placed."""
    found = _found(request, place)
    form = blank(request.plant, _TROUBLE, found, chosen(request).units)
    why = no.faults if isinstance(no, Refusal) else (Fault("", str(no)),)
    form = replace(form, hold_faults=tuple(why), reason=request.POST.get("reason", ""))
    return _answer(request, replace(_page(request, found), form=form), _NOT_TAKEN)


def _effect(page: Page, action: Action, done: Done, units: System) -> str:
    """Say what became of a form: of a cup what it says, of others how run and lots stand now."""
    cup = page.stand.lines[0] if page.stand.lines else None
    if action.kind == "cups" and cup is not None and cup.seq in done.entries:
        already = "was in the record already" if done.repeated else "is in the record"
        return f"{capital(cup.says)}. It {already}."
    if action.kind == "expansion_open":
        return f"{page.stand.run}. {effects(replace(done, stock=()), units)}"
    if action.kind == "bag_opened" and page.stand.bag is not None:
        there = replace(done, stock=tuple(one for one in done.stock if one.mg))
        return f"Bag {page.stand.bag.code} is in. {effects(there, units)}"
    return effects(done, units)


def _answer(request: Asker, page: Page, status: int = 200) -> HttpResponse:
    if getattr(request, "htmx", False):  # asked before a button is pressed: what may be, no more
        return render(request, "stations/said.html", {"page": page.form})
    return render(request, "stations/pre_expander/page.html", {"page": page}, status=status)
