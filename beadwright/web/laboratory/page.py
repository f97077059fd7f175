"""What the laboratory's pages show.

Read :func:`bench_page` and :func:`sheet_of`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from beadwright.errors import Fault
from beadwright.interop.keyed import Likely, fields_of
from beadwright.lab.reduction import Figure, Reduction
from beadwright.plant.bench_limits import AtBench
from beadwright.plant.calibrations import is_by_instrument
from beadwright.plant.conditioning import SampleLot
from beadwright.plant.departed import Departed, unrecorded
from beadwright.plant.dues import Due
from beadwright.plant.kept_curves import Waiting
from beadwright.plant.laboratory import Laboratory
from beadwright.plant.sample_words import STATES, standing
from beadwright.plant.words import capital, in_runs, number
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.conditions import CURVE, CUT_AT, SAMPLE
from beadwright.units import System, accepted
from beadwright.web.laboratory.bench import CURVES, GROUPS, TESTS, BenchTest, Curve
from beadwright.web.laboratory.form import FIGURE, Worked
from beadwright.web.stations import sheet as stations_sheet
from beadwright.web.stations.fits import Fits
from beadwright.web.stations.page import Box, boxes, fitted
from beadwright.web.stations.sheet import Boxes, Doing, labelled
from beadwright.web.stations.stood import stood_of

__all__ = [
    "BenchPage",
    "DueRow",
    "Group",
    "ResultSheet",
    "SampleRow",
    "WayPart",
    "bench_page",
    "sheet_of",
    "stands_at",
    "told_of",
]

_SORTS = {"ready": "good", "conditioning": "ask", "not_begun": "stop", "retained": "note"}
_DUE = {
    "failed": ("stop", "failed"),
    "overdue": ("stop", "overdue"),
    "never": ("stop", "never done"),
    "due_soon": ("ask", "due soon"),
    "in_time": ("good", "in time"),
}
_FORM = "/laboratory/result/"
_WAITING = 8
_OTHERS, _KNOWN = "with the others", "if it is known"
_FOLLOWING = frozenset({"lot", "specimen"})
_APART = "Several numbers stand apart: 100.1 100.3 100.2"
_BY_HABIT = "Look at it: where the file's kept layout names no machine, it is the last one used."
_BESIDE = (SAMPLE, "method", "instrument", CUT_AT, CURVE, "uncertainty", "at")
"""Fields that are filled in already, or hardly ever keyed."""
_LABELS = {
    "temperature": "Room of conditioning",
    "humidity": "Humidity of that room",
    "conditioned": "Conditioned for",
    "exposed": "Exposed for",
    "exposed_at": "Exposed at",
    "exposed_humidity": "Exposed at humidity",
    "age": "Age of the piece",
    "cut_at": "Where in the block it lay",
    "curve": "The kept curve it was read from",
    "uncertainty": "Its standard uncertainty",
}


@dataclass(frozen=True, slots=True)
class SampleRow:
    """One sample."""

    code: str
    lot: str
    pieces: str
    place: str
    sort: str
    state: str
    words: str
    ways: tuple[tuple[str, str], ...]
    """To the form of each test that it is ready for: address and words."""


@dataclass(frozen=True, slots=True)
class DueRow:
    """One test that is due."""

    product: str
    title: str
    to: str
    """Address of its form; empty where it has none."""
    sort: str
    state: str
    words: str
    waiting: str


@dataclass(frozen=True, slots=True)
class Group:
    """Tests that are about the same."""

    title: str
    ways: tuple[Doing, ...]


@dataclass(frozen=True, slots=True)
class BenchPage:
    """The laboratory's first page."""

    samples: tuple[SampleRow, ...]
    due: tuple[DueRow, ...]
    in_time: int
    groups: tuple[Group, ...]
    curves: tuple[Curve, ...]
    waiting: tuple[Waiting, ...]
    """The newest curves that are kept and not keyed."""
    older: int
    """How many more there are."""


@dataclass(frozen=True, slots=True)
class WayPart:
    """One way to work a result out, as it is shown."""

    formula: str
    figures: tuple[tuple[Box, str], ...]
    """Each with what its being left out means."""
    counted: bool = False
    """Whether it is what a person counts: nobody has its result before."""

    @property
    def open(self) -> bool:
        """Whether its figures stand open: any is keyed, or wrong, or they are counted."""
        return self.counted or any(one.text or one.wrong for one, _ in self.figures)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultSheet(stations_sheet.Sheet):
    """One test's form as it is shown."""

    act: BenchTest
    conditions: tuple[Box, ...]
    ways: tuple[WayPart, ...]
    """What its result can be worked out from."""
    worked: str
    """The result as it was worked out; empty where it was not."""
    asks: tuple[tuple[str, str, str], ...]
    """What the method asks: of what, between which bounds, by which source."""
    otherwise: tuple[str, ...] = ()
    unrecorded: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    """How the result stands to the limits of its lot's product."""
    seen: str = ""
    """Stands for the departures that are shown: they are recorded once they were seen."""
    stood: tuple[str, ...] = ()
    """The lot and the specimen that was proposed for it; empty where its number is given."""
    anew: tuple[Box, ...] = ()
    """The specimen, where another is proposed than was."""

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Every field that stands on it."""
        return (*self.asked, *self.conditions, *self.filled)

    @property
    def of_conditions(self) -> Boxes:
        """Conditions that the method asks about."""
        return Boxes(self.conditions)


def stands_at(kind: str, texts: Mapping[str, str]) -> tuple[str, ...]:
    """Give what a specimen's number was proposed for: it follows the lot that is keyed."""
    return tuple(one for one in stood_of(kind, texts) if one.partition("=")[0] in _FOLLOWING)


def bench_page(found: Laboratory, zone: ZoneInfo, *, keys: bool) -> BenchPage:
    """Give the first page; ``keys``: whether its reader may key results."""
    return BenchPage(
        tuple(_sample(one, zone, found.at_ms, keys=keys) for one in found.samples),
        tuple(_due(one, keys=keys) for one in found.due),
        found.in_time,
        tuple(Group(title, tuple(_way(one) for one in tests)) for title, tests in GROUPS.items())
        if keys
        else (),
        CURVES,
        found.curves[:_WAITING],
        len(found.curves[_WAITING:]),
    )


def _way(test: BenchTest) -> Doing:
    return Doing(_to(test.name), test.title, test.says, f"test-{test.name}", now=False)


def _to(test: str, **known: str) -> str:
    said = {name: text for name, text in known.items() if text}
    return f"{_FORM}?{urlencode({'test': test, **said})}"


def _sample(one: SampleLot, zone: ZoneInfo, at_ms: int, *, keys: bool) -> SampleRow:
    ready = one.ready_for(at_ms) if keys and one.fate != "retained" else ()
    return SampleRow(
        one.code,
        one.lot,
        number(one.pieces, "piece"),
        one.place,
        _SORTS[one.state],
        STATES[one.state],
        standing(one, zone, at_ms),
        tuple((_to(name, sample=one.code), TESTS[name].title) for name in ready if name in TESTS),
    )


def _due(one: Due, *, keys: bool) -> DueRow:
    sort, state = _DUE[one.state]
    last = f"; last {one.last.result}, {one.last.source}" if one.last is not None else ""
    when = f"by {one.next_due}" if one.next_due is not None else "as soon as it can be"
    title = one.characteristic.replace("_", " ")
    lot = one.waiting[0] if one.waiting else ""
    return DueRow(
        one.product,
        title,
        _to(one.characteristic, lot=lot) if keys and one.characteristic in TESTS else "",
        sort,
        state,
        f"{when}, {one.method or 'no method stated'}, {number(one.specimens, 'specimen')}{last}",
        in_runs(one.waiting) if one.waiting else "",
    )


def sheet_of(
    test: BenchTest,
    likely: Likely,
    shown: tuple[System, Fits],
    wrong: Mapping[str, tuple[Fault, ...]] | None = None,
    work: Worked | None = None,
) -> ResultSheet:
    """Give a test's form with what stands in it."""
    system, fits = shown
    some = fitted(boxes(test.kind, likely, system, wrong or {}), fits)
    by_name = labelled(test, some, {(test.name, one): word for one, word in _LABELS.items()}, ())
    asked = [by_name[name] for name in test.asked]
    tool = by_name["instrument"]
    must = not test.ways
    keyed = bool(likely.texts.get(CURVE))
    if keyed:
        tool = replace(tool, hint=_BY_HABIT)
    # Where nothing says with what it is likely taken, that is keyed, and not folded away; nor is
    # the machine of a file, which may be filled in by habit.
    tools = (tool,) if is_by_instrument(test.name) and (keyed or not tool.text) else ()
    counted = CHARACTERISTICS[test.name].by_hand
    first = replace(asked[-1], label="Result", focus=not (keyed or counted), required=must)
    asks = () if test.method is None else test.method.conditions
    return ResultSheet(
        act=test,
        likely=likely,
        asked=(*(replace(one, focus=keyed and not at) for at, one in enumerate(asked[:-1])), first,
               *tools),
        conditions=tuple(by_name[name] for name in test.conditions if name in by_name),
        ways=tuple(_way_part(test, one, work) for one in test.ways),
        filled=tuple(
            by_name[one.name]
            for one in fields_of(test.kind)
            if one.name in _BESIDE and (one.name != "instrument" or not tools)
        ),
        worked="" if work is None else work.said,
        asks=tuple((one.what, one.asked, one.source) for one in asks),
        says=(f"{capital(CHARACTERISTICS[test.name].quantity)}.",),
        fits=fits,
    )  # fmt: skip


def _way_part(test: BenchTest, way: Reduction, work: Worked | None) -> WayPart:
    alone = len(way.figures) == 1
    boxes_ = tuple(
        (_figure_box(one, work), "" if alone else _OTHERS if one.required else _KNOWN)
        for one in way.asked
    )
    return WayPart(way.formula, boxes_, counted=CHARACTERISTICS[test.name].by_hand)


def _figure_box(one: Figure, work: Worked | None) -> Box:
    name = f"{FIGURE}{one.name}"
    sent: Mapping[str, str] = {} if work is None else work.sent.dict()  # type: ignore[assignment]
    bare = one.unit == "1"
    return Box(
        name,
        one.label,
        sent.get(name, ""),
        "" if bare else sent.get(f"unit-{name}", "") or one.unit,
        () if bare else accepted(one.kind),
        _APART if one.sort == "numbers" else one.hint,
        "" if work is None else work.wrong.get(one.name, ""),
        required=False,
        choices=(),
        scan=False,
        mode="decimal" if one.sort == "number" else "",
    )


def told_of(
    form: ResultSheet, found: Sequence[Departed], limits: Sequence[AtBench] = ()
) -> ResultSheet:
    """Give the form with what its test was otherwise than the method asks, and its limits."""
    otherwise = tuple(one.sentence for one in found if one.was_recorded)
    missing = unrecorded(found)
    return replace(
        form,
        otherwise=otherwise,
        unrecorded=missing,
        seen=_print((*otherwise, *missing)),
        limits=tuple(one.words for one in limits),
    )


def _print(sentences: Iterable[str]) -> str:
    text = "\n".join(sentences)
    return hashlib.sha256(text.encode()).hexdigest()[:16] if text else ""
