"""What `trace` says: the lots, how each is joined, masses and shares, and the closing account."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from beadwright.cli.printed import Page, local, write_json
from beadwright.ledger.account import Account
from beadwright.ledger.trace import Trace, TraceLot
from beadwright.ledger.walk import LotFacts
from beadwright.plant.figures import mass, mass_figure, percent
from beadwright.plant.followed import Followed, trace_json
from beadwright.plant.opening import Plant
from beadwright.plant.words import KIND_WORDS, STEP_WORDS, number, place_of
from beadwright.units import System, shown_unit

__all__ = ["show"]

_RESIDUE = "residue in unswept places, at most"
_ENOUGH = 0.0005
"""Bounds closer than this are one figure."""


def show(plant: Plant, found: Followed, *, units: System, json: bool) -> None:
    """Print a trace."""
    if json:
        write_json(trace_json(plant, found))
        return
    page = Page()
    _head(page, plant, found, units)
    _table(page, plant.zone, found, units)
    _cut_off(page, found, units)
    if found.account is not None:
        _account(page, found.account, units)


def _head(page: Page, plant: Plant, found: Followed, units: System) -> None:
    lot, trace = found.lot, found.trace
    way = (
        "back to what it was made of"
        if trace.direction == "back"
        else "forward to what was made of it"
    )
    product = f" of {lot.product}" if lot.product else ""
    page.line(f"{lot.code} ({_what(trace.lot)}{product}); {mass(trace.mg, units)} came into it")
    page.line(f"Traced {way}: {number(len(trace.lots), 'lot')}")
    page.line(f"Plant {plant.code}, times in {plant.zone.key}, record to entry {plant.head[0]}")
    page.line()


def _what(lot: LotFacts) -> str:
    return KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind)


def _table(page: Page, zone: ZoneInfo, found: Followed, units: System) -> None:
    trace = found.trace
    if not trace.lots:
        page.line(_nothing(found))
        return
    unit = shown_unit("mass", units)
    kinds = {step.key: step.kind for step in trace.steps}
    rows = [
        (
            one.lot.code,
            _what(one.lot),
            STEP_WORDS.get(kinds.get(one.step, ""), "joined"),
            local(one.at_ms, zone),
            mass_figure(one.mg, units),
            percent(one.share),
            _bounds(one),
            place_of(one.lot.place),
        )
        for one in trace.lots
    ]
    columns = ("!lot", "kind", "!step", "!when", f"!{unit}>", "!share>", "!bounds>", "place")
    page.table(columns, rows, indent=0)
    page.line()
    for text in _meaning(trace, unit):
        page.line(text)


def _nothing(found: Followed) -> str:
    """Say that no lot is listed: there is none, or each has less than was asked for."""
    if found.trace.cut_mg:
        return f"No lot has {found.cut_at_mg:g} mg or more expected in it."
    if found.trace.direction == "back":
        return "Nothing: it came in from outside."
    return "Nothing was made of it."


def _meaning(trace: Trace, unit: str) -> list[str]:
    """Say what each figure is of: a share is always one of the lot that the other went into."""
    code = trace.lot.code
    if trace.direction == "back":
        text = (
            f"{unit}: expected mass of the lot listed that went into {code}, well mixed; share: of"
            f" all that ever came into {code}, the part that is from the lot listed, in %; bounds:"
            " the least and the most that this can be; step and time: where they were first"
            " joined."
        )
        return [text]
    text = (
        f"{unit}: expected mass of {code} that came into the lot listed, well mixed; share: of all"
        f" that ever came into the lot listed, the part that is from {code}, in %; bounds: the"
        f" least and the most of {code} in any part of it, for a part is what is drawn; step and"
        " time: where they were first joined."
    )
    why = (
        f"`trace LOT --back` of a lot listed gives {code} the same share; its bounds are of all"
        " that came into that lot, and so may be narrower."
    )
    return [text, why]


def _bounds(one: TraceLot) -> str:
    if one.most - one.least < _ENOUGH:
        return percent(one.share)
    return f"{_short(one.least)}–{_short(one.most)}"


def _short(share: float) -> str:
    return percent(share).removesuffix(".0")


def _cut_off(page: Page, found: Followed, units: System) -> None:
    trace = found.trace
    if trace.cut_mg:
        page.line()
        page.line(
            f"Not listed: {number(found.cut_lots, 'lot')} with less than {found.cut_at_mg:g} mg"
            f" expected in {'it' if found.cut_lots == 1 else 'each'}, together"
            f" {mass(trace.cut_mg, units)}. A hold reaches them too (--cut 0 lists all)."
        )


def _account(page: Page, account: Account, units: System) -> None:
    page.heading("Where its material is now")
    rows = [
        ("in the plant", account.in_stock),
        ("shipped", account.shipped),
        ("scrap and reclaim", account.scrapped),
        ("samples", account.sampled),
        *((f"lost: {name}", mg) for name, mg in account.losses.items()),
        ("unaccounted", account.unaccounted),
    ]
    said = [(name, mass(mg, units), _share(mg, account.made)) for name, mg in rows if round(mg)]
    said.append(("together", mass(account.total, units), _share(account.total, account.made)))
    if round(account.residue):
        share = _share(account.residue, account.made)
        said.append((_RESIDUE, mass(account.residue, units), share))
    page.table(("where", "!mass>", "% of it>"), said)
    if round(account.residue):
        page.line("The residue is no part of the sum: by the books it has gone on.", indent=2)
    if round(account.total - account.made):
        off = mass(account.total - account.made, units, 3)
        page.line(f"That is {off} off what came into it: the estimates do not close.", indent=2)


def _share(mg: float, of: float) -> str:
    return percent(mg / of) if of else ""
