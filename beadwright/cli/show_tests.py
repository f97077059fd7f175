"""What `due`, `reports` and `instruments` say, and what is said of a report once it is entered."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from beadwright.cli.decisions import Decided
from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_studies import print_studies, studies_json
from beadwright.errors import Misuse
from beadwright.ledger import entered
from beadwright.plant import calibrations
from beadwright.plant import reports as plant_reports
from beadwright.plant.calibrations import Instrument
from beadwright.plant.declared import borne
from beadwright.plant.dues import Due
from beadwright.plant.dues import due as plant_due
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.plan import day_at
from beadwright.plant.reports import Report
from beadwright.plant.words import in_runs, number

__all__ = ["calibrated", "due", "instruments", "reported", "reports", "withdrawn"]

_DAY_MS = 86_400_000
_LATE = frozenset({"failed", "overdue", "never", "lapsed"})
_STATES = {
    "failed": "FAILED",
    "overdue": "OVERDUE",
    "lapsed": "LAPSED",
    "never": "NEVER DONE",
    "due_soon": "due soon",
    "in_time": "in time",
}
_EVIDENCE = {"periodic_test": "periodic test", "type_test": "type test"}


def due(plant: Plant, days: int, *, everything: bool, json: bool) -> bool:
    """Print what is due; gives whether anything is late."""
    at_ms = moment(plant) + days * _DAY_MS
    tests = plant_due(plant.no, at_ms)
    tools = calibrations.instruments(plant.no, at_ms)
    late = any(one.state in _LATE for one in tests) or any(one.state in _LATE for one in tools)
    if json:
        write_json(
            {
                **_head(plant, day_at(at_ms, plant.zone)),
                "tests": [_due_json(one) for one in tests],
                "instruments": [_instrument_json(one) for one in tools],
            }
        )
        return late
    page = Page()
    page.line(f"{plant.name}, plant {plant.code}, on {day_at(at_ms, plant.zone)}")
    shown = [one for one in tests if everything or one.state != "in_time"]
    fit = [one for one in tools if everything or one.state != "in_time"]
    counted = f"{len(tests) - sum(one.state == 'in_time' for one in tests)} of {len(tests)}"
    page.line(
        f"{counted} tests and {sum(one.state != 'in_time' for one in tools)} of"
        f" {len(tools)} calibrations are due, overdue, failed or were never done."
    )
    for one in shown:
        _test(page, one)
    _tools(page, fit)
    if not everything and len(shown) + len(fit) < len(tests) + len(tools):
        page.line()
        page.line("--all lists those in time too.")
    return late


def _test(page: Page, one: Due) -> None:
    name = one.characteristic.replace("_", " ")
    often = f", every {one.every}" if one.every else ""
    page.heading(f"{_STATES[one.state]}{_when(one.in_days, one.next_due)}: {name} of {one.product}")
    what = [f"{_EVIDENCE[one.evidence]}{often}", f"plan {one.plan}"]
    what += [f"{number(one.specimens, 'specimen')}"] if one.specimens else []
    what += [one.method] if one.method else []
    page.line(", ".join(what), indent=2)
    if one.last is not None:
        ends = "" if one.last.until is None else f", covers what is made until {one.last.until}"
        word = ends if one.last.passed else ", which failed"
        page.line(
            f"last: {one.last.result}, sampled {one.last.sampled} ({one.last.source}){word}",
            indent=2,
        )
    if one.waiting:
        page.line(f"waiting in stock: {in_runs(one.waiting)}", indent=2)


def _when(in_days: int | None, day: date | None) -> str:
    if in_days is None or day is None:
        return ""
    if in_days == 0:
        return f", {day}, today"
    many = number(abs(in_days), "day")
    return f", {day}, {f'in {many}' if in_days > 0 else f'{many} ago'}"


def _tools(page: Page, tools: Sequence[Instrument]) -> None:
    if not tools:
        return
    page.heading("Instruments")
    rows = [
        (
            one.name,
            one.what,
            one.place,
            one.every,
            str(one.status.last.done) if one.status.last else "",
            str(one.status.due or ""),
            _STATES[one.state],
        )
        for one in tools
    ]
    page.table(("!instrument", "what", "place", "every", "!done", "!holds until", "!state"), rows)


def reports(plant: Plant, *, everything: bool, json: bool) -> None:
    """Print test reports."""
    found = sorted(plant_reports.reports(plant.no), key=lambda one: (one.sampled, one.seq))[::-1]
    if json:
        today = day_at(moment(plant), plant.zone)
        write_json({**_head(plant, today), "reports": [_report_json(one) for one in found]})
        return
    page = Page()
    counting = [one for one in found if not one.withdrawn]
    gone = len(found) - len(counting)
    page.line(f"{plant.name}: {number(len(counting), 'result')} of test reports, {gone} withdrawn")
    shown = found if everything else counting
    for one in shown:
        _report(page, one)
    _borne(page, counting)
    if gone and not everything:
        page.line()
        page.line("--all lists those withdrawn too.")


def _borne(page: Page, counting: Sequence[Report]) -> None:
    """Print what thermal results bear together."""
    found = list(borne(counting))
    if found:
        page.heading("What thermal results bear together (worked out; nothing is declared by it)")
    for one in found:
        name = one.characteristic.replace("_", " ")
        page.item(f"{one.product}, {name}, {number(one.count, 'result')}: {one.words}")


def _report(page: Page, one: Report) -> None:
    """Print one result: what is known of it, in lines that any width can hold."""
    name = one.characteristic.replace("_", " ")
    page.heading(f"{one.number}  {name}: {one.result}")
    page.line(f"of {', '.join(one.products)}", indent=2)
    how = [one.laboratory, *filter(None, [one.method])]
    how += [number(one.specimens, "specimen")] if one.specimens else []
    how += [f"conditioned {one.conditioned_h} h"] if one.conditioned_h is not None else []
    page.line(f"by {', '.join(how)}", indent=2)
    until = "" if one.expires is None else f", valid until {one.expires}"
    page.line(f"sampled {one.sampled}{until}", indent=2)
    if one.withdrawn:
        page.line(f"WITHDRAWN: {one.withdrawn}", indent=2)


def instruments(plant: Plant, named: Sequence[str], *, json: bool) -> None:
    """Print instruments; those named with every calibration and every gauge study.

    Raises
    ------
    Misuse
        If the plant lists none of that name.
    """
    at_ms = moment(plant)
    found = calibrations.instruments(plant.no, at_ms)
    there = [one.name for one in found]
    for name in named:
        if name not in there:
            message = f"no instrument {name!r} is listed; there are: {', '.join(there) or 'none'}"
            raise Misuse(message)
    found = tuple(one for one in found if one.name in named or not named)
    if json:
        head = _head(plant, day_at(at_ms, plant.zone))
        told = [
            {**_instrument_json(one), "studies": studies_json(plant, one.name)} for one in found
        ]
        write_json({**head, "instruments": told})
        return
    page = Page()
    if not named:
        page.line(f"{plant.name}: {number(len(found), 'instrument')} listed")
    _tools(page, found)
    for one in found if named else ():
        _calibrations(page, plant, one)
        print_studies(page, plant, one.name)


def reported(done: Decided, unheeded: Sequence[str]) -> None:
    """Say that a report is in the record, and for what it counts for nothing as things stand."""
    page = Page()
    page.line(f"Entry {done.seq}: report {done.about} is entered by {done.named[0]}.")
    for line in unheeded:
        page.item(line)


def withdrawn(done: Decided) -> None:
    """Say that a report no longer counts."""
    Page().line(f"Entry {done.seq}: report {done.about} is withdrawn by {done.named[0]}.")


def calibrated(done: Decided) -> None:
    """Say that a calibration is in the record."""
    Page().line(f"Entry {done.seq}: calibration of {done.about} is entered by {done.named[0]}.")


def _calibrations(page: Page, plant: Plant, one: Instrument) -> None:
    """Print every calibration of an instrument, with when it was entered, and by whom."""
    many = number(len(one.calibrations), "calibration")
    page.heading(f"{one.name}: {many}")
    marks = entered.marks(plant.code, [each.seq for each in one.calibrations])
    named = Named.of(plant)
    rows = [
        (
            str(each.seq),
            str(each.done),
            "pass" if each.passed else "FAIL",
            each.certificate,
            str(each.due or ""),
            each.as_found,
            each.as_left,
            local(marks[each.seq].recorded_at, plant.zone),
            named(each.by),
        )
        for each in one.calibrations
    ]
    columns = (
        "!entry>",
        "!done",
        "!result",
        "certificate",
        "holds until",
        "as found",
        "as left",
        "!entered",
        "by",
    )
    page.table(columns, rows)


def _head(plant: Plant, day: date) -> dict[str, Any]:
    return {
        **plant.about,
        "day": day.isoformat(),
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _due_json(one: Due) -> dict[str, Any]:
    last = one.last
    return {
        "product": one.product,
        "plan": one.plan,
        "characteristic": one.characteristic,
        "evidence": one.evidence,
        "every": one.every,
        "specimens": one.specimens,
        "method": one.method,
        "state": one.state,
        "next_due": _iso(one.next_due),
        "in_days": one.in_days,
        "last_sampled": None if last is None else _iso(last.sampled),
        "last_source": "" if last is None else last.source,
        "last_result": "" if last is None else last.result,
        "last_passed": None if last is None else last.passed,
        "covers_until": None if last is None else _iso(last.until),
        "waiting": list(one.waiting),
    }


def _report_json(one: Report) -> dict[str, Any]:
    return {
        "report": one.number,
        "laboratory": one.laboratory,
        "products": list(one.products),
        "characteristic": one.characteristic,
        "method": one.method,
        "specimens": one.specimens,
        "conditioned_h": None if one.conditioned_h is None else f"{one.conditioned_h:f}",
        "result": one.result,
        "sampled": _iso(one.sampled),
        "tested": _iso(one.tested),
        "issued": _iso(one.issued),
        "expires": _iso(one.expires),
        "file": one.file,
        "entry": one.seq,
        "by": one.by,
        "withdrawn": one.withdrawn,
        "withdrawn_by": one.withdrawn_by,
    }


def _instrument_json(one: Instrument) -> dict[str, Any]:
    return {
        "instrument": one.name,
        "what": one.what,
        "place": one.place,
        "every": one.every,
        "state": one.state,
        "holds_until": _iso(one.status.due),
        "in_days": one.in_days,
        "calibrations": [
            {
                "done": _iso(each.done),
                "passed": each.passed,
                "certificate": each.certificate,
                "due": _iso(each.due),
                "as_found": each.as_found,
                "as_left": each.as_left,
                "entry": each.seq,
                "by": each.by,
            }
            for each in one.calibrations
        ],
    }
