"""A load frame's export on a page: how it was read, what is asked, each curve with its result.

Nothing is posted: whoever has looked at a curve keeps it, and keys its result at its own form.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.charts import curves
from beadwright.charts.specimen_curve import specimen_curve
from beadwright.errors import BeadwrightError, Fault, Misuse, Refusal
from beadwright.interop.load_frame import Found, keepable, specimens
from beadwright.interop.load_frame.by_machine import read_as_kept
from beadwright.interop.load_frame.results import CAUTION, Asked, Result, result
from beadwright.lab import compression_method, flexure_method
from beadwright.lab.departure import Departure
from beadwright.ledger import settings
from beadwright.plant.access import may_post
from beadwright.plant.frame_layouts import layouts
from beadwright.plant.masses_said import figures_in, sizes_in
from beadwright.units import System, show
from beadwright.web.access import Asker, asks
from beadwright.web.carried import Carried, carried
from beadwright.web.choices.kept import chosen

__all__ = ["NAMES", "Drawn", "answers", "columns", "curve", "put", "words"]

_MOST = 1_500_000
"""Bytes of a file that is put in by a page; the shell takes larger ones."""

_DRAWN = 12
"""Specimens of a file that are drawn."""

NAMES = ("column", "taken for", "unit", "because of")
"""Titles of what :func:`columns` gives."""
_SIZES = ("length", "width", "height")


@dataclass(frozen=True, slots=True)
class Drawn:
    """One specimen in words, with its picture."""

    name: str
    svg: str
    words: str
    strength: str
    at: str
    modulus: str
    toe: str
    why_not: str
    departures: tuple[str, ...]
    gives: bool = False
    """Whether it gives a strength, that can be keyed."""


@asks
def curve(request: Asker) -> HttpResponse:
    """Show the form; of a file that was put in, its columns, its questions, its curves."""
    said = {name: request.POST.get(name, "").strip()[:60] for name in (*_SIZES, "span", "method")}
    page: dict[str, object] = {
        "said": said, "caution": CAUTION, "faults": (), "found": None, "drawn": (), "packed": "",
        "key": request.POST.get("key", "") or uuid4().hex,
        "machines": settings.load(request.plant.no).names("instrument"),
        "may_keep": may_post(request.signed.role, "sample"),
        "methods": (*compression_method.METHODS, *flexure_method.METHODS),
    }  # fmt: skip
    status = 200
    if request.method == "POST":
        try:
            file = put(request)
            page["packed"], page["name"] = file.packed, file.name
            asked = Asked.of((said["length"], said["width"], said["height"]), said["method"],
                             said["span"], "")  # fmt: skip
            kept = layouts(request.plant.no)
            taken = read_as_kept(file.raw, file.name, answers(request.POST), kept)
            found = taken.found
            page["found"], page["as_kept"] = found, taken
            page["answered"] = [(one, dict(found.answers)[one.field]) for one in found.answered]
            page["keeps_layout"] = may_post(request.signed.role, "decision") and keepable(found)
            page["names"], page["columns"] = NAMES, columns(found)
            page["drawn"] = _drawn(found, asked, chosen(request).units)
        except Refusal as refused:
            page["faults"], status = refused.faults, 422
        except BeadwrightError as error:
            page["faults"], status = [Fault("", str(error))], 422
    response = render(request, "laboratory/curve.html", page, status=status)
    if request.method == "POST":  # so that Back shows it again: it holds a file, and no record
        response.headers["Cache-Control"] = "private, no-cache"
    return response


def put(request: Asker) -> Carried:
    """Give the file, else the one that the form carried.

    Raises
    ------
    Misuse
        If there is neither, or it is larger than a page takes.
    """
    file = carried(request, _MOST, "curve.csv")
    if file is None:
        message = "choose the file that the load frame wrote"
        raise Misuse(message)
    return file


def answers(said: Mapping[str, str]) -> dict[str, str]:
    """Give what was answered of the file, by the field of each question."""
    begins = "answer-"
    return {
        name.removeprefix(begins): text
        for name, text in said.items()
        if name.startswith(begins) and text
    }


def columns(found: Found) -> list[tuple[str, str, str, str]]:
    """Give the rows of :data:`NAMES`: what each column was taken for."""
    first = found.blocks[0].columns if found.blocks else ()
    return [
        (one.heading, "not used" if one.taken_for == "other" else one.taken_for, one.unit, one.why)
        for one in first
    ]


def _drawn(found: Found, asked: Asked, units: System) -> tuple[Drawn, ...]:
    if found.questions:
        return ()
    some = specimens(found, asked.sizes)
    each = [result(found.name, one, asked, len(some)) for one in some[:_DRAWN]]
    return tuple(words(number, one, units) for number, one in enumerate(each))


def _modulus(value_pa: float, u_pa: float, units: System) -> str:
    """Give a modulus with its standard uncertainty, of the scatter alone."""
    said = show(value_pa, "pressure", system=units, digits=0)
    return f"{said}, u {show(u_pa, 'pressure', system=units, digits=0)} by scatter alone"


def _sized(one: Departure, units: System) -> Departure:
    """Give a departure with its sizes in units of choice; what its source says stays as quoted."""
    return replace(one, value=sizes_in(one.value, units), asked=sizes_in(one.asked, units))


def words(number: int, one: Result, units: System) -> Drawn:
    """Put one specimen into words, with its picture."""
    made = one.of
    departures = tuple(figures_in(str(_sized(each, units)), units) for each in one.departures)
    if made is None:
        return Drawn(one.loaded.name, "", "", "", "", "", "", one.why_not, departures)
    title = f"Specimen {one.loaded.name}"
    drawing = curves.draw(
        specimen_curve(made, name=f"specimen-{number}", title=title, system=units)
    )
    strength = made.strength_pa
    return Drawn(
        one.loaded.name,
        drawing.svg,
        drawing.words,
        "none" if strength is None else show(strength, "pressure", system=units, digits=1),
        "not reached" if strength is None else made.strength_at,
        _modulus(made.modulus_pa, made.u_modulus_pa, units),
        f"{100 * made.toe:.2f} %",
        one.why_not,
        departures,
        gives=strength is not None,
    )
