"""A naive twin of the projections: the record's bodies, sorted, and one plain loop.

Written from the design alone, for comparison: it shares no code with the ledger's fold, keeps sets
where that keeps texts, and always starts from nothing. Read :func:`twin` first.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor
from typing import Any

__all__ = ["Lot", "Picture", "Said", "Settings", "Step", "twin"]

_RANKS = (
    ("swept_empty", 0), ("hold", 1), ("receipt", 2), ("return", 2), ("run_open", 2), ("expand", 3),
    ("fill", 4), ("draw", 5), ("mould", 6), ("produce", 7), ("inspect", 8), ("split", 9),
    ("merge", 10), ("move", 11), ("sample", 12), ("bundle", 13), ("ship", 14), ("scrap", 15),
    ("strip", 16), ("grind", 17), ("densify", 18), ("dispose", 19), ("ran_empty", 20),
    ("weigh", 21), ("stocktake", 22), ("run_close", 23), ("relabel", 24), ("first_piece", 25),
    ("mould_change", 26), ("lift", 30),
)  # fmt: skip
RANK = dict(_RANKS)

Json = Mapping[str, Any]
Said = tuple[int, str, Json]
"""An entry: seq, kind, what was drafted."""


@dataclass
class Lot:
    """A lot as the loop goes by."""

    code: str
    kind: str
    what: str
    own: frozenset[str]
    unit_mg: int
    product: str = ""
    mg: int = 0
    pieces: int = 0
    in_mg: int = 0
    first: int | None = None
    last: int | None = None
    grades: set[str] = field(default_factory=set)
    causes: set[str] = field(default_factory=set)
    place: str = ""
    reclaim: int = 0

    def shown(self) -> tuple[Any, ...]:
        """What the projections keep of it."""
        clocks = (self.first, self.last)
        marks = (tuple(sorted(self.grades)), tuple(sorted(self.causes)))
        return (self.mg, self.pieces, self.in_mg, *clocks, *marks, self.place, self.reclaim)


@dataclass
class Step:
    """A step, a hold or a lift, at its place in the order."""

    key: str
    kind: str
    at: int
    order: tuple[int, str]
    lines: list[Json]
    said: Json


class Settings:
    """Dated settings, looked through from the first to the last each time."""

    def __init__(self, entries: Iterable[Said]) -> None:
        """Keep what the setting and release entries say, in order of seq."""
        self._said = [d for _, kind, d in entries if kind == "setting"]
        self._releases = [d for _, kind, d in entries if kind == "release"]

    def released(self, lot: str, at: int, persons: int) -> bool:
        """Whether so many people had approved one and the same evidence."""
        given = [d for d in self._releases if d["lot"] == lot and d["happened_at"] <= at]
        return any(
            len({d.get("by", "") for d in given if d["evidence"] == evidence}) >= persons
            for evidence in {d["evidence"] for d in given}
        )

    def at(self, topic: str, name: str, at: int) -> Json | None:
        """The newest body in force."""
        best: tuple[int, Json] | None = None
        for said in self._said:
            since = said.get("since", said["happened_at"])
            if (said["topic"], said["name"]) == (topic, name) and since <= at:
                best = (since, said["body"]) if best is None or since >= best[0] else best
        return None if best is None else best[1]


Flaw = tuple[str, str | None]
Rules = Callable[[Step, Mapping[str, Lot], list[tuple[Json, int, int]], Settings], list[Flaw]]
"""``rules(step, lots before it, draws with what was missing, settings)``: code and lot."""


@dataclass
class Picture:
    """What follows from a record."""

    lots: dict[str, Lot] = field(default_factory=dict)
    findings: list[tuple[str, str, str, str]] = field(default_factory=list)
    """Step, code, lot or nothing, cause."""
    touches: list[tuple[Any, ...]] = field(default_factory=list)
    """Step, lot, direction, mass, pieces, missing mass and pieces, and the lot after it."""
    lost: int = 0
    received: int = 0


def twin(entries: Iterable[Said], rules: Rules) -> Picture:
    """Everything the projections should say of a record."""
    said = sorted(entries, key=lambda one: one[0])
    steps, introduced = _newest(said)
    picture = Picture({code: _lot(new) for code, new in introduced.items()})
    settings = Settings(said)
    conceded = [
        (d["cause"].split("#")[0], d["happened_at"]) for _, kind, d in said if kind == "concession"
    ]
    for step in sorted(steps, key=lambda one: (one.order[0], _tie(one.order[1]))):
        _apply(picture, step, (rules, settings, conceded))
    return picture


def _tie(key: str) -> int:
    return int(hashlib.sha256(key.encode()).hexdigest()[:16], 16) // 2


def _newest(said: list[Said]) -> tuple[list[Step], dict[str, Json]]:
    """The newest version of each step that was not undone, and of what is said of each lot."""
    newest: dict[str, Json] = {}
    lots: dict[str, Json] = {}
    others: list[Step] = []
    for _, kind, draft in said:
        if kind in {"step", "correct"}:
            body = draft if kind == "step" else draft["restated"]
            newest[body["key"]] = body
            for new in body.get("new_lots", ()):
                lots[new["code"]] = new
        elif kind == "reverse":
            del newest[draft["step"]]
        elif kind == "setting" and draft["topic"] == "place" and draft["body"].get("content"):
            lots.setdefault(draft["name"], {"kind": "prefoam", "what": "content"})
            lots[draft["name"]] = {**lots[draft["name"]], "code": draft["name"]}
        elif kind in {"hold", "lift"}:
            since = draft.get("since", 0) if kind == "hold" else draft["happened_at"]
            others.append(_step(draft, kind, since, [{"lot": c} for c in draft["lots"]]))
    steps = [_step(d, d["kind"], d["happened_at"], d.get("lines", [])) for d in newest.values()]
    return steps + others, lots


def _step(draft: Json, kind: str, since: int, lines: Iterable[Json]) -> Step:
    full: list[Json] = [{"mg": 0, "pieces": 0, "sign": 0, "place": "", **line} for line in lines]
    if kind in {"hold", "lift"}:
        full.sort(key=lambda line: str(line["lot"]))
    order = (since * 32 + RANK[kind], draft["key"])
    return Step(draft["key"], kind, draft["happened_at"], order, full, draft)


def _lot(new: Json) -> Lot:
    own = set(new.get("grades", ()))
    if new["kind"] in {"regrind", "densified"}:
        own.add("reclaim")
    named = (new.get("unit_mg", 0), new.get("product", ""))
    return Lot(new["code"], new["kind"], new.get("what", ""), frozenset(own), *named)


def _apply(
    picture: Picture, step: Step, law: tuple[Rules, Settings, list[tuple[str, int]]]
) -> None:
    lots = picture.lots
    before = {line["lot"]: _copy(lots[line["lot"]]) for line in step.lines}
    ins = [line for line in step.lines if line["sign"] < 0]
    outs = [line for line in step.lines if line["sign"] > 0]
    foam = [lots[i["lot"]] for i in ins if lots[i["lot"]].kind != "tie"]
    grades = {grade for lot in foam for grade in lot.grades}
    causes = {c for line in ins for c in lots[line["lot"]].causes}
    clocked = _clocked(foam)
    from_blocks = any(lots[line["lot"]].kind == "block" for line in ins)
    before_mould = _moulded_before([(i["mg"], lots[i["lot"]]) for i in ins], outs, lots)
    missing = [_draw(picture, step, line) for line in ins]
    flaws = law[0](step, before, missing, law[1])
    for code, offender in flaws:
        root = f"{code}:{offender or f'step {step.key}'}"
        given = sum(1 for r, at in law[2] if r == root and at * 32 + 31 < step.order[0])
        cause = f"{root}#{given}" if given else root
        picture.findings.append((step.key, code, offender or "", cause))
        causes.add(cause)
    for line in step.lines:
        if line["sign"] == 0:
            _say(picture, step, line)
    for line in outs:
        lot = lots[line["lot"]]
        _clock(step, lot, clocked)
        scrap = lot.kind in {"scrap", "regrind", "densified"}
        lot.causes |= _carried(lot, causes, from_blocks=from_blocks, scrap=scrap)
        lot.grades |= grades | lot.own
        lot.reclaim = _mixed(lot, line["mg"], before_mould)
        lot.mg += line["mg"]
        lot.pieces += line["pieces"]
        lot.in_mg += line["mg"]
        lot.place = line["place"] or lot.place
        _touch(picture, step, line, (0, 0))
    _count(picture, step)


def _clocked(foam: list[Lot]) -> list[tuple[str, int, int]]:
    return [
        (lot.kind, lot.first, lot.last)
        for lot in foam
        if lot.first is not None and lot.last is not None
    ]


def _moulded_before(
    ins: list[tuple[int, Lot]], outs: list[Json], lots: Mapping[str, Lot]
) -> Fraction:
    """Share of what comes out, millionths: ties that come out take none of it along."""
    mass = sum(mg for mg, _ in ins) - sum(o["mg"] for o in outs if lots[o["lot"]].kind == "tie")
    if mass <= 0 or not any(lot.reclaim for _, lot in ins):
        return Fraction(max((lot.reclaim for _, lot in ins), default=0))
    return _round(min(Fraction(10**6), Fraction(sum(mg * lot.reclaim for mg, lot in ins), mass)))


def _round(share: Fraction) -> Fraction:
    return Fraction(floor(share + Fraction(1, 2)))


def _mixed(lot: Lot, mg: int, new: Fraction) -> int:
    """Share in a lot when so much comes in; what is moulded before stays so."""
    if "reclaim" in lot.own:
        return 10**6
    if lot.kind == "tie":
        new = Fraction(0)
    if lot.mg == 0 or lot.mg + mg == 0:
        return int(new)
    return int(_round((lot.mg * lot.reclaim + mg * new) / (lot.mg + mg)))


def _carried(lot: Lot, causes: set[str], *, from_blocks: bool, scrap: bool) -> set[str]:
    """Causes that go on; blocks carry the lots they were moulded into, nothing else does."""
    if scrap:
        return {c for c in causes if c.startswith("hold:")}
    if lot.kind != "block":
        return {c for c in causes if not c.startswith("of:")}
    return causes if from_blocks else causes | {f"of:{lot.code}"}


def _clock(step: Step, lot: Lot, clocked: list[tuple[str, int, int]]) -> None:
    """Something new starts the clocks; else those of its like go on; ground foam has none."""
    first, last = step.at, step.at
    if clocked:
        source = clocked[-1][0]
        if source in {"scrap", "regrind", "densified"} and lot.kind == "prefoam":
            return
        makes = step.kind in {"expand", "receipt", "mould", "produce", "grind", "densify"}
        if not makes and source == lot.kind:
            first, last = min(c[1] for c in clocked), max(c[2] for c in clocked)
    lot.first = first if lot.first is None else min(lot.first, first)
    lot.last = last if lot.last is None else max(lot.last, last)


def _copy(lot: Lot) -> Lot:
    return Lot(**{**lot.__dict__, "grades": set(lot.grades), "causes": set(lot.causes)})


def _draw(picture: Picture, step: Step, line: Json) -> tuple[Json, int, int]:
    lot = picture.lots[line["lot"]]
    short = max(0, line["mg"] - lot.mg), max(0, line["pieces"] - lot.pieces)
    lot.mg = max(0, lot.mg - line["mg"])
    lot.pieces = max(0, lot.pieces - line["pieces"])
    lot.place = line["place"] or lot.place
    _touch(picture, step, line, short)
    return line, *short


def _say(picture: Picture, step: Step, line: Json) -> None:
    lot = picture.lots[line["lot"]]
    was = lot.mg, lot.pieces
    lot.place = line["place"] or lot.place
    if step.kind in {"swept_empty", "ran_empty"}:
        lot.mg = lot.pieces = lot.in_mg = 0
        lot.first = lot.last = None
    if step.kind == "swept_empty":
        lot.grades, lot.causes, lot.reclaim = set(), set(), 0
    elif step.kind in {"weigh", "stocktake"}:
        lot.mg, lot.pieces = line["mg"], line["pieces"]
    elif step.kind == "hold":
        lot.causes.add(f"hold:{step.said['hold']}@{step.at}")
    elif step.kind == "lift":
        lot.causes = {c for c in lot.causes if c.rpartition("@")[0] != f"hold:{step.said['hold']}"}
    _touch(picture, step, line, (lot.mg - was[0], lot.pieces - was[1]))


def _touch(picture: Picture, step: Step, line: Json, differ: tuple[int, int]) -> None:
    lot = picture.lots[line["lot"]]
    moved = (line["sign"], line["mg"], line["pieces"])
    picture.touches.append((step.key, lot.code, *moved, *differ, lot.shown()))


def _count(picture: Picture, step: Step) -> None:
    """Mass that came through the gate, and mass that left without becoming a lot."""
    moved = sum(line["sign"] * line["mg"] for line in step.lines)
    if step.kind in {"receipt", "return"}:
        picture.received += moved
    else:
        lost = sum(loss["mg"] for loss in step.said.get("losses", ()))
        picture.lost += lost + int(step.said.get("remainder_mg", 0))
