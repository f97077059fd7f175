"""What the body of a decision must hold, so that the questions asked of it can be answered.

Read :func:`decision_faults`. A kind that is not in :data:`MUST` is taken as it is; one that is,
is refused where a part cannot be read, for nothing in the record is taken back.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from itertools import pairwise

from beadwright.errors import BeadwrightError, Fault
from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import Decision
from beadwright.plant.as_found import as_found_fault
from beadwright.plant.calibrated import calibration_faults
from beadwright.plant.frequency import day_of
from beadwright.plant.gauge_studies.recorded import BANDS, NEEDED, study_faults
from beadwright.plant.recall.stages import STAGES
from beadwright.plant.signing import signing_faults
from beadwright.plant.uncertainty import is_uncertainty
from beadwright.quality.characteristics import CHARACTERISTICS, Scale, is_change, kind_of
from beadwright.units import factor, parse_number

__all__ = ["MAY", "MUST", "ORDERED", "decision_faults"]

_Check = Callable[[object], str]
"""Says what a value must be; empty where it is."""

_SHA = re.compile(r"[0-9a-f]{64}")
_WORDS = ("pass", "fail")


def _text(value: object) -> str:
    fit = isinstance(value, str) and bool(value.strip())
    return "" if fit else f"must be text{'' if value else ', and is not stated'}"


def _free(value: object) -> str:
    return "" if isinstance(value, str) else "must be text"


def _texts(value: object) -> str:
    fit = isinstance(value, list | tuple) and value and not any(map(_text, value))
    return "" if fit else f'must be a list of names, as ["FB6S"]{"" if value else ", and is empty"}'


def _truth(value: object) -> str:
    return "" if isinstance(value, bool) else "must be true or false"


def _whole(value: object) -> str:
    fit = isinstance(value, int) and not isinstance(value, bool) and value >= 0
    return "" if fit else "must be a whole number"


def _day(value: object) -> str:
    try:
        day_of(str(value))
    except ValueError:
        return "must be a day, as 2026-09-01"
    return ""


def _hours(value: object) -> str:
    try:
        fit = isinstance(value, str) and parse_number(value, decimal=".") >= 0
    except BeadwrightError:
        fit = False
    return "" if fit else 'must be hours in digits, as "48"'


def _uncertainty(value: object) -> str:
    fit = is_uncertainty(value)
    return "" if fit else 'must be a standard uncertainty with its unit, as "0.005 kg", or "0.5 %"'


def _word(value: object) -> str:
    return "" if value in _WORDS else "must be pass or fail"


def _hash(value: object) -> str:
    fit = isinstance(value, str) and (not value or _SHA.fullmatch(value))
    return "" if fit else "must be a SHA-256 in 64 digits of 0-9 and a-f"


def _sha(value: object) -> str:
    return _hash(value or None)


def _stage(value: object) -> str:
    return "" if value in STAGES else f"must be one of {', '.join(STAGES)}"


def _sort(value: object) -> str:
    return "" if value in NEEDED else f"must be one of {', '.join(NEEDED)}"


def _band(value: object) -> str:
    return "" if value in BANDS else f"must be one of {', '.join(BANDS)}"


def _figures(value: object) -> str:
    return "" if isinstance(value, Mapping) and value else "must be figures, each with its unit"


def _layout(value: object) -> str:
    try:
        body = json.loads(value) if isinstance(value, str) else None
    except ValueError:
        body = None
    fit = isinstance(body, dict) and {"form", "headings", "units", "answers"} <= body.keys()
    return "" if fit else "must be a layout of a load frame's files, as JSON"


def _share(value: object) -> str:
    try:
        fit = 0 < float(str(value)) < 1
    except ValueError:
        fit = False
    return "" if fit else "must be a share between 0 and 1"


def _or_none(check: _Check) -> _Check:
    return lambda value: "" if value == "" else check(value)


MUST: Mapping[str, Mapping[str, _Check]] = {
    "report": {
        "laboratory": _text,
        "products": _texts,
        "characteristic": _text,
        "result": _text,
        "sampled": _day,
    },
    "report_withdrawn": {"reason": _text},
    "calibration": {"done": _day, "result": _word},
    "frame_layout": {"layout": _layout},
    "gauge_study": {
        "of": _text,
        "sort": _sort,
        "done": _day,
        "band": _band,
        "figures": _figures,
        "sheet": _sha,
    },
    "recall": {"stage": _stage},
    "certificate": {"lot": _text, "content": _text, "sha256": _sha, "set_by": _text},
}
"""Parts that the body of each kind has, and what each must be."""

MAY: Mapping[str, Mapping[str, _Check]] = {
    "report": {
        "method": _free,
        "specimens": _whole,
        "uncertainty": _or_none(_uncertainty),
        "conditioned_h": _or_none(_hours),
        "tested": _or_none(_day),
        "issued": _or_none(_day),
        "expires": _or_none(_day),
        "file": _hash,
        "kept": _free,
    },
    "report_withdrawn": {"characteristic": _free},
    "recall": {
        "reason": _free,
        "starts": _texts,
        "rehearsed": _truth,
        "note": _free,
        "found": _free,
        "narrowed_below": _share,
        "narrowed_tested": _text,
    },
    "gauge_study": {
        "name": _free,
        "tolerance": _free,
        "tolerance_source": _free,
        "decimal": _free,
    },
    "calibration": {
        "certificate": _free,
        "due": _or_none(_day),
        "as_found": as_found_fault,
        "as_left": as_found_fault,
        "uncertainty": _or_none(_uncertainty),
    },
}
"""Parts that the body may have besides; it has no others."""

ORDERED: Mapping[str, tuple[str, ...]] = {
    "report": ("sampled", "tested", "issued", "expires"),
    "calibration": ("done", "due"),
}
"""Days that cannot come in another order."""

_FIRST_ON_EARTH = timezone(timedelta(hours=14))
"""Where a day begins before it does anywhere else."""

_REMEDY = "State it anew; the manual's page on evidence lists what each must hold."


def decision_faults(
    draft: Decision, zone: tzinfo = _FIRST_ON_EARTH, every: str = ""
) -> list[Fault]:
    """Every part of a decision that could not be read later, or had not come when it was posted.

    ``zone`` is the plant's: what day it was there. Without it, any day that had begun anywhere.
    ``every`` is how often the instrument of a calibration is calibrated, where that is known.
    """
    if draft.kind not in MUST:
        return signing_faults(draft) or _complaint_ahead(draft, zone)
    name = f"{draft.kind} {draft.about}".strip()
    wrong = [
        Fault("bad_decision", f"{name}: {what}", value, draft.key, _REMEDY)
        for value, what in _wrong(draft, every)
    ]
    return wrong or [
        Fault("time_ahead", f"{name}: {what}", value, draft.key, "Correct the day.")
        for value, what in _ahead(draft, zone)
    ]


def _wrong(draft: Decision, every: str) -> Iterator[tuple[str, str]]:
    body, must, may = draft.body, MUST[draft.kind], MAY.get(draft.kind, {})
    try:
        canonical({key: list(v) if isinstance(v, tuple) else v for key, v in body.items()})
    except BeadwrightError as error:
        yield "", str(error)
        return
    if not draft.about.strip():
        yield "", "nothing says what it is about: a report's number, an instrument's name"
    found = False
    for key, check in [*must.items(), *((k, c) for k, c in may.items() if k in body)]:
        what = check(body.get(key, ""))
        if what:
            found = True
            yield str(body.get(key, "")), f"{key} {what}"
    for key in body.keys() - must.keys() - may.keys():
        yield str(body[key]), f"it knows no {key!r}"
    if not found:
        yield from _unmeant(draft, every)


def _unmeant(draft: Decision, every: str) -> Iterator[tuple[str, str]]:
    """Give what cannot be meant of a decision whose parts can be read one by one."""
    body = draft.body
    yield from _out_of_order(draft)
    if draft.kind == "calibration":
        today = datetime.fromtimestamp(draft.happened_at / 1000, UTC).date()
        yield from calibration_faults(body, every, today)
    if draft.kind == "gauge_study":
        yield from study_faults(body)
    if draft.kind == "report":
        what = _result(str(body["characteristic"]), str(body["result"]))
        if what:
            yield str(body["result"]), f"result {what}"


def _out_of_order(draft: Decision) -> Iterator[tuple[str, str]]:
    days: list[tuple[str, date]] = [
        (key, day_of(str(draft.body[key])))
        for key in ORDERED.get(draft.kind, ())
        if draft.body.get(key)
    ]
    for (early, first), (late, then) in pairwise(days):
        if then < first:
            yield then.isoformat(), f"{late} is before {early}, {first.isoformat()}"


def _ahead(draft: Decision, zone: tzinfo) -> Iterator[tuple[str, str]]:
    """Say which days had not come when it was entered."""
    today = datetime.fromtimestamp(draft.happened_at / 1000, zone).date()
    for key in ("sampled", "tested", "issued", "done"):
        if draft.body.get(key) and day_of(str(draft.body[key])) > today:
            yield str(draft.body[key]), f"{key} lies in the future; it was entered on {today}"


def _complaint_ahead(draft: Decision, zone: tzinfo) -> list[Fault]:
    """Say where a complaint came on a day that had not come; what cannot be read is said later."""
    complaint = draft.body.get("complaint") if draft.kind == "nc_open" else None
    received = complaint.get("received") if isinstance(complaint, Mapping) else None
    today = datetime.fromtimestamp(draft.happened_at / 1000, zone).date()
    if _day(received) or day_of(str(received)) <= today:
        return []
    what = f"{draft.about}: the complaint's day lies in the future; it was entered on {today}"
    return [Fault("time_ahead", what, str(received), draft.key, "Correct the day.")]


def _result(characteristic: str, result: str) -> str:
    """Say what is wrong with a result: a word, or a number with a unit of its characteristic."""
    if result in _WORDS:
        return ""
    known = CHARACTERISTICS.get(characteristic)
    if known is not None and known.scale is Scale.GRADE:
        return "" if result in known.grades else f"must be {' or '.join(known.grades)}"
    kind = kind_of(characteristic)
    if kind is None:
        return "must be pass or fail, for nothing here judges a figure of it"
    number, _, unit = result.partition(" ")
    try:
        value = parse_number(number, decimal=".")
        factor(unit, kind)
    except BeadwrightError as error:
        return f'must be a number and a unit of {kind}, as "17.4 psi": {error}'
    return "must not be below zero" if value < 0 and not is_change(characteristic) else ""
