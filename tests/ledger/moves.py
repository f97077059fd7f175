"""What may be said next in a generated plant: one function for each kind of draft.

Read :data:`MOVES` first. A move makes one draft, or None where there is nothing to make it of;
every kind of step that the ledger knows has one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Evidence,
    Hold,
    Label,
    Lift,
    Line,
    Material,
    Reading,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from tests.ledger.history import FACTS, HOUR, KG, LATER, PRODUCTS, SILOS, History, restated

__all__ = ["DECIDING", "MAKING", "MOVES", "RESTATING", "STATING", "Move"]

Move = Callable[[History], Draft | None]

BEAD, FOAM, TIE, BLOCK = Material.BEAD, Material.PREFOAM, Material.TIE, Material.BLOCK
SCRAP, REGRIND, DENSE = Material.SCRAP, Material.REGRIND, Material.DENSIFIED

_UNIT = {BLOCK: 1_500_003, TIE: 40_001}


def receipt(h: History) -> Draft:
    """Beads or ties arrive, mostly as a new lot."""
    if h.pick.chance(3):
        lot = h.into(TIE, "carton", _UNIT[TIE])
        pieces = h.pick.whole(1, 200)
        return h.step("receipt", [Line(lot.code, 1, pieces * lot.unit_mg, pieces)], [lot])
    lot = h.into(BEAD, "bag")
    mg = h.pick.of((1000, 250, 40)) * KG + h.pick.whole(0, 3)
    label = Label("maker", h.pick.of(("0815", "4711")))
    line = Line(lot.code, 1, mg, keyed="1 t")
    return h.step("receipt", [line], [replace(lot, labels=(label,))])


def expand(h: History) -> Draft | None:
    """Beads go into a silo."""
    bag = h.any(BEAD)
    if bag is None:
        return None
    line = h.draw(bag)
    silo = h.pick.of(SILOS)
    return h.step("expand", [line, Line(silo, 1, h.kept(line.mg), place=f"at {silo}")])


def fill(h: History) -> Draft | None:
    """Foam, fresh or reclaimed, goes from one place to another, perhaps the same."""
    kinds = (REGRIND,) if h.pick.chance(4) else (FOAM,)
    source = h.any(*kinds, what="content" if kinds == (FOAM,) else "")
    if source is None:
        return None
    line = h.draw(source)
    return h.step("fill", [line, Line(h.pick.of(SILOS), 1, h.kept(line.mg))])


def ran_dry(h: History) -> Draft:
    """A fill that empties its source, in one step: drawn, then said to be empty."""
    source, silo = h.pick.of(SILOS), h.pick.of(SILOS)
    line = h.draw(source)
    kind = h.pick.of(("ran_empty", "swept_empty", "weigh"))
    mg = 0 if kind == "ran_empty" else h.pick.of((0, KG))
    lines = [line, Line(source, 0, mg), Line(silo, 1, h.kept(line.mg))]
    return h.step(kind, lines)


def mould(h: History) -> Draft:
    """Blocks and scrap from one or two draws on silos, and from ties."""
    lines = [h.draw(h.pick.of(SILOS))]
    if h.pick.chance(3):
        lines.append(h.draw(h.pick.of(SILOS)))
    if h.pick.chance(6) and (other := h.any(REGRIND, SCRAP)) is not None:
        lines.append(h.draw(other))
    tie = h.any(TIE)
    if tie is not None and not h.pick.chance(4):
        lines.append(h.draw(tie))
    came = sum(line.mg for line in lines)
    product = h.pick.of(PRODUCTS)
    lot = h.into(BLOCK, "mould run", _UNIT[BLOCK], product)
    pieces = h.kept(came) // max(1, lot.unit_mg)
    new = [lot]
    lines.append(Line(lot.code, 1, pieces * lot.unit_mg, pieces, Evidence.COUNTED))
    if h.pick.chance(2):
        bin_ = h.into(SCRAP, "bin")
        new.append(bin_)
        lines.append(Line(bin_.code, 1, max(0, came - pieces * lot.unit_mg)))
    kind = h.pick.of(("mould", "mould", "produce"))
    return h.step(kind, lines, new, product=product, facts={"shots": "25"})


def hopper(h: History) -> Draft:
    """A run draws foam into what is in process."""
    line = h.draw(h.pick.of(SILOS))
    work = h.into(FOAM, "in process")
    lines = [line, Line(work.code, 1, line.mg)]
    return h.step("draw", lines, [work], product=h.pick.of(PRODUCTS), run="R1")


def onward(kind: str, sources: tuple[Material, ...], what: str, to: Material | None = None) -> Move:
    """A move that takes from one lot into one other, of its own kind where none is said."""

    def move(h: History) -> Draft | None:
        source = h.any(*sources)
        if source is None:
            return None
        line = h.draw(source)
        target = to or h.lots[source].kind
        product = h.lots[source].product if kind == "bundle" else ""
        lot = h.into(target, what, _UNIT.get(target, 0), product)
        whole = target == h.lots[source].kind
        mg, pieces = (line.mg, line.pieces) if whole else (h.kept(line.mg), 0)
        place = f"outside:{h.pick.of(('ROW', 'LANE'))}" if kind == "ship" else ""
        facts = FACTS.get(kind, {}) if h.pick.chance(2) else {}
        return h.step(kind, [line, Line(lot.code, 1, mg, pieces, place=place)], [lot], facts=facts)

    return move


def move(h: History) -> Draft | None:
    """A lot is put elsewhere; what is said of it is where it stands."""
    code = h.any(*Material)
    if code is None:
        return None
    return h.step("move", [Line(code, 0, 0, place=h.pick.of(("yard", "bay 2")))])


def stated(h: History) -> Draft:
    """Somebody says what is there."""
    code = h.any(*Material) if h.pick.chance(3) else None
    code = code or h.pick.of(SILOS)
    kind = h.pick.of(("swept_empty", "ran_empty", "weigh", "stocktake"))
    lot = h.lots[code]
    pieces = h.pick.whole(0, 40) if lot.unit_mg else 0
    mg = pieces * lot.unit_mg if lot.unit_mg else h.pick.whole(0, 300) * KG
    if kind.endswith("empty"):
        mg = pieces = 0
    return h.step(kind, [Line(code, 0, mg, pieces)])


def dispose(h: History) -> Draft | None:
    """Scrap leaves for good: nothing comes out."""
    code = h.any(SCRAP, DENSE)
    return None if code is None else h.step("dispose", [h.draw(code)])


def told(kind: str) -> Move:
    """A step that is only said: a run opened or closed, a mould changed, a lot looked at."""

    def move(h: History) -> Draft:
        code = h.any(*Material)
        lines = [] if code is None or kind.startswith("run") else [Line(code, 0, 0)]
        return h.step(kind, lines, product=h.pick.of(PRODUCTS), run="R1")

    return move


def relabel(h: History) -> Draft | None:
    """A lot gets a foreign label; labels may repeat."""
    code = h.any(*Material)
    if code is None:
        return None
    labels = {code: (Label("plant", h.pick.of(("RED", "GREEN")), since=1),)}
    return h.step("relabel", [], labels=labels)


def back(h: History) -> Draft | None:
    """A receiver sends pieces back."""
    codes = [c for c, lot in h.lots.items() if lot.what == "shipment"]
    if not codes:
        return None
    line = h.draw(h.pick.of(codes))
    lot = h.into(BLOCK, "returned", h.lots[line.lot].unit_mg)
    out = Line(lot.code, 1, line.mg, line.pieces, place="bay 2")
    return h.step("return", [line, out] if h.pick.chance(2) else [out], [lot])


def setting(h: History) -> Draft:
    """A setting, mostly in force from a time long past; no two have one date."""
    topic, name, body = h.pick.of(LATER)
    key = h.key("set")
    since = h.time() + h.count
    return SettingDraft(key, since + HOUR, topic, name, body, since)


def hold(h: History) -> Draft | None:
    """A person stops a lot, or a place from some time on."""
    if h.pick.chance(3):
        lots: tuple[str, ...] = (h.pick.of(SILOS),)
        since = h.pick.of((None, h.time()))
    else:
        found = [h.any(*Material) for _ in range(h.pick.whole(1, 2))]
        lots, since = tuple(sorted({c for c in found if c is not None})), None
    if not lots:
        return None
    key = h.key("hold")
    return Hold(key, h.time(), f"H{h.count}", "smell", lots, since, by="P-1")


def lift(h: History) -> Draft | None:
    """A hold is lifted from some lot, held directly or by descent."""
    if not h.holds:
        return None
    name = h.pick.of(sorted(h.holds))
    lots = (h.pick.of(sorted(h.lots)), h.pick.of(h.holds[name]))
    return Lift(h.key("lift"), h.time(), name, "looked into", tuple(sorted(set(lots))))


def concession(h: History) -> Draft | None:
    """Authority after the fact, for a cause that was found."""
    if not h.causes:
        return None
    return Concession(h.key("concession"), h.time(), h.pick.of(h.causes[::-1]), "tested")


def correction(h: History) -> Draft | None:
    """A step is said again: another mass, time, lot, kind, or other facts of a new lot."""
    if not h.steps:
        return None
    old = h.steps[h.pick.of(list(h.steps)[::-1])]
    how = h.pick.of((_other_mass, _other_time, _other_lot, _other_facts, _new_code, _other_kind))
    new = how(h, old)
    if new is None:
        return None
    return Correction(h.key("correct"), old.key, new, "mistyped", h.time())


def _other_mass(h: History, old: StepDraft) -> StepDraft | None:
    if not old.lines:
        return None
    number = h.pick.whole(0, len(old.lines) - 1)
    line = old.lines[number]
    if h.lots[line.lot].unit_mg or (line.sign == 0 and old.kind.endswith("empty")):
        return None
    lines = list(old.lines)
    lines[number] = replace(line, mg=line.mg // 2 + h.pick.whole(0, 9))
    return restated(old, lines=tuple(lines))


def _other_time(h: History, old: StepDraft) -> StepDraft:
    return restated(old, happened_at=h.time())


def _other_lot(h: History, old: StepDraft) -> StepDraft | None:
    if not old.lines:
        return None
    number = h.pick.whole(0, len(old.lines) - 1)
    lot = h.lots[old.lines[number].lot]
    same = [c for c, o in h.lots.items() if (o.kind, o.unit_mg) == (lot.kind, lot.unit_mg)]
    lines = list(old.lines)
    lines[number] = replace(lines[number], lot=h.pick.of(same))
    return restated(old, lines=tuple(lines))


def _other_facts(h: History, old: StepDraft) -> StepDraft | None:
    if not old.new_lots:
        return None
    new = tuple(
        replace(lot, grades=h.pick.of((("F2",), ("F1",), ("PK",), ()))) for lot in old.new_lots
    )
    return restated(old, new_lots=new)


def _new_code(h: History, old: StepDraft) -> StepDraft | None:
    if not old.new_lots:
        return None
    lot = old.new_lots[0]
    h.count += 1
    code = f"{lot.kind.name[:2]}-{h.count}"
    lines = tuple(replace(x, lot=code) if x.lot == lot.code else x for x in old.lines)
    return restated(old, lines=lines, new_lots=(*old.new_lots, replace(lot, code=code)))


def _other_kind(_: History, old: StepDraft) -> StepDraft | None:
    other = {"ran_empty": "swept_empty", "swept_empty": "ran_empty", "weigh": "stocktake",
             "mould": "produce", "expand": "fill"}.get(old.kind)  # fmt: skip
    return None if other is None else restated(old, kind=other)


def reversal(h: History) -> Draft | None:
    """A step is undone."""
    if not h.steps:
        return None
    return Reversal(h.key("reverse"), h.pick.of(list(h.steps)[::-1]), "never happened", h.time())


def readings(h: History) -> Draft | None:
    """Something is measured."""
    code = h.any(BLOCK)
    if code is None:
        return None
    one = Reading("block_mass_24h", "3.2", "kg", lot=code, specimen="D1")
    return ReadingsDraft(h.key("readings"), h.time(), (one,))


def void(h: History) -> Draft | None:
    """Readings are taken out of every answer."""
    keys = [d.key for d in h.said if isinstance(d, ReadingsDraft)]
    return Void(h.key("void"), h.time(), h.pick.of(keys), "wrong block") if keys else None


def release(h: History) -> Draft | None:
    """A lot is approved over its evidence."""
    moulded = [c for c, lot in h.lots.items() if lot.kind == BLOCK and lot.what == "mould run"]
    code = h.pick.of(moulded) if moulded else None
    if code is None:
        return None
    evidence, by = h.pick.of("01") * 64, h.pick.of(("P-1", "P-2"))
    return Release(h.key("release"), h.time(), code, evidence, by=by)


def decision(h: History) -> Draft:
    """Something is signed."""
    return Decision(h.key("decision"), h.time(), "signature", "balance of May", {"ok": True})


def again(h: History) -> Draft | None:
    """What was said before is sent a second time."""
    return h.pick.of(h.said[::-1]) if h.said else None


_MAKING: Mapping[str, Move] = {
    "receipt": receipt,
    "expand": expand,
    "mould": mould,
    "fill": fill,
    "hopper": hopper,
    "bundle": onward("bundle", (BLOCK,), "bundle"),
    "ship": onward("ship", (BLOCK,), "shipment"),
    "back": back,
    "scrap": onward("scrap", (BLOCK, FOAM), "bin", SCRAP),
    "strip": onward("strip", (SCRAP,), "bin"),
    "grind": onward("grind", (SCRAP,), "bag", REGRIND),
    "densify": onward("densify", (REGRIND,), "log", DENSE),
    "dispose": dispose,
    "split": onward("split", (BLOCK, BEAD), "part"),
    "merge": onward("merge", (BEAD,), "bag"),
    "sample": onward("sample", (BLOCK,), "sample"),
}
_STATING: Mapping[str, Move] = {
    "stated": stated,
    "ran_dry": ran_dry,
    "move": move,
    "relabel": relabel,
    "run_open": told("run_open"),
    "run_close": told("run_close"),
    "inspect": told("inspect"),
    "first_piece": told("first_piece"),
    "mould_change": told("mould_change"),
}
_DECIDING: Mapping[str, Move] = {
    "setting": setting,
    "hold": hold,
    "lift": lift,
    "concession": concession,
    "readings": readings,
    "void": void,
    "release": release,
    "decision": decision,
}
_RESTATING: Mapping[str, Move] = {"correction": correction, "reversal": reversal, "again": again}

MOVES: Mapping[str, Move] = {**_MAKING, **_STATING, **_DECIDING, **_RESTATING}
"""Everything that may be said, by name."""

MAKING, STATING, DECIDING, RESTATING = map(sorted, (_MAKING, _STATING, _DECIDING, _RESTATING))
