"""What stops a lot from above: holds and nonconformities that reach it, and by which path of lots.

Read :func:`causes_of` first. Which causes reach a lot is the fold's answer; the path is looked for
step by step, back from the lot, never past a time a place was swept empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from beadwright.ledger import holds, lots
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.settings import Settings
from beadwright.quality import standing

__all__ = ["Upstream", "causes_of", "local", "zone_of"]

_DEEPEST = 12
"""Steps a path is followed back; reclaim may go round for ever."""

_HOLD = "hold:"
_OF_GRADE = frozenset({"wrong_grade", "reclaim_in_block"})


@dataclass(frozen=True, slots=True)
class Upstream:
    """A hold or nonconformity that reaches a lot."""

    cause: str
    code: str
    """Code of the nonconformity, or ``on_hold``."""
    sentence: str
    lot: str
    """The offending lot, or the one put on hold; empty where the step itself offends."""
    step: str
    """Client key of the step that did not conform; of a hold, empty."""
    at_ms: int
    at: str
    """That time, in the plant's zone."""
    path: str
    """How it came from there into the lot, in words."""
    closed: bool
    """Whether a concession closed it; a hold that was lifted does not reach the lot at all."""
    conceded: str = ""
    """The concession's reason."""


class _Start(NamedTuple):
    """A lot to look back from, and from when."""

    lot: str
    what: str = ""
    until: int = 2**62


class _Leg(NamedTuple):
    """One step of a path: from which lot, into which, when."""

    source: str
    into: str
    at_ms: int


_Found = Callable[[lots.Making, lots.Ingredient], bool]
"""Recognises a step, and a lot that went into it, as what is looked for."""


@dataclass(slots=True)
class _Walk:
    """Makings, sweeps and grades of lots, read as they are needed and kept for the next lot."""

    plant_no: int
    zone: ZoneInfo
    settings: Settings
    makings: dict[str, Sequence[lots.Making]] = field(default_factory=dict)
    swept: dict[str, list[int]] = field(default_factory=dict)
    grades: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def read(self, codes: Iterable[str]) -> None:
        """Read the makings of lots not yet known."""
        new = sorted(set(codes) - self.makings.keys())
        if new:
            found = lots.makings(self.plant_no, new)
            for code in new:
                self.makings[code] = found.get(code, ())

    def read_grades(self, codes: Iterable[str]) -> None:
        """Read the grades of what went into lots whose makings are known."""
        inputs = {one.lot for code in codes for m in self.makings[code] for one in m.inputs}
        for code, view in lots.get_many(self.plant_no, sorted(inputs - self.grades.keys())).items():
            self.grades[code] = view.grades

    def into(self, code: str, what: str, until: int) -> Iterable[lots.Making]:
        """Makings of a lot up to a time, newest first, back to when it was last swept empty."""
        since = -1
        if what == "content":
            if code not in self.swept:
                touched = lots.touches(self.plant_no, code)
                self.swept[code] = [t.at_ms for t in touched if t.kind == "swept_empty"]
            since = max((at for at in self.swept[code] if at <= until), default=-1)
        for making in reversed(self.makings[code]):
            if since <= making.at_ms <= until:
                yield making

    def path(self, start: _Start, found: _Found, *, grades: bool = False) -> list[_Leg] | None:
        """Give the legs from what is looked for down to a lot; the fewest, then the newest."""
        legs: dict[str, list[_Leg]] = {start.lot: []}
        level = [start]
        for _ in range(_DEEPEST):
            self.read(one.lot for one in level)
            if grades:
                self.read_grades(one.lot for one in level)
            coming: list[_Start] = []
            for code, what, until in level:
                for making in self.into(code, what, until):
                    for one in making.inputs:
                        leg = _Leg(one.lot, code, making.at_ms)
                        if found(making, one):
                            return [leg, *legs[code]]
                        if one.lot not in legs:
                            legs[one.lot] = [leg, *legs[code]]
                            coming.append(_Start(one.lot, one.what, making.at_ms))
            level = coming
        return None


def causes_of(
    plant_no: int,
    views: Mapping[str, lots.LotView],
    makings: Mapping[str, Sequence[lots.Making]],
    settings: Settings,
) -> dict[str, tuple[Upstream, ...]]:
    """Everything that reaches each lot, open before closed, oldest first."""
    marked = {code: view.causes for code, view in views.items() if view.causes}
    if not marked:
        return {}
    causes = {cause for marks in marked.values() for cause in marks}
    flawed = [cause for cause in causes if not cause.startswith(_HOLD)]
    by_cause: dict[str, list[holds.Nonconformity]] = {}
    for one in holds.nonconformities(plant_no, flawed) if flawed else ():
        by_cause.setdefault(one.cause, []).append(one)
    placed = standing.holds_placed(plant_no)
    conceded = standing.concessions(plant_no)
    walk = _Walk(plant_no, zone_of(settings), settings, dict(makings))
    walk.read(one.lot for code in marked for m in walk.makings.get(code, ()) for one in m.inputs)
    found: dict[str, tuple[Upstream, ...]] = {}
    for code, marks in marked.items():
        start = _Start(code, views[code].what)
        reached: list[Upstream] = []
        for cause in marks:
            if cause.startswith(_HOLD):
                reached.append(_of_hold(start, cause, placed, walk))
            else:
                reason = conceded[cause].reason if cause in conceded else ""
                reached += _of_flaws(start, by_cause.get(cause, ()), walk, reason)
        found[code] = tuple(sorted(reached, key=lambda u: (u.closed, u.at_ms, u.cause, u.step)))
    return found


def zone_of(settings: Settings) -> ZoneInfo:
    """Give the plant's time zone; UTC where none was set."""
    for _, body in settings.all("plant", 2**62):
        return ZoneInfo(str(body.get("zone", "UTC")))
    return ZoneInfo("UTC")


def local(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as the plant's clock showed it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")


def _of_hold(
    start: _Start, cause: str, placed: Mapping[str, standing.Decided], walk: _Walk
) -> Upstream:
    name, _, at_text = cause[len(_HOLD) :].rpartition("@")
    hold = placed.get(name)
    named = frozenset(hold.lots) if hold is not None else frozenset()
    at_ms = int(at_text)
    legs: list[_Leg] = []
    if start.lot not in named:
        legs = walk.path(start, lambda _, source: source.lot in named) or []
    lot = legs[0].source if legs else start.lot
    reason = hold.reason if hold is not None else ""
    by = f" by {hold.by}" if hold is not None and hold.by else ""
    at = local(at_ms, walk.zone)
    sentence = f"hold {name} on {lot}, placed {at}{by}: {reason}"
    return Upstream(
        cause, "on_hold", sentence, lot, "", at_ms, at, _words(legs, walk.zone), closed=False
    )


def _of_flaws(
    start: _Start, flaws: Iterable[holds.Nonconformity], walk: _Walk, reason: str
) -> list[Upstream]:
    """Tell the nonconformities of one cause that lie on a lot's way; all where no way is found."""
    near: list[Upstream] = []
    far: list[Upstream] = []
    flaws = list(flaws)
    shut = all(flaw.closed for flaw in flaws)  # a cause is closed when all that share it are
    for flaw in flaws:
        legs = walk.path(start, _at(flaw))
        if legs and flaw.code in _OF_GRADE:
            legs = [*_origin(flaw, walk), *legs]
        at = local(flaw.at_ms, walk.zone)
        one = Upstream(
            flaw.cause, flaw.code, flaw.detail, flaw.lot, flaw.step, flaw.at_ms, at,
            _words(legs or [], walk.zone), shut, reason if shut else "",
        )  # fmt: skip
        (far if legs is None else near).append(one)
    return near or far


def _at(flaw: holds.Nonconformity) -> _Found:
    """Recognise the step that did not conform, by the offending lot where there is one."""

    def found(making: lots.Making, source: lots.Ingredient) -> bool:
        offends = not flaw.lot or source.lot == flaw.lot
        return making.step == flaw.step and offends

    return found


def _origin(flaw: holds.Nonconformity, walk: _Walk) -> list[_Leg]:
    """Give the legs from the newest bag that brought the wrong grade into the offending place."""
    product = next(
        (m.product for ms in walk.makings.values() for m in ms if m.step == flaw.step), ""
    )
    approved = walk.settings.at("approved", product, flaw.at_ms) or {}
    listed = approved.get("grades", ())
    right = {str(g) for g in listed} if isinstance(listed, Sequence) else set()

    def found(_: lots.Making, source: lots.Ingredient) -> bool:
        marks = set(walk.grades.get(source.lot, ()))
        wrong = {RECLAIM} & marks if flaw.code == "reclaim_in_block" else marks - right - {RECLAIM}
        return source.what != "content" and bool(wrong)

    start = _Start(flaw.lot, "content", flaw.at_ms)
    return walk.path(start, found, grades=True) or []


def _words(legs: Sequence[_Leg], zone: ZoneInfo) -> str:
    return ", ".join(f"{leg.source} into {leg.into} {local(leg.at_ms, zone)}" for leg in legs)
